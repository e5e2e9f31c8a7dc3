#pragma once

#include <vector>

#include "trace/marks.h"

namespace seamwright::trace {

/// A mark with its white rim and a little more, within which no line is looked for.
inline std::vector<Point> mask_of(const FoundMark& mark) {
    // From the middle to a corner and 0.4 of that beyond: 12 mm past a black square of 60 mm.
    constexpr double grown = 1.4;
    Point middle;
    for (const Point& corner : mark.corners_px) middle = middle + 0.25 * corner;
    std::vector<Point> outline;
    for (const Point& corner : mark.corners_px) outline.push_back(middle + grown * (corner - middle));
    return outline;
}

}  // namespace seamwright::trace
