#pragma once

#include "canvas.h"
#include "paper/tiles.h"

namespace seamwright::paper {

/// The page before a drawing's sheets: a small map of them, how to join them, what to measure first, cautions.
void draw_key_map(Canvas& canvas, const Drawing& drawing, const Tiling& tiling, const TileGrid& grid);

}  // namespace seamwright::paper
