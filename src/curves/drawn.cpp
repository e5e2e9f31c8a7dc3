#include "curves/drawn.h"

#include <array>
#include <charconv>
#include <cmath>
#include <stdexcept>

#include "curves/elastica.h"
#include "shapes.h"

namespace seamwright::curves {

bool usable(double length_mm) {
    return std::isfinite(length_mm) && std::abs(length_mm) <= most_coordinate_mm;
}

bool usable(Point p) {
    return usable(p.x) && usable(p.y);
}

std::string plain(double value) {
    // Six significant digits: enough to recognise one's own number, and the shortest form of it.
    std::array<char, 32> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::general, 6);
    return {text.data(), end.ptr};
}

std::variant<Drawn, CurveProblem> draw(const Curve& curve, double within_mm) {
    if (!(within_mm > 0.0) || !std::isfinite(within_mm))
        throw std::invalid_argument("draw: within_mm must be a positive length");
    struct Drawing {
        double within_mm;
        std::variant<Drawn, CurveProblem> operator()(const Straight& c) const { return draw_straight(c); }
        std::variant<Drawn, CurveProblem> operator()(const Arc& c) const { return draw_arc(c); }
        std::variant<Drawn, CurveProblem> operator()(const Sprung& c) const { return draw_sprung(c, within_mm); }
        std::variant<Drawn, CurveProblem> operator()(const Wave& c) const { return draw_wave(c, within_mm); }
        std::variant<Drawn, CurveProblem> operator()(const Oval& c) const { return draw_oval(c, within_mm); }
        std::variant<Drawn, CurveProblem> operator()(const Pins& c) const { return draw_pins(c, within_mm); }
        std::variant<Drawn, CurveProblem> operator()(const Imported& c) const { return draw_imported(c); }
        std::variant<Drawn, CurveProblem> operator()(const Traced& c) const { return draw_traced(c, within_mm); }
    };
    return std::visit(Drawing{within_mm}, curve);
}

}  // namespace seamwright::curves
