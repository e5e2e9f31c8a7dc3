#pragma once

#include <array>
#include <vector>

#include "trace/picture.h"

namespace seamwright::trace {

// Reference marks: squares of the open AprilTag family 36h11 (E. Olson, AprilTag: a robust and flexible visual fiducial
// system, ICRA 2011). A mark is 8 × 8 cells within its black border, on a white rim at least one cell wide.

inline constexpr int mark_count = 587;  ///< numbers 0..586
inline constexpr int mark_cells_across = 8;

/// Black cells of a mark as printed, row by row from the top: the border and the 6 × 6 cells in it. 0 <= id <
/// mark_count, else std::invalid_argument.
std::array<std::array<bool, mark_cells_across>, mark_cells_across> mark_cells(int id);

/// A mark found in a picture. Corners of its black square: top left, top right, bottom right, bottom left as printed.
struct FoundMark {
    int id = 0;
    std::array<Point, 4> corners_px;
    double blur_px = 0.0;    ///< scatter σ of the blur across its edges
    double contrast = 0.0;   ///< white less black, 0..255
    double corner_px = 0.0;  ///< scatter σ to be expected of a corner
};

struct FoundMarks {
    std::vector<FoundMark> marks;       ///< by number; each number once
    std::vector<TraceProblem> remarks;  ///< marks left out, and why: half covered, blurred, twice the same number
    bool mirrored = false;              ///< marks read only in a mirror: the picture was turned over left to right
};

FoundMarks find_marks(const Picture& picture);

}  // namespace seamwright::trace
