// What a guide and a cutter can do apart from the seam's shape.
//
// Below the router base come the template and then the work. The flutes have to span the work; beside the template
// the shank has the room that the guide gives it (its distance from the template edge is B/2). Flutes shorter than the
// work is deep still do, in passes, if the shank is no thicker than the cutter: it then runs in the groove already cut.

#include "tools.h"

#include <algorithm>
#include <utility>

namespace seamwright::seam {
namespace {

using Kind = ReachProblem::Kind;

// Sizes come from the maker's callipers; a ten-thousandth of a millimetre is no reason to refuse.
constexpr double size_noise_mm = 1e-4;

ReachProblem problem(Kind kind, const char* says, double wanted_mm, double found_mm, bool stops) {
    ReachProblem p;
    p.kind = kind;
    p.says = says;
    p.wanted_mm = wanted_mm;
    p.found_mm = found_mm;
    p.stops_the_work = stops;
    return p;
}

std::vector<ReachProblem> problems_of_pair(const shelf::Shelf& shelf, const Pair& pair, double work_mm,
                                           const Depths& depths) {
    std::vector<ReachProblem> found;
    const shelf::Cutter& cutter = shelf.cutters.at(pair.cutter);
    const double flutes_mm = cutter.cutting_length_mm;
    if (pair.rides == Pair::Rides::guide) {
        const shelf::Guide& guide = shelf.guides.at(pair.rider);
        const double barrel_mm = guide.barrel_length_mm;
        const double room_mm = depths.sheet_mm - barrel_clear_mm;
        if (barrel_mm > depths.sheet_mm + size_noise_mm) {
            found.push_back(problem(Kind::barrel_too_long,
                                    "The barrel of the guide is longer than the template is thick: it stands on the "
                                    "work and the router does not sit flat. Take a thicker template or a guide with "
                                    "a shorter barrel.",
                                    room_mm, barrel_mm, true));
        } else if (barrel_mm > room_mm + size_noise_mm) {
            found.push_back(problem(Kind::barrel_too_long,
                                    "The barrel of the guide is about as long as the template is thick and may rub "
                                    "on the work. Lay a thin shim under the template, or take a thicker one.",
                                    room_mm, barrel_mm, false));
        }
        const double bore_mm = guide.bore_or_default_mm();
        const double cutter_mm = pair.b_mm + 2.0 * shelf::chip_room_mm;
        const double shank_mm = cutter.shank_mm + 2.0 * shank_room_mm;
        if (std::max(cutter_mm, shank_mm) > bore_mm + size_noise_mm) {
            found.push_back(problem(Kind::shank_in_guide,
                                    "The cutter or its shank does not pass the bore of the guide. Take a guide with "
                                    "a larger bore.",
                                    std::max(cutter_mm, shank_mm), bore_mm, true));
        }
    } else if (flutes_mm > depths.sheet_mm + size_noise_mm) {
        found.push_back(problem(Kind::bearing_above_template,
                                "The bearing meets the template only once the flutes are well into the work: a "
                                "light first pass is not guided. Take a thicker template, or saw close to the line "
                                "and take a shorter cutter first.",
                                flutes_mm, depths.sheet_mm, false));
    }
    const double cut_mm = work_mm + depths.below_mm;
    if (flutes_mm + size_noise_mm < cut_mm) {
        const bool rubs = cutter.shank_mm > pair.b_mm + size_noise_mm;
        found.push_back(
            rubs ? problem(Kind::cutter_too_short,
                           "The flutes are shorter than the cut is deep, and the shank is thicker than the cutter: "
                           "it rubs on the edge. Take a longer cutter.",
                           cut_mm, flutes_mm, true)
                 : problem(Kind::cutter_too_short,
                           "The flutes are shorter than the cut is deep: the shank runs in the groove and no single "
                           "pass cleans the whole edge. A longer cutter leaves a better edge.",
                           cut_mm, flutes_mm, false));
    }
    const double reach_mm = cutter.reach_or_default_mm();
    const double projection = projection_mm(work_mm, depths);
    if (reach_mm + size_noise_mm < projection) {
        found.push_back(problem(Kind::reach_too_short,
                                "The cutter does not stand out of the collet far enough to go through template and "
                                "work. Take a longer cutter or a thinner template; never pull the shank out of the "
                                "collet past its mark.",
                                projection, reach_mm, true));
    }
    return found;
}

double work_of(const Step& step, const Depths& depths) {
    const bool cuts_wood = step.kind == Step::Kind::cut_left || step.kind == Step::Kind::cut_right;
    return cuts_wood ? depths.top_mm : depths.sheet_mm;
}

}  // namespace

std::optional<ReachProblem> what_stops(const shelf::Shelf& shelf, const Pair& pair, double work_mm,
                                       const Depths& depths) {
    for (ReachProblem& p : problems_of_pair(shelf, pair, work_mm, depths))
        if (p.stops_the_work) return std::move(p);
    return std::nullopt;
}

double stiffness(const shelf::Shelf& shelf, const Pair& pair, double work_mm, const Depths& depths) {
    const auto cubed = [](double x) { return x * x * x; };
    const auto fourth = [](double x) { return x * x * x * x; };
    const shelf::Cutter& cutter = shelf.cutters.at(pair.cutter);
    const double flutes_mm = cutter.cutting_length_mm;
    const double all_mm = std::max(flutes_mm, projection_mm(work_mm, depths));
    const double bends =
        cubed(flutes_mm) / fourth(pair.b_mm) + (cubed(all_mm) - cubed(flutes_mm)) / fourth(cutter.shank_mm);
    return bends > 0.0 ? 1.0 / bends : 0.0;
}

std::vector<ReachProblem> tool_problems(const Chain& chain, const shelf::Shelf& shelf, const Depths& depths) {
    std::vector<ReachProblem> found;
    for (std::size_t i = 0; i < chain.steps.size(); ++i) {
        const Step& step = chain.steps[i];
        if (!step.pair) continue;
        for (ReachProblem& p : problems_of_pair(shelf, *step.pair, work_of(step, depths), depths)) {
            p.step = i;
            found.push_back(std::move(p));
        }
    }
    return found;
}

}  // namespace seamwright::seam
