#pragma once

#include <optional>
#include <variant>

#include "curves/drawn.h"

namespace seamwright::curves {

// A thin stick bent by nothing but a push at its ends (L. Euler, De curvis elasticis, 1744; A. E. H. Love, A Treatise
// on the Mathematical Theory of Elasticity, chapter 19). One number, the modulus k = sin(½ end slope), gives its shape.

/// A place on such a stick, in units in which √(P/EI) = 1, measured from the crest of its arch along the line of push.
/// It turns left: curvature is 2k at the crest and nought where u is ±K(k), the free ends.
struct ElasticaPlace {
    double along = 0.0;   ///< along the line of push
    double across = 0.0;  ///< from the crest towards the line of push
    double heading_rad = 0.0;
    double curvature = 0.0;
};
/// u: length from the crest. 0 <= modulus < 1, else std::invalid_argument. Accurate to about 1e-15 · (1 + |u|).
ElasticaPlace elastica_place(double modulus, double u);

/// The whole arch between its two free ends, for a stick of unit length.
struct ElasticaArch {
    double chord = 0.0;      ///< between the ends, 2 E/K − 1; negative when they have passed each other
    double shortfall = 0.0;  ///< 1 − chord, without rounding
    double rise = 0.0;       ///< k/K
    double curvature = 0.0;  ///< at the crest, 4 k K
    double force = 0.0;      ///< push, as part of the load under which the straight stick buckles (π² EI/L²): (2K/π)²
    double end_slope_rad = 0.0;   ///< from the chord, 2 asin k
    double quarter_period = 0.0;  ///< K
};
/// 0 <= modulus < 1, else std::invalid_argument.
ElasticaArch elastica_arch(double modulus);

/// A stick of fixed length sprung between two pins, its ends free to turn. Lengths in mm.
struct SprungStick {
    double chord_mm = 0.0, length_mm = 0.0, rise_mm = 0.0;
    double modulus = 0.0;
    double end_slope_rad = 0.0;       ///< at the pins, from the chord
    double largest_curvature = 0.0;   ///< 1/mm, at the crest
    double tightest_radius_mm = 0.0;  ///< at the crest
    double force_share = 0.0;         ///< push at the pins / buckling load of the straight stick; 1 when hardly bent

    /// From `from` towards `heading_rad`, bulging to one side. t is the length along the stick.
    geometry::SmoothCurve curve(Point from, double heading_rad, bool bulges_left) const;
};

/// Two of the three. Length and rise leave two sticks, one with its pins closer; the flatter one is meant.
struct SprungWish {
    std::optional<double> chord_mm, length_mm, rise_mm;
};
/// Refused: not exactly two, numbers that are none, a stick no longer than its chord, a chord below a thousandth of the
/// length, a rise above 0.403 of the length (no stick rises further).
std::variant<SprungStick, CurveProblem> sprung_stick(const SprungWish& wish);

/// The stick that a curve of this kind means; refused as draw() refuses it.
std::variant<SprungStick, CurveProblem> stick_of(const Sprung& sprung);

/// The signed rise of the stick from `from` to `to` that passes through a third place, + to the left; at most
/// `most_sprung_rise` of the chord, and 0 where the place lies on the chord. from != to, else std::invalid_argument.
double sprung_rise_through(Point from, Point to, Point through);
/// Beyond this part of the chord the ends of a stick all but meet.
inline constexpr double most_sprung_rise = 1.2;

std::variant<Drawn, CurveProblem> draw_sprung(const Sprung& sprung, double within_mm = 0.002);

}  // namespace seamwright::curves
