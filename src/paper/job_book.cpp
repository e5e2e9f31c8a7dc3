#include "paper/job_book.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <stdexcept>

#include "cut_list.h"
#include "feed_map.h"
#include "marks.h"
#include "paper/closing_page.h"
#include "paper/wood_pages.h"
#include "pass_table.h"
#include "plan/words.h"
#include "text_pages.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using plan::words::Told;

const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke box_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};

SheetSize sheet_of(const JobStudies& s) {
    const auto sheet = find_sheet(s.plan.paper.size);
    if (!sheet) throw std::invalid_argument("job_book: no such sheet");
    return *sheet;
}

void append(std::vector<Drawing>& book, std::vector<Drawing> chapter) {
    std::move(chapter.begin(), chapter.end(), std::back_inserter(book));
}

/// The picture of the top, as wide as the text.
void picture(TextPages& pages, const JobStudies& s, double highest_mm) {
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

std::string weight_of(const JobStudies& s) {
    return plan::words::weight_text(s.movement.weight_kg, s.job.style.unit);
}

std::string size_of(const JobStudies& s) {
    return fmt::format("{} × {}, {} thick", units::show(s.plan.box.width_mm(), s.job.style),
                       units::show(s.plan.box.height_mm(), s.job.style), units::show(s.plan.thickness_mm, s.job.style));
}

std::vector<Drawing> cover(const JobStudies& s) {
    TextPages pages(sheet_of(s), s.plan.name, "The book of this job");
    if (!s.plan.pieces.empty()) picture(pages, s, 120.0);
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

std::vector<Drawing> cut_list_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Cut list", s.plan.name);
    const auto show = [&](double mm) { return units::show(mm, s.job.style); };
    pages.say(
        "As sawn roughly, with the wood left around and at the ends. Places are those of the lower left corner, "
        "from the left end and the near edge of the board.",
        TextPages::text_mm);
    pages.down(2.0);
    const double w = pages.width_mm(), left = TextPages::margin_mm;
    const double columns[] = {0.0, 0.30, 0.46, 0.60, 0.74, 0.84};
    const auto row = [&](const std::vector<std::string>& cells, bool bold) {
        pages.need(7.0);
        pages.down(5.2);
        for (std::size_t c = 0; c < cells.size(); ++c) {
            const double next = c + 1 < cells.size() ? columns[c + 1] : 1.0;
            Text text{{left + columns[c] * w, pages.y()}, cells[c], 2.8, 0.0, Text::Anchor::left, bold};
            while (text.height_mm > 1.8 && text_length_mm(text) > (next - columns[c]) * w - 1.0) text.height_mm *= 0.95;
            pages.page().texts.push_back(std::move(text));
        }
        pages.line({left, pages.y() - 1.6}, {left + w, pages.y() - 1.6}, thin);
    };
    row({"Part", "Board", "Length", "Width", "Thick", "From left, near"}, true);
    for (const CutLine& line : cut_list(s)) {
        row({line.part + (line.over ? ", face down" : "") + (line.turned ? ", turned" : ""),
             line.board.empty() ? "not laid yet" : line.board, show(line.length_mm), show(line.width_mm),
             show(line.thickness_mm),
             line.from ? fmt::format("{}, {}", show(line.from->x), show(line.from->y)) : std::string("–")},
            false);
    }
    return pages.finish();
}

std::vector<Drawing> chain_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Templates and cuts", s.plan.name);
    for (const plan::SeamPlan& seam : s.plan.seams) {
        Told about{plan::words::capitalised(seam.name), {seam.verdict}, {}};
        for (const plan::TemplatePlan& t : seam.templates)
            about.lines.push_back(
                fmt::format("{}: {}.", plan::words::capitalised(t.title),
                            t.master ? "made by hand from its paper" : "copied, its paper is for checking"));
        pages.part(about);
        std::size_t number = 0;
        for (const plan::StepPlan& step : seam.steps) {
            Told told{fmt::format("{}. {}", ++number, step.title), step.lines, {}};
            for (std::string& passes : plan::words::passes_lines(step, s.job.style))
                told.lines.push_back(std::move(passes));
            if (step.speed) told.lines.push_back(plan::words::speed_text(*step.speed));
            pages.part(told);
            pass_table(pages, step, s.job.style);
        }
    }
    return pages.finish();
}

/// A box to tick, and lines to write on.
std::vector<Drawing> step_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Step by step", s.plan.name);
    std::vector<std::string> said;
    std::size_t number = 0;
    for (const plan::WorkStep& step : s.shop.steps) {
        pages.down(3.5);
        pages.need(16.0);
        constexpr double box_mm = 4.2;
        const double left = TextPages::margin_mm;
        pages.page().paths.push_back(
            drawn(geometry::rectangle({left, pages.y() - box_mm}, {left + box_mm, pages.y()}), box_line));
        Text title{{left + box_mm + 2.5, pages.y() - 3.5},
                   fmt::format("{}. {}", ++number, step.task.name),
                   3.6,
                   0.0,
                   Text::Anchor::left,
                   true};
        while (title.height_mm > 2.4 && text_length_mm(title) > pages.width_mm() - 40.0) title.height_mm *= 0.95;
        pages.page().texts.push_back(std::move(title));
        pages.put(fmt::format("about {}", process::show_minutes(step.task.hands_on_min)),
                  {left + pages.width_mm(), pages.y() - 3.5}, 2.8, false, Text::Anchor::right);
        pages.down(4.5);
        for (const std::string& line : step.lines) pages.say(line, TextPages::text_mm, false, 7.0, "–");
        if (step.task.ready_wait_min > 0)
            pages.say(
                fmt::format("Then wait: {}, {}.", step.task.wait_name, process::show_minutes(step.task.ready_wait_min)),
                TextPages::text_mm, false, 7.0, "–");
        for (const std::string& caution : step.cautions) {
            // In full where it comes first; a book that repeats itself is not read.
            if (std::find(said.begin(), said.end(), caution) != said.end()) continue;
            said.push_back(caution);
            pages.say(caution, TextPages::text_mm, true, 7.0, "!");
        }
        for (const std::string& what : step.write_down) {
            pages.need(8.0);
            pages.down(6.5);
            Text text{
                {left + 7.0, pages.y()}, plan::words::capitalised(what) + ':', 2.8, 0.0, Text::Anchor::left, false};
            const double from = left + 9.0 + text_length_mm(text);
            pages.page().texts.push_back(std::move(text));
            pages.line({from, pages.y() - 0.8}, {left + pages.width_mm(), pages.y() - 0.8}, thin);
        }
    }
    return pages.finish();
}

std::vector<Drawing> feed_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Feeding the router", s.plan.name);
    pages.say(
        "Thin: comes clean. Broken: feed slowly. Heavy, with ticks: expected to tear. Arrows with numbers: the "
        "strokes in their order; dashed: a skim only; dashed with two open heads: that skim as a climb cut.",
        TextPages::text_mm);
    pages.part(plan::words::feed_cautions_text(s.feed, s.shelf, s.job.style));
    for (const plan::RoutedEdge& edge : s.feed.edges) {
        constexpr double highest_mm = 60.0, around_mm = 14.0;
        const Box box = feed_map_box(edge, s.plan);
        const double scale =
            std::min((pages.width_mm() - 2.0 * around_mm) / box.width_mm(), highest_mm / box.height_mm());
        const double high = scale * box.height_mm() + 2.0 * around_mm;
        pages.down(3.0);
        pages.need(high + 40.0);
        const Point corner{TextPages::margin_mm + 0.5 * (pages.width_mm() - scale * box.width_mm()),
                           pages.y() - high + around_mm};
        draw_feed_map(pages.page(), edge, s.plan, corner - scale * box.low, scale);
        pages.down(high);
        pages.part(plan::words::feed_text(edge, s.plan, s.job));
    }
    return pages.finish();
}

std::vector<Drawing> told_pages(const JobStudies& s, const std::string& title, const std::vector<Told>& parts) {
    TextPages pages(sheet_of(s), title, s.plan.name);
    for (const Told& told : parts) pages.part(told);
    return pages.finish();
}

std::vector<Told> tests_to_make() {
    return {{"Before any good wood is cut",
             {"Measure the check bars on every printed sheet.",
              "Rout the test cut and measure it at its numbered places (./run test-cut prints the sheet).",
              "Rout a disc of the very board all round, conventional: does it tear where the feed maps say? (./run disc prints "
              "its sheet; what you see corrects the maps.)",
              "Glue two offcuts with this glue, at this temperature; break them: wood should break, not glue.",
              "Finish an offcut with all coats, sanded as the top will be."},
             {}}};
}

}  // namespace

std::vector<Drawing> job_book(const JobStudies& s) {
    std::vector<Drawing> book = cover(s);
    append(book, cut_list_pages(s));
    append(book, told_pages(s, "Tests to make", tests_to_make()));
    append(book, wood_pages(s.plan, s.boards, s.rough, s.movement, s.body, s.job, s.shelf, s.pictures));
    if (!s.plan.seams.empty()) append(book, chain_pages(s));
    append(book, step_pages(s));
    if (!s.feed.edges.empty()) append(book, feed_pages(s));
    for (std::size_t i = 0; i < s.plan.seams.size(); ++i)
        if (s.closing[i]) append(book, closing_pages(s.plan, s.plan.seams[i], *s.closing[i], s.job));
    std::vector<Told> surface{plan::words::edges_text(s.shop, s.job), plan::words::sanding_text(s.shop)};
    for (Told& told : plan::words::finish_text(s.shop, s.job)) surface.push_back(std::move(told));
    append(book, told_pages(s, "Edge, sanding and finish", surface));
    append(book, told_pages(s, "Calendar", plan::words::calendar_text(s.shop)));
    // Chapters number their own pages; the book counts through.
    for (std::size_t i = 0; i < book.size(); ++i) {
        if (book[i].texts.empty()) continue;
        Text& number = book[i].texts.back();
        if (number.anchor == Text::Anchor::right) number.text = fmt::format("{} of {}", i + 1, book.size());
    }
    return book;
}

std::vector<Drawing> quote_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Quote", s.plan.name);
    const job::Prices prices = s.job.prices.value_or(job::Prices{});
    if (!prices.customer.empty()) pages.say("For " + prices.customer, 3.6, true);
    pages.down(2.0);
    if (!s.plan.pieces.empty()) picture(pages, s, 110.0);
    Told what{"The top", {}, {}};
    what.lines.push_back(size_of(s) + fmt::format(", about {}.", weight_of(s)));
    for (const plan::PiecePlan& piece : s.plan.pieces)
        what.lines.push_back(fmt::format("{}: {}.", plan::words::capitalised(piece.name), piece.species));
    if (s.shop.finish) what.lines.push_back(fmt::format("Finish: {}.", s.shop.finish->system->name));
    what.lines.push_back(
        "The picture shows the wood as laid out; wood is a grown thing, and its colour changes in light.");
    pages.part(what);
    Told sum{"Price", {}, {}};
    const std::string& currency = prices.currency;
    using Kind = process::CostLine::Kind;
    for (const Kind kind : {Kind::wood, Kind::sheet, Kind::adhesive, Kind::finish, Kind::abrasive, Kind::cutter,
                            Kind::labour, Kind::other, Kind::share}) {
        const process::Money part = process::sum_of(s.shop.costs, kind);
        if (part.hundredths != 0)
            sum.lines.push_back(
                fmt::format("{}: {}.", plan::words::capitalised(process::says(kind)), process::show(part, currency)));
    }
    sum.lines.push_back(s.shop.costs.says);
    sum.lines.push_back(s.shop.costs.rounding);
    pages.part(sum);
    const auto calendar = plan::words::calendar_text(s.shop);
    if (s.shop.dated && s.shop.calendar.schedule) pages.part({"Delivery", {calendar.front().lines.front()}, {}});
    if (!prices.terms.empty()) {
        Told terms{"Terms", {}, {}};
        for (std::size_t from = 0; from <= prices.terms.size();) {
            const std::size_t to = std::min(prices.terms.find('\n', from), prices.terms.size());
            if (to > from) terms.lines.push_back(prices.terms.substr(from, to - from));
            from = to + 1;
        }
        pages.part(terms);
    }
    return pages.finish();
}

}  // namespace seamwright::paper
