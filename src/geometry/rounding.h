#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/segment.h"

// The one place where the room says how much rounding it reckons with. All tolerances are multiples of the unit
// roundoff times the size of the numbers at hand, so that a drawing that is scaled or moved keeps its result.

namespace seamwright::geometry {

/// Rounding steps allowed for between input and a computed place: a crossing of two arcs takes about twenty operations,
/// each with half a unit; the rest is room for the cancellation of coordinates. Too small: crossings at joints are
/// missed. Too large: features below (this × 2e-16 × drawing size) = 1e-10 mm on a 2.4 m top are merged.
inline constexpr double rounding_steps = 256.0;

/// What rounding may have moved a place whose largest number is `size_mm`.
inline double rounding_mm(double size_mm) {
    return rounding_steps * std::numeric_limits<double>::epsilon() * size_mm;
}

/// Sine of the angle below which two lines are taken as parallel: their crossing would carry no digits.
inline constexpr double parallel_turn = 64.0 * std::numeric_limits<double>::epsilon();

/// Largest coordinate of a segment's ends, or in a box: the size that rounding goes by.
inline double largest_coordinate(const Segment& s) {
    return std::max({std::abs(s.start.x), std::abs(s.start.y), std::abs(s.end.x), std::abs(s.end.y)});
}
inline double largest_coordinate(const Box& box) {
    return box.empty()
               ? 0.0
               : std::max({std::abs(box.low.x), std::abs(box.low.y), std::abs(box.high.x), std::abs(box.high.y)});
}

/// Largest coordinate or radius that took part in a segment.
inline double largest_number(const Segment& s) {
    return std::max(largest_coordinate(s), s.radius_mm);
}

}  // namespace seamwright::geometry
