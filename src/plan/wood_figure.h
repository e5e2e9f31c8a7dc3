#pragma once

#include <string_view>
#include <vector>

#include "geometry/point.h"
#include "plan/figure.h"
#include "shelf/board.h"

namespace seamwright::plan {

/// Growth rings as they show on the face of a board without a picture, as far as `seen` needs them, in the board's
/// coordinates. The same name gives the same lines, whatever part of the board is seen.
std::vector<FigureLine> wood_figure(std::string_view name, const shelf::Board& board, const geometry::Box& seen);

}  // namespace seamwright::plan
