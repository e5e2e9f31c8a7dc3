#pragma once

#include <vector>

#include "plan/rough_cut_study.h"

namespace seamwright::plan {

/// The index marks of one seam, given its routed edges. None for a seam with fewer than two of them.
std::vector<IndexMark> index_marks(const Plan& plan, std::size_t seam, const std::vector<RoughCut>& cuts);

/// Less bare wood than this beside a template is not drawn on; the mark goes down the cut edge instead.
inline constexpr double least_bare_mm = 3.0;

}  // namespace seamwright::plan
