#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "book_sections.h"
#include "plan/words.h"
#include "units/length.h"

namespace seamwright::paper {

using plan::words::Told;

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

std::vector<Drawing> cover_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), s.plan.name, "The book of this job");
    if (!s.plan.pieces.empty()) put_picture(pages, s, 120.0);
    if (!s.plan.note.empty()) pages.say(s.plan.note, TextPages::text_mm);
    Told facts{"The top", {}, {}};
    facts.lines.push_back(size_of(s) + fmt::format(", {}.", weight_of(s)));
    for (const plan::PiecePlan& piece : s.plan.pieces)
        facts.lines.push_back(fmt::format("{}: {}.", plan::words::capitalised(piece.name), piece.species));
    for (const plan::SeamPlan& seam : s.plan.seams)
        facts.lines.push_back(
            fmt::format("{}: {}", plan::words::capitalised(seam.name), plan::words::capitalised(seam.verdict)));
    pages.part(facts);
    const auto calendar = plan::words::calendar_text(s.shop);
    pages.part(calendar.front());
    pages.part({"How to read this book",
                {"Steps stand in the order of the work, each with a box to tick and lines to write what was measured.",
                 fmt::format("Lengths are in {}; each is rounded to the nearest {}, so two may differ by that from "
                             "their sum.",
                             s.job.style.unit == units::Unit::inch ? "inches" : "millimetres",
                             s.job.style.unit == units::Unit::inch
                                 ? fmt::format("1/{} in", s.job.style.denominator)
                                 : fmt::format("{} mm", s.job.style.decimals == 0   ? "1"
                                                        : s.job.style.decimals == 1 ? "0.1"
                                                                                    : "0.01")),
                 "Templates are printed apart, at full size: this book is not to be measured from."},
                {"What the makers of your tools, glue and finish say comes first, and so do local rules."}});
    return pages.finish();
}

}  // namespace seamwright::paper
