#pragma once

#include <cstddef>
#include <optional>
#include <variant>
#include <vector>

#include "curves/drawn.h"

namespace seamwright::curves {

/// The bent stick between two pins it slides through freely: κ'' = −½ κ³ (the rectangular elastica of L. Euler, De
/// curvis elasticis, 1744).
struct StickSpan {
    Point start;
    double heading_rad = 0.0;
    double length_mm = 0.0;
    double curvature0 = 0.0;  ///< 1/mm at the start, + turns left
    double slope0 = 0.0;      ///< 1/mm² at the start: how the curvature changes along it
    double curvature1 = 0.0;  ///< at the end

    Point point(double at_mm) const;
    double heading(double at_mm) const;
    double curvature(double at_mm) const;
    /// Encloses the curvature from `from_mm` to `to_mm`; exact where the stretch has at most one crest.
    geometry::SmoothCurve::Range curvature_range(double from_mm, double to_mm) const;
};

/// A real stick (a batten of even thickness, free to slide) bent through pins: of all curves nearby, of any length, the
/// one whose ∫ κ² ds is least. Its curvature is continuous. At an end without a given direction it is free, and
/// straight at the last pin; beyond the last pin it runs on straight, which is not part of it.
///
/// It is not the Euler spiral of clothoid.h: pins on a circle do not give the circle. Eight pins around it leave the
/// stick 0.05 % of the radius outside midway, three pins 3.5 %.
struct Stick {
    std::vector<StickSpan> spans;
    bool closed = false;
    double bending_per_mm = 0.0;  ///< ∫ κ² ds; half of it times E·I is the work it took to bend it
    struct Tightest {
        double radius_mm = 0.0;
        double at_mm = 0.0;  ///< along the stick
        Point at;
        bool turns_left = false;
    };
    std::optional<Tightest> tightest;  ///< absent when it lies straight
    int steps = 0;                     ///< of Newton's method

    double length_mm() const;
    geometry::SmoothCurve curve() const;
};

/// There is no stick: it finds no rest, but slips out sideways between two pins and runs away. (A free stick can always
/// ease itself by a large enough loop; a rest is where small slips do not help. Between two pins it has none when the
/// two directions leave the chord by more than 90° to the same side, or one of them by more than 124°.)
struct StickEscape {
    std::size_t span = 0;   ///< from this pin to the next
    std::size_t pin = 0;    ///< of the two pins of the span, the one that asks for more of a turn
    double turn_rad = 0.0;  ///< what it asks for: from chord to chord, or from the given direction to the chord
};

/// The stick through the pins, from the given directions (radians; open sticks only). Where several shapes could rest,
/// the one that is reached from the arcs through three pins at a time. `before` is the stick of a moment ago, with as
/// many pins: while a pin is dragged it saves most of the work, and the stick stays in the shape it is in.
///
/// pins: open at least 2, closed at least 3, neighbours apart, else std::invalid_argument. The pins are met to
/// rounding. Always ends: at most `most_stick_steps` steps for every start it tries.
std::variant<Stick, StickEscape> stick(const std::vector<Point>& pins, bool closed,
                                       std::optional<double> start_heading_rad = {},
                                       std::optional<double> end_heading_rad = {}, const Stick* before = nullptr);
inline constexpr int most_stick_steps = 100;

/// How far one pin has to be moved towards the line between its neighbours for the stick to hold (found to 1 % of the
/// way); `to` is such a place, and was tried. nullopt when moving that pin alone does not help, and for end pins.
struct PinMove {
    Point to;
    double by_mm = 0.0;
};
std::optional<PinMove> move_that_holds(const std::vector<Point>& pins, bool closed,
                                       std::optional<double> start_heading_rad, std::optional<double> end_heading_rad,
                                       std::size_t pin);

/// The stick drawn out, as draw() draws the other curves, refused with the same words where pins are no use, and where
/// the stick does not hold: with the pin and the move that helps. `pins.batten` is taken as free.
std::variant<Drawn, CurveProblem> draw_stick(const Pins& pins, double within_mm = 0.002);

}  // namespace seamwright::curves
