// The stick as a smooth curve, and drawn out.

#include <algorithm>
#include <cmath>
#include <memory>

#include "curves/stick.h"
#include "free_elastica.h"
#include "laid_spans.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

using geometry::SmoothCurve;

Bend bend_at_start(const StickSpan& span) {
    return {span.curvature0, span.slope0};
}

struct Laid : LaidSpans<StickSpan> {
    using LaidSpans::LaidSpans;
    const StickSpan& span(double t) const { return spans[span_at(t)]; }
    double along(double t) const { return t - from_mm[span_at(t)]; }
};

SmoothCurve::Range joined(SmoothCurve::Range a, SmoothCurve::Range b) {
    return {std::fmin(a.low, b.low), std::fmax(a.high, b.high)};
}

}  // namespace

Point StickSpan::point(double at_mm) const {
    const Point way = further(bend_at_start(*this), at_mm).way;
    const Point along = geometry::unit(heading_rad);
    return start + way.x * along + way.y * geometry::left_of(along);
}

double StickSpan::heading(double at_mm) const {
    return heading_rad + bend_ahead(bend_at_start(*this), at_mm).turn_rad;
}

double StickSpan::curvature(double at_mm) const {
    return bend_ahead(bend_at_start(*this), at_mm).bend.curvature;
}

SmoothCurve::Range StickSpan::curvature_range(double from_mm, double to_mm) const {
    const Bend from = bend_ahead(bend_at_start(*this), from_mm).bend;
    const Bend to = bend_ahead(bend_at_start(*this), to_mm).bend;
    SmoothCurve::Range range{std::fmin(from.curvature, to.curvature), std::fmax(from.curvature, to.curvature)};
    // Crests lie one arch apart: 2.622 × 2/A (free_elastica.cpp). A shorter stretch has one if its slope turns over.
    const double crest = crest_curvature(from);
    constexpr double arch = 2.62;
    if ((to_mm - from_mm) * crest >= 2.0 * arch) return {-crest, crest};
    if (from.slope > 0.0 && to.slope < 0.0) range.high = std::fmax(range.high, crest);
    if (from.slope < 0.0 && to.slope > 0.0) range.low = std::fmin(range.low, -crest);
    return range;
}

double Stick::length_mm() const {
    double sum = 0.0;
    for (const StickSpan& span : spans) sum += span.length_mm;
    return sum;
}

SmoothCurve Stick::curve() const {
    auto laid = std::make_shared<const Laid>(spans);
    SmoothCurve curve;
    curve.t_begin = 0.0;
    curve.t_end = laid->from_mm.back();
    curve.closed = closed;
    curve.point = [laid](double t) { return laid->span(t).point(laid->along(t)); };
    curve.heading_rad = [laid](double t) {
        return laid->span(t).heading(laid->along(t)) + laid->turn_rad[laid->span_at(t)];
    };
    curve.curvature = [laid](double t) { return laid->span(t).curvature(laid->along(t)); };
    curve.curvature_range = [laid](double t0, double t1) {
        const std::size_t first = laid->span_at(t0);
        const std::size_t last = laid->span_at(t1);
        if (first == last) return laid->spans[first].curvature_range(laid->along(t0), laid->along(t1));
        const StickSpan& start = laid->spans[first];
        auto range = joined(start.curvature_range(laid->along(t0), start.length_mm),
                            laid->spans[last].curvature_range(0.0, laid->along(t1)));
        for (std::size_t i = first + 1; i < last; ++i)
            range = joined(range, laid->spans[i].curvature_range(0.0, laid->spans[i].length_mm));
        return range;
    };
    curve.length_bound_mm = [](double t0, double t1) { return t1 - t0; };
    return curve;
}

std::variant<Drawn, CurveProblem> draw_stick(const Pins& pins, double within_mm) {
    if (auto problem = check_pins(pins)) return *problem;
    const auto result = stick(pins.points, pins.closed, pins.start_heading_rad, pins.end_heading_rad);
    if (const auto* escape = std::get_if<StickEscape>(&result)) {
        const std::size_t n = pins.points.size();
        CurveProblem problem;
        problem.element = escape->pin;
        problem.at = pins.points[escape->pin];
        problem.reason = "A free stick finds no rest through these pins: between " + pin_name(escape->span) + " and " +
                         pin_name((escape->span + 1) % n) + " it slips out to one side and runs away, for at " +
                         pin_name(escape->pin) + " it would have to turn by " +
                         plain(std::round(std::abs(escape->turn_rad) * geometry::degrees_per_radian)) + " degrees.";
        const auto move =
            move_that_holds(pins.points, pins.closed, pins.start_heading_rad, pins.end_heading_rad, escape->pin);
        // To a tenth, and up: the place was found to 1 % of the way only.
        problem.remedy = move ? "Move " + pin_name(escape->pin) + " about " +
                                    plain(std::ceil(move->by_mm * 10.0) / 10.0) +
                                    " mm towards the line between its neighbours, or set more pins along the way round."
                              : "Set more pins along the way round, or let the row turn less there: moving " +
                                    pin_name(escape->pin) + " alone does not help.";
        return problem;
    }
    auto drawn = draw_smooth(std::get<Stick>(result).curve(), within_mm);
    if (auto* problem = std::get_if<CurveProblem>(&drawn)) {
        problem->element = nearest_pin(pins, problem->at.value_or(pins.points.front()));
        problem->remedy = "Move " + pin_name(*problem->element) + ", or set more pins around it.";
    }
    return drawn;
}

}  // namespace seamwright::curves
