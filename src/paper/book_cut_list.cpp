#include <fmt/format.h>

#include <algorithm>

#include "book_sections.h"
#include "cut_list.h"
#include "plan/words.h"
#include "seam/chain.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using plan::words::Told;

/// What is bought or fetched: the lines of the cost sheet without their prices.
Told needed(const JobStudies& s) {
    Told told{"What it takes", {}, {}};
    using Kind = process::CostLine::Kind;
    for (const process::CostLine& line : s.shop.costs.lines) {
        if (line.kind == Kind::labour || line.kind == Kind::share || line.kind == Kind::cutter) continue;
        std::string text = fmt::format("{}: {} {}", plan::words::capitalised(line.what),
                                       process::show_quantity(line.thousandths), line.unit);
        if (!line.how.empty()) text += fmt::format(" ({})", line.how);
        told.lines.push_back(text + '.');
    }
    return told;
}

/// Every tool that a step of a chain takes, once.
Told tools(const JobStudies& s) {
    Told told{"Tools to lay ready", {}, {}};
    const auto add = [&](std::string line) {
        if (std::find(told.lines.begin(), told.lines.end(), line) == told.lines.end())
            told.lines.push_back(std::move(line));
    };
    const auto size = [&](double mm) { return plan::words::exact_size(mm, s.job.style); };
    for (const plan::SeamPlan& seam : s.plan.seams) {
        for (const plan::StepPlan& step : seam.steps) {
            if (!step.step.pair) continue;
            const seam::Pair& pair = *step.step.pair;
            const shelf::Cutter& cutter = s.shelf.cutters.at(pair.cutter);
            if (pair.rides == seam::Pair::Rides::guide) {
                const shelf::Guide& guide = s.shelf.guides.at(pair.rider);
                add(fmt::format("Guide bushing: {}, outside {}{}, barrel {} long.", guide.name, size(pair.B_mm),
                                guide.outside.measured_mm ? " measured" : " as marked", size(guide.barrel_length_mm)));
            } else {
                const shelf::Bearing& bearing = s.shelf.bearings.at(pair.rider);
                add(fmt::format("Bearing: {}, outside {}{}.", bearing.name, size(pair.B_mm),
                                bearing.outside.measured_mm ? " measured" : " as marked"));
            }
            add(fmt::format("Cutter: {}, {}{}, {} flutes {} long, shank {}.", cutter.name, size(pair.b_mm),
                            cutter.cutting.measured_mm ? " measured" : " as marked", cutter.flutes,
                            size(cutter.cutting_length_mm), size(cutter.shank_mm)));
        }
    }
    if (s.outline != nullptr)
        for (const plan::OutlineCut& cut : s.outline->cuts)
            if (cut.tools) add(fmt::format("For the outline: {}, {}.", cut.tools->rider, cut.tools->cutter));
    for (const process::EdgeProfile* rim : {&s.shop.edges.shape.top, &s.shop.edges.shape.underside})
        if (rim->kind != process::EdgeProfile::Kind::square)
            add(fmt::format("{} cutter for {}, with its bearing.", plan::words::capitalised(process::says(rim->kind)),
                            size(rim->size_mm)));
    for (const auto& closing : s.closing)
        if (closing && closing->pressing && !closing->pressing->clamps.empty())
            add(fmt::format("Clamps: {}, {} of them; cauls on both sides.", closing->pressing->clamps,
                            closing->pressing->row.count));
    add("Double-sided tape, masking tape, spoil board, strips as high as wood and template.");
    add("Saws for the curves and for the ends, winding sticks, scraper, sander.");
    add("Steel rule, callipers, feeler gauges, a straight edge as long as the top, a square, a soft pencil.");
    add("Moisture meter, raking light, eye and ear protection, dust extraction.");
    return told;
}

}  // namespace

void write_cut_list(TextPages& pages, const JobStudies& s, const BookPages& where) {
    pages.chapter("Cut list and what it takes", "As sawn roughly, with the wood left around and at the ends.", 60.0);
    pages.mark(place::cut_list);
    const auto show = [&](double mm) { return units::show(mm, s.job.style); };
    const std::vector<double> columns{0.0, 0.28, 0.44, 0.57, 0.70, 0.80};
    table_row(pages, columns, {"Part", "Board", "Length", "Width", "Thick", "From left, near"}, true);
    bool laid = false;
    for (const CutLine& line : cut_list(s)) {
        laid = laid || line.from.has_value();
        table_row(pages, columns,
                  {line.part + (line.over ? ", face down" : "") + (line.turned ? ", turned" : ""),
                   line.board.empty() ? "not laid yet" : line.board, show(line.length_mm), show(line.width_mm),
                   show(line.thickness_mm),
                   line.from ? fmt::format("{}, {}", show(line.from->x), show(line.from->y)) : std::string("–")},
                  false);
    }
    pages.down(4.0);
    pages.say(
        "Length runs along the fibres. Thickness is the finished one: boards are planed a little over it first." +
            std::string(laid ? " Places are those of the lower left corner, from the left end and the near edge of "
                               "the board as it lies in its drawing on " +
                                   where.page(place::boards) + '.'
                             : " No board is on the shelf for these parts yet: choose them by hand, clear of knots at "
                               "the seams, fibres along the length."),
        TextPages::text_mm);
    if (Told told = needed(s); !told.lines.empty()) pages.part(told);
    pages.part(tools(s));
}

}  // namespace seamwright::paper
