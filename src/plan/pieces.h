#pragma once

#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// Names the parts of the top by the job's `at` points, and weighs them. Named pieces come in the order of the job;
/// parts without a name follow from front to back and left to right as "Piece A", "Piece B", ... with a warning.
std::vector<PiecePlan> name_pieces(const job::Job& job, std::vector<geometry::Region> regions,
                                   std::vector<job::Problem>& problems);

}  // namespace seamwright::plan
