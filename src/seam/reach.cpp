#include <algorithm>
#include <cmath>
#include <limits>

#include "seam/simulate.h"

namespace seamwright::seam {
namespace {

constexpr double unbounded = std::numeric_limits<double>::infinity();

// A change of direction smaller than this at a joint is rounding of the arcs, not a corner of the seam: over the width
// of a guide it moves nothing by more than a few hundredths of a micrometre.
constexpr double corner_rad = 1e-6;

void add_corner(TightestTurns& turns, const geometry::Segment& before, const geometry::Segment& after) {
    const double turn = geometry::wrap_pi(geometry::heading_at(after, 0.0) - geometry::heading_at(before, 1.0));
    if (turn > corner_rad) turns.left_mm = 0.0;
    if (turn < -corner_rad) turns.right_mm = 0.0;
}

// Least radii for a template whose body lies on the left; the other hand is its mirror image.
struct Least {
    double bulging_mm = 0.0;  // seam turns toward the body
    double hollow_mm = 0.0;
};

Least least_for(const Step& step) {
    const double side = step.template_on_left ? 1.0 : -1.0;
    const double t = side * step.rides_at_mm;
    const double e = side * step.edge_at_mm;
    Least least{std::max({0.0, -t, -e}), std::max(0.0, t)};
    if (step.pair) {
        least.hollow_mm = std::max(least.hollow_mm, t + 0.5 * step.pair->B_mm);
        if (step.keeps_far) least.hollow_mm = std::max(least.hollow_mm, e);
    }
    return least;
}

}  // namespace

TightestTurns tightest_turns(const Path& path) {
    TightestTurns turns{unbounded, unbounded};
    const auto& segments = path.segments;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const geometry::Segment& s = segments[i];
        if (s.is_arc()) {
            double& tightest = s.sweep_rad > 0.0 ? turns.left_mm : turns.right_mm;
            tightest = std::min(tightest, s.radius_mm);
        }
        if (i + 1 < segments.size()) {
            add_corner(turns, s, segments[i + 1]);
        } else if (path.closed) {
            add_corner(turns, s, segments.front());
        }
    }
    return turns;
}

std::vector<ReachOfStep> reach_of(const Chain& chain, const TightestTurns& turns) {
    std::vector<ReachOfStep> reach;
    for (std::size_t i = 0; i < chain.steps.size(); ++i) {
        const Step& step = chain.steps[i];
        const Least least = least_for(step);
        ReachOfStep r;
        r.step = i;
        r.least_left_mm = step.template_on_left ? least.bulging_mm : least.hollow_mm;
        r.least_right_mm = step.template_on_left ? least.hollow_mm : least.bulging_mm;
        r.margin_mm = std::min(turns.left_mm - r.least_left_mm, turns.right_mm - r.least_right_mm);
        reach.push_back(r);
    }
    return reach;
}

double least_margin_mm(const Chain& chain, const TightestTurns& turns) {
    double least = unbounded;
    for (const ReachOfStep& r : reach_of(chain, turns)) least = std::min(least, r.margin_mm);
    return least;
}

}  // namespace seamwright::seam
