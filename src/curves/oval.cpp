// Ellipses: (a cos t, b sin t), with curvature ab / (a² sin²t + b² cos²t)^(3/2), which rises and falls between the four
// ends of the axes only. The ends of the axes are made breaks, so that the arcs come out the same in all quarters.

#include <cmath>
#include <memory>

#include "shapes.h"

namespace seamwright::curves {

namespace {

struct Ellipse {
    Point centre;
    double a = 0.0;
    double b = 0.0;
    double cos_turn = 1.0;
    double sin_turn = 0.0;
    double turn = 0.0;
    double side = 1.0;  // −1 when travelled clockwise

    Point point(double t) const {
        const double x = a * std::cos(t);
        const double y = side * b * std::sin(t);
        return {centre.x + (cos_turn * x - sin_turn * y), centre.y + (sin_turn * x + cos_turn * y)};
    }
    double heading(double t) const {
        // The direction runs ahead of, or behind, that of a circle by an angle that never reaches a quarter turn.
        const double s = std::sin(t);
        const double c = std::cos(t);
        return turn + side * (t + 0.5 * geometry::pi + std::atan2((a - b) * s * c, a * s * s + b * c * c));
    }
    double curvature(double t) const {
        const double s = a * std::sin(t);
        const double c = b * std::cos(t);
        const double w = s * s + c * c;
        return side * a * b / (w * std::sqrt(w));
    }
    geometry::SmoothCurve::Range curvature_range(double t0, double t1) const {
        const double k0 = curvature(t0);
        const double k1 = curvature(t1);
        geometry::SmoothCurve::Range range{std::fmin(k0, k1), std::fmax(k0, k1)};
        // Ends of the axes within the stretch: multiples of a quarter turn.
        const double quarter = 0.5 * geometry::pi;
        const double first = std::ceil(t0 / quarter);
        for (int i = 0; i < 2 && (first + i) * quarter <= t1; ++i) {
            const bool on_a = std::fmod(first + i, 2.0) == 0.0;
            const double k = side * (on_a ? a / (b * b) : b / (a * a));
            range.low = std::fmin(range.low, k);
            range.high = std::fmax(range.high, k);
        }
        return range;
    }
};

}  // namespace

geometry::SmoothCurve ellipse(Point centre, double semi_x_mm, double semi_y_mm, double turn_rad, bool clockwise,
                              double t_begin, double t_end) {
    const Ellipse shape{
        centre, semi_x_mm, semi_y_mm, std::cos(turn_rad), std::sin(turn_rad), turn_rad, clockwise ? -1.0 : 1.0};
    const auto kept = std::make_shared<const Ellipse>(shape);
    geometry::SmoothCurve curve;
    curve.t_begin = t_begin;
    curve.t_end = t_end;
    curve.point = [kept](double t) { return kept->point(t); };
    curve.heading_rad = [kept](double t) { return kept->heading(t); };
    curve.curvature = [kept](double t) { return kept->curvature(t); };
    curve.curvature_range = [kept](double t0, double t1) { return kept->curvature_range(t0, t1); };
    const double longest = std::fmax(semi_x_mm, semi_y_mm);
    curve.length_bound_mm = [longest](double t0, double t1) { return longest * (t1 - t0); };
    if (semi_x_mm != semi_y_mm) {
        const double quarter = 0.5 * geometry::pi;
        // Nearer to an end than this part of a quarter turn, a break would only leave a sliver.
        constexpr double sliver = 1e-6;
        for (double i = std::ceil(t_begin / quarter + sliver); i * quarter < t_end - sliver; i += 1.0)
            curve.breaks.push_back(i * quarter);
    }
    return curve;
}

std::variant<Drawn, CurveProblem> draw_oval(const Oval& oval, double within_mm) {
    if (!usable(oval.centre) || !std::isfinite(oval.turn_rad)) {
        return CurveProblem{"The oval's centre or turn is not a usable number.",
                            "Give a plain number of no more than a kilometre.", std::nullopt, std::nullopt};
    }
    for (const double axis : {oval.length_mm, oval.width_mm}) {
        if (!usable(axis) || !(axis > 0.0)) {
            return CurveProblem{
                "The oval is " + plain(oval.length_mm) + " mm long and " + plain(oval.width_mm) + " mm wide.",
                "Give a length and a width above nothing.", std::nullopt, oval.centre};
        }
    }
    const double a = 0.5 * oval.length_mm;
    const double b = 0.5 * oval.width_mm;
    const double tightest = std::fmin(a, b) / std::fmax(a, b) * std::fmin(a, b);
    if (tightest < least_radius_mm) {
        return CurveProblem{"The oval is so slim that its ends turn on a radius of " + plain(tightest) + " mm.",
                            "Make it wider or shorter: " + plain(least_radius_mm) + " mm is the least.", std::nullopt,
                            oval.centre};
    }
    if (a == b) {
        Drawn out;
        out.path = geometry::circle(oval.centre, a);
        if (oval.turn_rad != 0.0) out.path = geometry::turned(out.path, oval.centre, oval.turn_rad);
        describe_arcs(out);
        return out;
    }
    geometry::SmoothCurve curve = ellipse(oval.centre, a, b, oval.turn_rad, false, 0.0, 2.0 * geometry::pi);
    curve.closed = true;
    return draw_smooth(curve, within_mm);
}

}  // namespace seamwright::curves
