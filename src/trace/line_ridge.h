#pragma once

#include <vector>

#include "line_level.h"
#include "trace/line.h"

namespace seamwright::trace {

/// A pixel of a level through which a line runs.
struct RidgePoint {
    int x = 0, y = 0;  ///< the pixel
    Point at;          ///< on the line, in pixels of the level
    Point along;       ///< unit; a drawn line has no sense of travel, an edge has the light on its right in the picture
    double depth = 0;  ///< greys from the line to the less bright of its two sides; of an edge, the height of the step
    double part = 0;   ///< the same as a part of the light there
};

/// At most this many; a picture full of texture gives its strongest.
inline constexpr std::size_t most_ridge_points = 300'000;

/// Points on lines, in order of rows. Those weaker than the noise of the picture are left out.
std::vector<RidgePoint> ridge_points(const Level& level, LineKind kind);

}  // namespace seamwright::trace
