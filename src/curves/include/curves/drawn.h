#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "curves/traced.h"
#include "geometry/biarc.h"
#include "geometry/path.h"

namespace seamwright::curves {

using geometry::Path;
using geometry::Point;

// What the maker means. Lengths in mm, angles in radians. "Left" and "right" are as seen travelling from `from` to
// `to`.

struct Straight {
    Point from, to;
};

/// An arc between two points, by radius (the shorter way round) or by its rise over the chord. Positive bulges to the
/// left of from→to, negative to the right. Exactly one of radius, rise is given.
struct Arc {
    Point from, to;
    std::optional<double> radius_mm;  ///< |radius| >= chord / 2
    std::optional<double> rise_mm;    ///< |rise| > 0
};

/// A stick sprung between two ends, which are free to turn (elastica.h). By its own length, or by its rise over the
/// chord. Positive bulges to the left of from→to, negative to the right, also of the length, whose amount is meant.
/// Exactly one of the two is given.
struct Sprung {
    Point from, to;
    std::optional<double> length_mm;
    std::optional<double> rise_mm;
};

/// A sum of sines laid along the straight line from→to; each term adds
///   half_height · sin(2π (x / length + shift)),   x along the line from `from`, + to the left.
struct Wave {
    struct Term {
        double half_height_mm = 0.0;  ///< from the middle line to the crest
        double length_mm = 0.0;       ///< one whole wave
        double shift = 0.0;           ///< part of a wave, 0..1
    };
    Point from, to;
    std::vector<Term> terms;  ///< 1..16
};

/// An ellipse, counter-clockwise; a circle when both are equal.
struct Oval {
    Point centre;
    double length_mm = 0.0, width_mm = 0.0;
    double turn_rad = 0.0;
};

/// How a batten lies through its pins.
enum class Batten {
    even,  ///< its curvature changes evenly from pin to pin; pins on a circle give the circle (clothoid.h)
    free   ///< as a real stick that slides through the pins does (stick.h)
};

/// A fair curve through pins.
struct Pins {
    std::vector<Point> points;  ///< open: >= 2, closed: >= 3
    bool closed = false;
    /// Open only. Absent: of an even batten the end span is an arc, so that pins on a circle give the circle (see
    /// clothoid.h); a free one is straight at its last pin.
    std::optional<double> start_heading_rad, end_heading_rad;
    Batten batten = Batten::even;
};

/// Ready-made geometry: an imported path. Beziers and elliptical arcs arrive already as lines and arcs, together with
/// the bound of that conversion. A line read from points keeps every point.
struct Imported {
    Path path;
    double bound_mm = 0.0;
};

using Curve = std::variant<Straight, Arc, Sprung, Wave, Oval, Pins, Imported, Traced>;

/// Why a curve cannot be drawn, in the maker's words, with the element it concerns (index of a pin, term, point).
struct CurveProblem {
    std::string reason;
    std::string remedy;
    std::optional<std::size_t> element;
    std::optional<Point> at;
};

struct CurvatureAt {
    double at_mm = 0.0;      ///< length from the start
    double curvature = 0.0;  ///< 1/mm, + turns left
};

/// How the points of a trace lie beside the fair curve that was laid under them.
struct TraceFit {
    double rms_mm = 0.0;      ///< root of the mean square, by length
    double largest_mm = 0.0;  ///< of the point farthest off; + to the left
    double at_mm = 0.0;       ///< where that is, along the path
};

/// A curve drawn out. Lengths are measured along `path`. A closed curve keeps the direction it was given in: "turns
/// left" is as seen travelling that way.
struct Drawn {
    Path path;
    double bound_mm = 0.0;  ///< path and the curve meant lie within this of each other
    /// The curvature of the curve meant, before it became arcs; dense enough to draw. Judge fairness on this.
    std::vector<CurvatureAt> curvature;
    struct Tightest {
        double radius_mm = 0.0;  ///< infinite for a straight line
        double at_mm = 0.0;
        Point at;
        bool turns_left = false;
    };
    /// Smallest radius turning left and turning right; absent when the curve never turns that way.
    std::optional<Tightest> tightest_left, tightest_right;
    std::vector<double> inflections_mm;  ///< where it changes from one way to the other
    std::optional<TraceFit> trace;       ///< of a traced curve
};

/// The curve as lines and arcs within `within_mm` of what was meant (> 0, else std::invalid_argument). Straight lines,
/// arcs, circles and imported paths are exact. Refused, with the element it concerns: numbers that are none or beyond a
/// kilometre, points that coincide, a radius below half the chord, a rise or an axis of nothing, a stick that is
/// too short or whose ends meet, more than 10 000 waves, a radius below 0.1 mm, pins that double back, pins that a free
/// batten slips out of, and a trace without a fair curve.
std::variant<Drawn, CurveProblem> draw(const Curve& curve, double within_mm = 0.002);

}  // namespace seamwright::curves
