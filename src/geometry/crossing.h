#pragma once

#include <array>
#include <cstddef>

#include "geometry/segment.h"

namespace seamwright::geometry {

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
