#pragma once

#include <cmath>

#include "seam/chain.h"

namespace seamwright::seam {

/// Mismatches closer together than this are of one grade; grade 0 is exact.
inline constexpr double grade_step_mm = 0.001;
inline double grade_of(double mismatch_mm) {
    const double size_mm = std::abs(mismatch_mm);
    return size_mm <= exact_mm ? 0.0 : std::ceil(size_mm / grade_step_mm);
}

std::vector<std::string> reasons_for(const Chain& chain);

/// Puts the chains in order, best first, and writes the reasons.
void rank(std::vector<Chain>& chains);

}  // namespace seamwright::seam
