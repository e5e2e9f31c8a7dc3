#pragma once

#include <optional>
#include <vector>

#include "geometry/biarc.h"

namespace seamwright::curves {

using geometry::Point;

/// ∫₀¹ exp(i (k0 u + ½ k1 u²)) du measured about the middle: the chord vector of a clothoid of unit length with
/// curvature k0 + k1·t, t in [−½, ½], heading 0 at its middle. Accuracy 1e-13 relative for |k0|, |k1| <= 50.
Point unit_clothoid_chord(double k0, double k1);

/// A stretch of Euler spiral: curvature runs linearly from `curvature0` to `curvature1` along `length_mm`.
struct Clothoid {
    Point start;
    double heading_rad = 0.0;
    double length_mm = 0.0;
    double curvature0 = 0.0, curvature1 = 0.0;

    Point point(double at_mm) const;
    double heading(double at_mm) const;
    double curvature(double at_mm) const;
};

/// The clothoid from `from` to `to` that leaves and arrives in the given directions (radians, any full turns added).
/// Of the many, the one that turns least. nullopt where none is found: the two points coincide, or a direction comes
/// close to straight back (beyond ±0.98 π from the chord).
std::optional<Clothoid> clothoid_between(Point from, Point to, double heading0_rad, double heading1_rad);

/// Euler-spiral spline (R. Levien, "From Spiral to Spline", thesis, 2009): G2 through all pins, curvature linear
/// between them. Pins on a circle give the circle, closed or open.
///
/// An open end without a given direction is natural: the end span is a circular arc (its curvature does not change).
/// A batten whose end is free would have no curvature there, but then pins on a circle would not give the circle, and
/// three pins would not give their arc. Two pins with both ends natural give the straight line.
///
/// pins: open at least 2, closed at least 3, neighbours apart. Directions only for open splines, in radians.
/// nullopt when Newton's steps do not settle (pins that double back on themselves).
struct EulerSpline {
    std::vector<Clothoid> spans;
    bool closed = false;
    int steps = 0;  ///< Newton steps taken

    geometry::SmoothCurve curve() const;
};
std::optional<EulerSpline> euler_spline(const std::vector<Point>& pins, bool closed,
                                        std::optional<double> start_heading_rad = {},
                                        std::optional<double> end_heading_rad = {});

}  // namespace seamwright::curves
