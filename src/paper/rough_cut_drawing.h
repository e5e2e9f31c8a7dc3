#pragma once

#include <cstddef>

#include "plan/rough_cut_study.h"
#include "text_pages.h"

namespace seamwright::paper {

/// One piece as it is sawn and routed, to scale, and each end of each routed edge drawn larger.
void draw_rough_piece(TextPages& pages, const plan::RoughCutStudy& study, std::size_t piece, const plan::Plan& plan);

}  // namespace seamwright::paper
