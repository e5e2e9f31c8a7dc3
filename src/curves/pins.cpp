// A fair curve through pins: the Euler-spiral spline (euler_spline.cpp), drawn out, and a plain word when there is
// none.

#include <algorithm>
#include <cmath>

#include "curves/clothoid.h"
#include "curves/stick.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

using geometry::wrap_pi;

/// The pin at which the row of pins turns most from one chord to the next.
std::size_t sharpest_pin(const Pins& pins) {
    const std::size_t n = pins.points.size();
    std::size_t sharpest = 0;
    double most = -1.0;
    for (std::size_t i = 0; i < n; ++i) {
        double turn = 0.0;
        const bool is_start = !pins.closed && i == 0;
        const bool is_end = !pins.closed && i + 1 == n;
        const Point into = pins.points[i] - pins.points[(i + n - 1) % n];
        const Point out = pins.points[(i + 1) % n] - pins.points[i];
        if (is_start) {
            if (pins.start_heading_rad) turn = wrap_pi(geometry::heading(out) - *pins.start_heading_rad);
        } else if (is_end) {
            if (pins.end_heading_rad) turn = wrap_pi(*pins.end_heading_rad - geometry::heading(into));
        } else {
            turn = wrap_pi(geometry::heading(out) - geometry::heading(into));
        }
        if (std::abs(turn) > most) {
            most = std::abs(turn);
            sharpest = i;
        }
    }
    return sharpest;
}

}  // namespace

std::string pin_name(std::size_t i) {
    return "pin " + std::to_string(i + 1);
}

std::size_t nearest_pin(const Pins& pins, Point p) {
    const auto nearer = [p](Point a, Point b) { return geometry::distance(a, p) < geometry::distance(b, p); };
    const auto it = std::min_element(pins.points.begin(), pins.points.end(), nearer);
    return static_cast<std::size_t>(it - pins.points.begin());
}

std::optional<CurveProblem> check_pins(const Pins& pins) {
    const std::size_t n = pins.points.size();
    const std::size_t least = pins.closed ? 3 : 2;
    if (n < least) {
        return CurveProblem{"There are " + std::to_string(n) + " pins.",
                            std::string("A") + (pins.closed ? " closed" : "n open") + " curve needs at least " +
                                std::to_string(least) + ".",
                            std::nullopt, std::nullopt};
    }
    geometry::Box box;
    for (std::size_t i = 0; i < n; ++i) {
        if (!usable(pins.points[i])) {
            return CurveProblem{"The place of " + pin_name(i) + " is not a usable number.",
                                "Give plain numbers of no more than a kilometre.", i, std::nullopt};
        }
        box.add(pins.points[i]);
    }
    const double size = std::fmax(box.width_mm(), box.height_mm());
    for (std::size_t i = 0; i + 1 < n || (pins.closed && i < n); ++i) {
        const std::size_t next = (i + 1) % n;
        if (geometry::distance(pins.points[i], pins.points[next]) <= coincident_part * size || size == 0.0) {
            return CurveProblem{pin_name(next) + " is at the same place as " + pin_name(i) + ".",
                                "Take one of the two out, or move it.", next, pins.points[next]};
        }
    }
    const bool has_headings = pins.start_heading_rad || pins.end_heading_rad;
    if (pins.closed && has_headings) {
        return CurveProblem{"A closed curve has no ends that could have a direction.",
                            "Leave the directions out, or let the curve be open.", std::nullopt, std::nullopt};
    }
    if ((pins.start_heading_rad && !std::isfinite(*pins.start_heading_rad)) ||
        (pins.end_heading_rad && !std::isfinite(*pins.end_heading_rad))) {
        return CurveProblem{"The direction at an end is not a usable number.", "Give an angle.",
                            pins.start_heading_rad && !std::isfinite(*pins.start_heading_rad) ? 0 : n - 1,
                            std::nullopt};
    }
    return std::nullopt;
}

std::variant<Drawn, CurveProblem> draw_pins(const Pins& pins, double within_mm) {
    if (pins.batten == Batten::free) return draw_stick(pins, within_mm);
    if (auto problem = check_pins(pins)) return *problem;
    const auto spline = euler_spline(pins.points, pins.closed, pins.start_heading_rad, pins.end_heading_rad);
    if (!spline) {
        const std::size_t sharpest = sharpest_pin(pins);
        return CurveProblem{
            "No fair curve passes through these pins: the row turns too sharply at " + pin_name(sharpest) + ".",
            "Move that pin so that the row does not double back, or set more pins along the way round.", sharpest,
            pins.points[sharpest]};
    }
    auto drawn = draw_smooth(spline->curve(), within_mm);
    if (auto* problem = std::get_if<CurveProblem>(&drawn)) {
        problem->element = problem->at ? nearest_pin(pins, *problem->at) : sharpest_pin(pins);
        problem->remedy = "Move " + pin_name(*problem->element) + ", or set more pins around it.";
    }
    return drawn;
}

}  // namespace seamwright::curves
