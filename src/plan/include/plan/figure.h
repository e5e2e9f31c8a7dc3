#pragma once

#include <vector>

#include "geometry/point.h"

namespace seamwright::plan {

/// How a board, as it is drawn on the shelf, comes to lie on the top: a place p of it lies at origin + p.x along +
/// p.y across. Turned over, it is mirrored.
struct BoardOnTop {
    geometry::Point origin, along, across;

    geometry::Point at(geometry::Point p) const { return origin + p.x * along + p.y * across; }
};

/// A line of a drawn figure, on the board.
struct FigureLine {
    std::vector<geometry::Point> points;
    double width_mm = 0.0;
};

}  // namespace seamwright::plan
