#pragma once

#include <cmath>

#include "geometry/segment.h"

// Questions about arcs that are asked in inner loops, answered without trigonometry where possible.

namespace seamwright::geometry {

/// True when direction d, seen from the centre, points at the arc.
inline bool in_sector(const Segment& arc, Point d) {
    const Point from = arc.sweep_rad > 0.0 ? arc.start - arc.centre : arc.end - arc.centre;
    const Point to = arc.sweep_rad > 0.0 ? arc.end - arc.centre : arc.start - arc.centre;
    const bool after = cross(from, d) >= 0.0;
    const bool before = cross(d, to) >= 0.0;
    if (std::abs(arc.sweep_rad) <= pi) {
        // Rounding can let the opposite direction of a very flat arc pass both tests; the side tells. Near a half turn
        // from + to is nothing but rounding and must not be asked, and it need not be: there the two tests suffice.
        return after && before && (std::abs(arc.sweep_rad) > 0.5 * pi || dot(from + to, d) >= 0.0);
    }
    return after || before;
}

/// Height of p over the circle of the arc: positive outside. Exact to rounding for any radius.
inline double height_over_circle(const Segment& arc, Point p) {
    const Point v = arc.start - arc.centre;
    const Point w = p - arc.start;
    return (2.0 * dot(v, w) + norm2(w)) / (norm(p - arc.centre) + arc.radius_mm);
}

/// The angle of a direction with these components across and along, as std::atan2 tells it. Most turns asked for are
/// small; those up to an eighth are summed up here (the first term left out is below 1e-17 of the sum), at a tenth of
/// the cost.
inline double turn_of(double across, double along) {
    if (!(std::abs(across) <= 0.125 * along)) return std::atan2(across, along);
    if (along == 0.0) return 0.0;
    const double t = across / along;
    const double tt = t * t;
    const double even = 1.0 / 5 + tt * tt * (1.0 / 9 + tt * tt * (1.0 / 13 + tt * tt * (1.0 / 17)));
    const double odd = 1.0 / 3 + tt * tt * (1.0 / 7 + tt * tt * (1.0 / 11 + tt * tt * (1.0 / 15)));
    return t - t * tt * (odd - tt * even);
}

/// Fraction of the sweep at which p is seen from the centre; beyond the ends the nearer side is extended:
/// slightly negative before the start, slightly over 1 past the end.
inline double open_fraction_at(const Segment& arc, Point p) {
    const Point v = arc.start - arc.centre;
    const Point w = p - arc.start;
    // cross(v, p − centre) = cross(v, w), without the cancellation of two large numbers.
    double turn = turn_of(cross(v, w), dot(v, v + w));
    if (arc.sweep_rad < 0.0) turn = -turn;
    const double size = std::abs(arc.sweep_rad);
    // Bring the turn into the window of one full turn centred on the arc.
    if (turn < 0.5 * size - pi) turn += 2.0 * pi;
    return turn / size;
}

inline double fraction_at(const Segment& arc, Point p) {
    const double u = open_fraction_at(arc, p);
    return u < 0.0 ? 0.0 : (u > 1.0 ? 1.0 : u);
}

}  // namespace seamwright::geometry
