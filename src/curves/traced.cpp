#include "curves/traced.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "curves/fair.h"
#include "shapes.h"

namespace seamwright::curves {
namespace {

/// All that the fit depends on: not where the trace lies on the top.
struct Measured {
    std::vector<Point> points;
    std::vector<double> scatter_mm;
    double wave_mm = 0.0;
    std::optional<double> band_mm;
    bool closed = false;
    friend bool operator==(const Measured&, const Measured&) = default;
};
using Fit = std::variant<FairCurve, FairProblem>;

Fit fit(const Measured& measured) {
    FairSettings settings;
    settings.wave_mm = measured.wave_mm;
    // A slip of the pencil or a speck on the paper does not pull the curve after it.
    settings.robust = true;
    settings.closed = measured.closed;
    if (measured.band_mm) settings.band_left_mm = settings.band_right_mm = *measured.band_mm;
    std::vector<double> weights;
    for (const double scatter : measured.scatter_mm) weights.push_back(1.0 / (scatter * scatter));
    const double mean =
        std::accumulate(weights.begin(), weights.end(), 0.0) / std::fmax(1.0, static_cast<double>(weights.size()));
    for (double& weight : weights) weight /= mean;
    return fit_fair(measured.points, settings, weights);
}

/// A trace that is pushed about on the top keeps its shape; its fit of a moment ago does. Forgetting it costs time and
/// changes nothing.
const Fit& fit_kept(const Traced& traced) {
    struct Kept {
        Measured measured;
        Fit fit;
    };
    thread_local std::array<std::optional<Kept>, 4> kept;
    Measured measured{traced.points, traced.scatter_mm, traced.wave_mm, traced.band_mm, traced.closed};
    for (auto it = kept.begin(); it != kept.end(); ++it) {
        if (!*it || !((*it)->measured == measured)) continue;
        std::rotate(kept.begin(), it, it + 1);
        return kept.front()->fit;
    }
    std::rotate(kept.begin(), kept.end() - 1, kept.end());
    Fit fitted = fit(measured);
    kept.front() = Kept{std::move(measured), std::move(fitted)};
    return kept.front()->fit;
}

/// Straight lengths before and after an open curve, along its ends.
void run_on(Drawn& drawn, double before_mm, double after_mm) {
    if (before_mm == 0.0 && after_mm == 0.0) return;
    const double length_mm = geometry::length_mm(drawn.path);
    drawn.path = geometry::extended(drawn.path, before_mm, after_mm);
    for (CurvatureAt& sample : drawn.curvature) sample.at_mm += before_mm;
    if (before_mm > 0.0) drawn.curvature.insert(drawn.curvature.begin(), {{0.0, 0.0}, {before_mm, 0.0}});
    if (after_mm > 0.0) {
        drawn.curvature.push_back({before_mm + length_mm, 0.0});
        drawn.curvature.push_back({before_mm + length_mm + after_mm, 0.0});
    }
    for (auto* tightest : {&drawn.tightest_left, &drawn.tightest_right})
        if (*tightest) (*tightest)->at_mm += before_mm;
    for (double& at : drawn.inflections_mm) at += before_mm;
    if (drawn.trace) drawn.trace->at_mm += before_mm;
}

std::optional<CurveProblem> check(const Traced& traced) {
    const auto refused = [](std::string reason, std::string remedy) {
        return CurveProblem{std::move(reason), std::move(remedy), std::nullopt, std::nullopt};
    };
    if (traced.points.size() < 3) return refused("A trace of fewer than three points.", "Trace the line again.");
    for (std::size_t i = 0; i < traced.points.size(); ++i) {
        if (!usable(traced.points[i]) || !usable(placed(traced, traced.points[i])))
            return CurveProblem{"Point " + std::to_string(i + 1) + " of the trace lies beyond a kilometre.",
                                "Check the place and the unit of the trace.", i, std::nullopt};
    }
    if (!traced.scatter_mm.empty() && traced.scatter_mm.size() != traced.points.size())
        return refused("A scatter for some points of the trace and not for others.", "Trace the line again.");
    for (const double scatter : traced.scatter_mm) {
        if (!(scatter > 0.0) || !std::isfinite(scatter))
            return refused("A scatter of the trace that is no length above nought.", "Trace the line again.");
    }
    if (!(traced.run_on_start_mm >= 0.0) || !(traced.run_on_end_mm >= 0.0) || !usable(traced.run_on_start_mm) ||
        !usable(traced.run_on_end_mm))
        return refused("A trace carried on by no usable length.", "Say how far it runs on, 0 or more.");
    return std::nullopt;
}

}  // namespace

Point placed(const Traced& traced, Point own) {
    const Point u = geometry::unit(traced.turn_rad);
    return traced.at + own.x * u + own.y * geometry::left_of(u);
}

std::vector<Point> placed_points(const Traced& traced) {
    std::vector<Point> points;
    points.reserve(traced.points.size());
    for (const Point own : traced.points) points.push_back(placed(traced, own));
    return points;
}

std::variant<Drawn, CurveProblem> draw_traced(const Traced& traced, double within_mm) {
    if (auto problem = check(traced)) return *std::move(problem);
    const Fit& fit = fit_kept(traced);
    if (const auto* problem = std::get_if<FairProblem>(&fit)) {
        std::optional<Point> at;
        if (problem->at) at = placed(traced, *problem->at);
        return CurveProblem{problem->reason, problem->remedy, std::nullopt, at};
    }
    FairCurve fair = std::get<FairCurve>(fit);
    for (Clothoid& span : fair.spans) {
        span.start = placed(traced, span.start);
        span.heading_rad += traced.turn_rad;
    }
    auto result = fair.drawn(within_mm);
    auto* drawn = std::get_if<Drawn>(&result);
    if (drawn == nullptr) return result;
    TraceFit& beside = drawn->trace.emplace();
    beside.rms_mm = fair.rms_off_mm;
    const auto farthest = std::max_element(
        fair.offsets.begin(), fair.offsets.end(),
        [](const TraceOffset& a, const TraceOffset& b) { return std::abs(a.off_mm) < std::abs(b.off_mm); });
    beside.largest_mm = farthest->off_mm;
    beside.at_mm = farthest->at_mm;
    if (!traced.closed) run_on(*drawn, traced.run_on_start_mm, traced.run_on_end_mm);
    return result;
}

}  // namespace seamwright::curves
