#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "book_sections.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {

using plan::words::Told;

namespace {
const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
}  // namespace

SheetSize sheet_of(const JobStudies& s) {
    const auto sheet = find_sheet(s.plan.paper.size);
    if (!sheet) throw std::invalid_argument("job_book: no such sheet");
    return *sheet;
}

std::string weight_of(const JobStudies& s) {
    return plan::words::weight_text(s.movement.weight_kg, s.job.style.unit);
}

std::string size_of(const JobStudies& s) {
    return fmt::format("{} × {}, {} thick", units::show(s.plan.box.width_mm(), s.job.style),
                       units::show(s.plan.box.height_mm(), s.job.style), units::show(s.plan.thickness_mm, s.job.style));
}

void put_picture(TextPages& pages, const JobStudies& s, double highest_mm) {
    const plan::FinishedLook look =
        plan::finished_look(s.plan, s.shelf, s.boards ? &*s.boards : nullptr,
                            [&](const std::string& name) { return s.pictures.contains(name); });
    const double scale = std::min(pages.width_mm() / look.box.width_mm(), highest_mm / look.box.height_mm());
    const double high = scale * look.box.height_mm();
    pages.need(high + 4.0);
    const Point corner{TextPages::margin_mm + 0.5 * (pages.width_mm() - scale * look.box.width_mm()), pages.y() - high};
    draw_finished_top(pages.page(), look, s.pictures, corner - scale * look.box.low, scale);
    pages.down(high + 3.0);
}

void table_row(TextPages& pages, const std::vector<double>& columns, const std::vector<std::string>& cells, bool bold) {
    const double w = pages.width_mm(), left = TextPages::margin_mm;
    pages.need(7.0);
    pages.down(5.2);
    for (std::size_t c = 0; c < cells.size(); ++c) {
        const double next = c + 1 < columns.size() ? columns[c + 1] : 1.0;
        Text text{{left + columns[c] * w, pages.y()}, cells[c], 2.8, 0.0, Text::Anchor::left, bold};
        while (text.height_mm > 1.8 && text_length_mm(text) > (next - columns[c]) * w - 1.0) text.height_mm *= 0.95;
        pages.page().texts.push_back(std::move(text));
    }
    pages.line({left, pages.y() - 1.6}, {left + w, pages.y() - 1.6}, thin);
}

void write_cover(TextPages& pages, const JobStudies& s, const BookPages&) {
    pages.mark(place::top);
    if (!s.plan.pieces.empty()) put_picture(pages, s, 120.0);
    if (!s.plan.note.empty()) pages.say(s.plan.note, TextPages::text_mm);
    Told facts{"The top", {}, {}};
    facts.lines.push_back(size_of(s) + fmt::format(", {}.", weight_of(s)));
    for (const plan::PiecePlan& piece : s.plan.pieces)
        facts.lines.push_back(fmt::format("{}: {}.", plan::words::capitalised(piece.name), piece.species));
    for (const plan::SeamPlan& seam : s.plan.seams)
        facts.lines.push_back(
            fmt::format("{}: {}", plan::words::capitalised(seam.name), plan::words::capitalised(seam.verdict)));
    for (const plan::SegmentedEdging& edging : s.plan.edgings) {
        const auto told = plan::words::ring_movement_text(edging, s.plan, s.movement, s.job);
        for (const std::string& caution : told.cautions)
            facts.cautions.push_back(plan::words::capitalised(s.plan.pieces[edging.piece].name) + ": " + caution);
    }
    pages.part(facts);
    const auto calendar = plan::words::calendar_text(s.shop);
    pages.part(calendar.front());
    pages.part(
        {"What the pages count on",
         {fmt::format("Lengths are in {}; each is rounded to the nearest {}, so two may differ by that from "
                      "their sum. Sizes of tools are told to what callipers show.",
                      s.job.style.unit == units::Unit::inch ? "inches" : "millimetres",
                      s.job.style.unit == units::Unit::inch
                          ? fmt::format("1/{} in", s.job.style.denominator)
                          : fmt::format("{} mm", s.job.style.decimals == 0   ? "1"
                                                 : s.job.style.decimals == 1 ? "0.1"
                                                                             : "0.01")),
          fmt::format(
              "Templates are printed apart, at full size; drawings in this book tell their scale and are not to "
              "be measured from. Left, right, front and back are those "
              "of the top as it lies face up in the picture, the front at its lower edge."),
          fmt::format("Revision {} stands over every page. A change of the job or of the shelf changes it: throw "
                      "away pages and templates of another revision.",
                      s.plan.revision())},
         {"What the makers of your machines, tools, glue and finish say comes first, and so do local rules. "
          "Nothing here makes work safe by itself: stop where you are not sure."}});
}

void write_contents(TextPages& pages, const JobStudies&, const BookPages& where) {
    const auto& contents = where.contents();
    constexpr double row_mm = 5.0, dots_mm = 1.8;
    // The first two are the cover and this page itself.
    const double high = row_mm * static_cast<double>(contents.size()) + 8.0;
    pages.chapter("Contents", "Each chapter with the page it begins on.", high);
    for (std::size_t i = 2; i < contents.size(); ++i) {
        pages.need(row_mm);
        pages.down(row_mm);
        const double left = TextPages::margin_mm, right = left + pages.width_mm();
        Text title{{left, pages.y()}, plan::words::capitalised(contents[i].first), 3.2, 0.0, Text::Anchor::left, false};
        Text number{{right, pages.y()}, fmt::format("{}", contents[i].second), 3.2, 0.0, Text::Anchor::right, false};
        const double from = left + text_length_mm(title) + 2.0, to = right - text_length_mm(number) - 2.0;
        pages.page().texts.push_back(std::move(title));
        pages.page().texts.push_back(std::move(number));
        if (to > from) pages.line({from, pages.y() + 0.4}, {to, pages.y() + 0.4}, {0.2, {0.3, dots_mm}, 0.2, {}});
    }
}

}  // namespace seamwright::paper
