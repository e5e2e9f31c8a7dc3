#include "easing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "curves/routable.h"
#include "draw.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

using Kind = seam::ReachProblem::Kind;

/// How far a seam may be moved, tried from small to large.
constexpr std::array bands_mm{1.0, 2.0, 5.0, 20.0};

double up_to_mark(double mm, const Ruler& ruler) {
    return up_to_multiple(mm, ruler.finest_mm());
}

double tightest_mm(const curves::Drawn& drawn) {
    double least = HUGE_VAL;
    for (const auto& turn : {drawn.tightest_left, drawn.tightest_right}) {
        if (turn) least = std::min(least, turn->radius_mm);
    }
    return least;
}

/// The least of the bands within which a curve of that radius lies.
std::optional<job::Easing> within_least_band(const curves::Drawn& drawn, double radius_mm, const Ruler& ruler) {
    for (const double band_mm : bands_mm) {
        const job::Easing easing{radius_mm, up_to_mark(band_mm, ruler)};
        curves::RoutableSettings settings;
        settings.least_radius_left_mm = settings.least_radius_right_mm = radius_mm;
        settings.band_mm = easing.within_mm;
        if (std::holds_alternative<curves::Routable>(curves::make_routable(drawn, settings))) return easing;
    }
    return std::nullopt;
}

bool is_too_tight(const seam::ReachProblem& p) {
    return p.kind == Kind::guide_in_hollow || p.kind == Kind::cutter_in_hollow || p.kind == Kind::template_edge_gone;
}

bool turns_too_tight(const plan::SeamPlan& seam) {
    return std::any_of(seam.simulation.problems.begin(), seam.simulation.problems.end(), is_too_tight);
}

/// By how much the seam has to turn wider, as far as its problems tell.
double missing_mm(const plan::SeamPlan& seam) {
    double most = 0.0;
    for (const auto& p : seam.simulation.problems) {
        if (is_too_tight(p)) most = std::max(most, p.wanted_mm - p.found_mm);
    }
    return most;
}

/// An easing after which the tools follow the seam. What a template misses is not always what the seam misses, so the
/// plan itself has the last word.
std::optional<job::Easing> easing_that_works(const job::Document& document, const plan::Plan& plan, std::size_t i,
                                             const Ruler& ruler) {
    const auto line = drawn(document.job.seams[i].curve);
    if (!line || i >= plan.seams.size()) return std::nullopt;
    const double before_mm = tightest_mm(*line);
    if (!std::isfinite(before_mm)) return std::nullopt;
    constexpr double spare = 1.02;
    constexpr double wider = 1.25;
    constexpr int most_tries = 2;
    double radius_mm = up_to_mark(spare * (before_mm + missing_mm(plan.seams[i])), ruler);
    for (int n = 0; n < most_tries; ++n, radius_mm = up_to_mark(wider * radius_mm, ruler)) {
        const auto easing = within_least_band(*line, radius_mm, ruler);
        if (!easing) return std::nullopt;
        job::Document eased = document;
        eased.job.seams[i].eased = easing;
        const plan::Plan tried = plan::make_plan(eased.job, eased.shelf);
        if (i < tried.seams.size() && !turns_too_tight(tried.seams[i])) return easing;
    }
    return std::nullopt;
}

Json written(const job::Easing& easing, const Ruler& ruler) {
    return {{"least_radius", ruler.written(easing.least_radius_mm)}, {"within", ruler.written(easing.within_mm)}};
}

}  // namespace

std::string ease(Bench& bench, std::string_view pointer, bool on) {
    const Steps seam = seam_of(bench, pointer);
    const std::string name = capitalised(seam_name(bench.tree(), seam));
    if (!on) {
        find(bench.change(), seam)->erase("eased");
        return fmt::format("{} is cut as it is drawn", name);
    }
    const std::size_t i = *index_of(seam[1]);
    const job::Document document = bench.document();
    const auto line = drawn(document.job.seams[i].curve);
    if (document.job.seams[i].kind == job::SeamKind::edging || !line) {
        refuse(pointer_of(seam), "a seam that cannot be eased", "an open seam or an inlay that can be drawn",
               "put its line right first");
    }
    const Ruler ruler = bench.ruler();
    const plan::Plan& plan = bench.plan();
    std::optional<job::Easing> easing;
    if (i < plan.seams.size() && turns_too_tight(plan.seams[i])) {
        easing = easing_that_works(document, plan, i, ruler);
        // Where nothing helps, what would be needed is asked for: the plan tells what stands in the way.
        if (!easing) {
            easing = job::Easing{up_to_mark(std::max(tightest_mm(*line) + missing_mm(plan.seams[i]), 1.0), ruler),
                                 up_to_mark(bands_mm.back(), ruler)};
        }
    } else {
        // A place to start from, at which nothing moves.
        constexpr double straight_mm = 1000.0;
        const double mark_mm = ruler.finest_mm();
        const double radius_mm = std::floor(std::min(tightest_mm(*line), straight_mm) / mark_mm) * mark_mm;
        easing = job::Easing{std::max(radius_mm, 1.0), up_to_mark(bands_mm[1], ruler)};
    }
    put(bench.change(), seam / "eased", written(*easing, ruler));
    return fmt::format("{} is eased to a radius of {}", name, ruler.show(easing->least_radius_mm));
}

void add_easing_cures(CureList& list, std::size_t i) {
    if (i >= list.state.plan.seams.size()) return;
    const job::Seam& asked = list.state.document.job.seams[i];
    const plan::SeamPlan& planned = list.state.plan.seams[i];
    if (asked.kind == job::SeamKind::edging || asked.eased || !turns_too_tight(planned)) return;
    // Looking for it takes as long as many plans: only when it is asked for.
    const std::string pointer = pointer_of(Steps{"seams"} / i);
    list.add("ease:" + pointer, "Ease the curve where it turns too tight",
             [pointer](Bench& bench) { return ease(bench, pointer, true); });
}

}  // namespace seamwright::edit
