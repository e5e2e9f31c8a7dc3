// What a fair curve tells of itself; how it is found is in fair_fit.cpp.

#include "curves/fair.h"

#include <algorithm>
#include <cmath>

#include "fair_base.h"
#include "fair_closed.h"
#include "fair_fit.h"
#include "shapes.h"

namespace seamwright::curves {

std::vector<TraceOffset> offsets_from(const FairCurve& curve, std::span<const Point> trace) {
    FairBase base;
    base.at_mm.push_back(0.0);
    for (const Clothoid& span : curve.spans) {
        base.place.push_back(span.start);
        base.direction.push_back(span.heading_rad);
        base.curvature.push_back(span.curvature0);
        base.at_mm.push_back(base.at_mm.back() + span.length_mm);
    }
    const Clothoid& last = curve.spans.back();
    base.place.push_back(last.point(last.length_mm));
    base.direction.push_back(last.heading(last.length_mm));
    base.curvature.push_back(last.curvature1);
    std::vector<TraceOffset> out;
    out.reserve(trace.size());
    std::size_t near = 0;
    for (const Point p : trace) {
        const Foot foot = foot_on(base, p, near);
        near = foot.span;
        out.push_back({std::clamp(base.at_mm[foot.span] + foot.along_mm, 0.0, base.length_mm()), foot.off_mm});
    }
    return out;
}

geometry::SmoothCurve FairCurve::curve() const {
    EulerSpline chain;
    chain.spans = spans;
    chain.closed = closed;
    return chain.curve();
}

std::variant<Drawn, CurveProblem> FairCurve::drawn(double within_mm) const {
    return draw_smooth(curve(), within_mm);
}

double FairCurve::curvature_at(double at_mm) const {
    double left = at_mm;
    for (const Clothoid& span : spans) {
        if (left <= span.length_mm) return span.curvature(std::fmax(left, 0.0));
        left -= span.length_mm;
    }
    return spans.back().curvature1;
}

std::variant<FairCurve, FairProblem> fit_fair(std::span<const Point> trace, const FairSettings& settings,
                                              std::span<const double> weights) {
    if (settings.closed) return fit_closed(trace, settings, weights).fit;
    return FairFit(trace, weights, settings).run();
}

std::vector<Point> trace_of(const Path& path, double step_mm) {
    const std::vector<double> running = geometry::running_length_mm(path);
    const double whole = running.back();
    const auto steps = static_cast<std::size_t>(std::fmax(1.0, std::ceil(whole / step_mm)));
    std::vector<Point> out;
    out.reserve(steps + 1);
    for (std::size_t i = 0; i <= steps; ++i) {
        const double at = whole * static_cast<double>(i) / static_cast<double>(steps);
        out.push_back(geometry::point_at(path, geometry::station_at(path, running, at)));
    }
    return out;
}

}  // namespace seamwright::curves
