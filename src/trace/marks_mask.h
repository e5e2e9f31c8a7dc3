#pragma once

#include <vector>

#include "trace/line.h"
#include "trace/marks.h"

namespace seamwright::trace {

/// A mark with its white rim and a little more, within which no line is looked for. Where edges are looked for, the
/// border of its strip of paper is one as well, and a strong one: the mask reaches past it.
inline std::vector<Point> mask_of(const FoundMark& mark, LineKind kind) {
    // From the middle to a corner and 0.4, or 0.9, of that beyond: 12 or 27 mm past a black square of 60 mm.
    const double grown = kind == LineKind::edge ? 1.9 : 1.4;
    Point middle;
    for (const Point& corner : mark.corners_px) middle = middle + 0.25 * corner;
    std::vector<Point> outline;
    for (const Point& corner : mark.corners_px) outline.push_back(middle + grown * (corner - middle));
    return outline;
}

}  // namespace seamwright::trace
