#pragma once

#include "paper/drawing.h"

namespace seamwright::paper {

// Each throws std::invalid_argument with what was found, what is allowed and what to do.
void check_drawing(const Drawing& drawing);
void check_correction(const Correction& correction);
void check_tiling(const Tiling& tiling);

}  // namespace seamwright::paper
