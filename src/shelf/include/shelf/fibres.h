#pragma once

#include "shelf/board.h"

namespace seamwright::shelf {

/// How the fibres run at a place of the board, in radians from its length, counter-clockwise, within ±90°. Where lines
/// are drawn along the grain: the mean of their directions where each is nearest, the near ones counting most (by one
/// over the square of the distance; our judgement). Else the board's slope.
double fibres_rad(const Board& board, geometry::Point at);

/// The mean over the whole board.
double mean_fibres_rad(const Board& board);

}  // namespace seamwright::shelf
