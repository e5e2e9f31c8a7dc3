#pragma once

#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// A seam along a piece, and whether the piece lies on its left.
struct Bordering {
    std::size_t seam = 0;
    bool on_left = false;
};
std::vector<Bordering> bordering(const Plan& plan, const PiecePlan& piece);

/// The outline of a piece as it is sawn, longer at both ends by so much; as it lies in the top, without the margin
/// around it. See process/rough_wood.h.
Path rough_outline(const Plan& plan, const PiecePlan& piece, double longer_mm);

}  // namespace seamwright::plan
