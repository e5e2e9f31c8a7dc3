// A sum of sines laid along a straight line: y(x) = Σ A sin(ωx + φ), with curvature y'' / (1 + y'²)^(3/2).
//
// The curvature range over [x0, x1] comes from Taylor's series about the middle m, half the width d away from the ends:
//
//     y' ∈ y'(m) ± (|y''(m)| d + |y'''(m)| d²/2 + M d³/6),   y'' ∈ y''(m) ± (|y'''(m)| d + M d²/2),   M = Σ A ω⁴,
//
// so it is a true enclosure, and close to the curve's own variation on the short steps it is asked for.

#include <array>
#include <cmath>
#include <memory>

#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr std::size_t most_terms = 16;
/// More waves than this on one line are not a curve anyone routs; it also bounds the work.
constexpr double most_waves = 10000.0;

struct WaveShape {
    Point from;
    Point along;  // unit vector
    Point left;
    std::size_t count = 0;
    std::array<double, most_terms> height{};
    std::array<double, most_terms> omega{};
    std::array<double, most_terms> phase{};
    double fourth_bound = 0.0;    // Σ |A| ω⁴
    double steepest_bound = 0.0;  // Σ |A| ω

    struct Slopes {
        double first = 0.0, second = 0.0, third = 0.0;
    };
    double y(double x) const {
        double sum = 0.0;
        for (std::size_t i = 0; i < count; ++i) sum += height[i] * std::sin(omega[i] * x + phase[i]);
        return sum;
    }
    double slope(double x) const {
        double sum = 0.0;
        for (std::size_t i = 0; i < count; ++i) sum += height[i] * omega[i] * std::cos(omega[i] * x + phase[i]);
        return sum;
    }
    Slopes slopes(double x) const {
        Slopes out;
        for (std::size_t i = 0; i < count; ++i) {
            const double w = omega[i];
            const double s = height[i] * std::sin(w * x + phase[i]);
            const double c = height[i] * std::cos(w * x + phase[i]);
            out.first += w * c;
            out.second -= w * w * s;
            out.third -= w * w * w * c;
        }
        return out;
    }
    double curvature(double x) const {
        const Slopes d = slopes(x);
        const double w2 = 1.0 + d.first * d.first;
        return d.second / (w2 * std::sqrt(w2));
    }
    geometry::SmoothCurve::Range curvature_range(double x0, double x1) const {
        const Slopes m = slopes(0.5 * (x0 + x1));
        const double d = 0.5 * (x1 - x0);
        const double d2 = 0.5 * d * d;
        const double slack1 = std::abs(m.second) * d + std::abs(m.third) * d2 + fourth_bound * d2 * d / 3.0;
        const double slack2 = std::abs(m.third) * d + fourth_bound * d2;
        const double flat = std::fmax(0.0, std::abs(m.first) - slack1);
        const double steep = std::fmin(std::abs(m.first) + slack1, steepest_bound);
        const double least2 = 1.0 + flat * flat;
        const double most2 = 1.0 + steep * steep;
        const double least = least2 * std::sqrt(least2);
        const double most = most2 * std::sqrt(most2);
        const double low = m.second - slack2;
        const double high = m.second + slack2;
        return {low / (low < 0.0 ? least : most), high / (high > 0.0 ? least : most)};
    }
};

geometry::SmoothCurve wave_curve(const Wave& wave) {
    auto shape = std::make_shared<WaveShape>();
    const Point span = wave.to - wave.from;
    const double length = geometry::norm(span);
    shape->from = wave.from;
    shape->along = span / length;
    shape->left = geometry::left_of(shape->along);
    shape->count = wave.terms.size();
    for (std::size_t i = 0; i < wave.terms.size(); ++i) {
        const Wave::Term& term = wave.terms[i];
        const double omega = 2.0 * geometry::pi / term.length_mm;
        shape->height[i] = term.half_height_mm;
        shape->omega[i] = omega;
        shape->phase[i] = 2.0 * geometry::pi * term.shift;
        shape->fourth_bound += std::abs(term.half_height_mm) * omega * omega * omega * omega;
        shape->steepest_bound += std::abs(term.half_height_mm) * omega;
    }
    const double direction = geometry::heading(span);
    const double stretch = std::sqrt(1.0 + shape->steepest_bound * shape->steepest_bound);

    geometry::SmoothCurve curve;
    curve.t_begin = 0.0;
    curve.t_end = length;
    curve.point = [shape](double x) { return shape->from + x * shape->along + shape->y(x) * shape->left; };
    curve.heading_rad = [shape, direction](double x) { return direction + std::atan(shape->slope(x)); };
    curve.curvature = [shape](double x) { return shape->curvature(x); };
    curve.curvature_range = [shape](double x0, double x1) { return shape->curvature_range(x0, x1); };
    curve.length_bound_mm = [stretch](double x0, double x1) { return stretch * (x1 - x0); };
    return curve;
}

std::optional<CurveProblem> check_wave(const Wave& wave) {
    if (!usable(wave.from) || !usable(wave.to)) {
        return CurveProblem{"An end of the wave's middle line is not a usable number.",
                            "Give a plain number of no more than a kilometre.", std::nullopt, std::nullopt};
    }
    const double length = geometry::distance(wave.from, wave.to);
    const double size = std::fmax(std::fmax(std::abs(wave.from.x), std::abs(wave.from.y)),
                                  std::fmax(std::abs(wave.to.x), std::abs(wave.to.y)));
    if (length <= coincident_part * size) {
        return CurveProblem{"Both ends of the wave's middle line are the same point.", "Move one end.", std::nullopt,
                            wave.from};
    }
    if (wave.terms.empty() || wave.terms.size() > most_terms) {
        return CurveProblem{"The wave is made of " + std::to_string(wave.terms.size()) + " sines.",
                            "Give 1 to " + std::to_string(most_terms) + ".", std::nullopt, std::nullopt};
    }
    for (std::size_t i = 0; i < wave.terms.size(); ++i) {
        const Wave::Term& term = wave.terms[i];
        // A shift is a part of a wave; whole waves more change nothing, but only up to where digits are left.
        constexpr double most_shift = 1e6;
        if (!usable(term.half_height_mm) || !std::isfinite(term.length_mm) || !(std::abs(term.shift) <= most_shift)) {
            return CurveProblem{"A height, length or shift of this sine is not a usable number.",
                                "Give plain numbers: the height and the length of one wave in mm, the shift as a part "
                                "of a wave.",
                                i, std::nullopt};
        }
        if (!(term.length_mm > 0.0)) {
            return CurveProblem{"The length of one wave is " + plain(term.length_mm) + " mm.",
                                "Give a length above nothing.", i, std::nullopt};
        }
        if (length / term.length_mm > most_waves) {
            return CurveProblem{"One wave is " + plain(term.length_mm) + " mm long: that is " +
                                    plain(length / term.length_mm) + " waves on this line.",
                                "Use a wave of at least " + plain(length / most_waves) + " mm.", i, std::nullopt};
        }
    }
    return std::nullopt;
}

}  // namespace

std::variant<Drawn, CurveProblem> draw_wave(const Wave& wave, double within_mm) {
    if (auto problem = check_wave(wave)) return *problem;
    auto drawn = draw_smooth(wave_curve(wave), within_mm);
    if (auto* problem = std::get_if<CurveProblem>(&drawn)) {
        // The term that bends most on its own is the one to change.
        double most = -1.0;
        for (std::size_t i = 0; i < wave.terms.size(); ++i) {
            const double bend =
                std::abs(wave.terms[i].half_height_mm) / (wave.terms[i].length_mm * wave.terms[i].length_mm);
            if (bend > most) {
                most = bend;
                problem->element = i;
            }
        }
        problem->remedy = "Make this wave lower or longer.";
    }
    return drawn;
}

}  // namespace seamwright::curves
