#pragma once

#include <array>
#include <cstddef>

#include "geometry/segment.h"

namespace seamwright::geometry {

/// Two curves that cross at a flat angle cross at a place that rounding shifts along them by 1 / sine. Crossings
/// flatter than this get no more slack: 1e4 times rounding is 1.4e-6 mm along the segments on a 2.4 m top, 1.4e-10 mm
/// across.
inline constexpr double flattest_sine = 1e-4;

/// Two segments meet in at most two places, or share a stretch given by its two ends; ends on ends make four offers.
struct CrossingList {
    std::array<Crossing, 4> items{};
    std::size_t size = 0;

    const Crossing* begin() const { return items.data(); }
    const Crossing* end() const { return items.data() + size; }
};

/// As `crossings`, without allocation, for inner loops.
CrossingList meet(const Segment& a, const Segment& b);

}  // namespace seamwright::geometry
