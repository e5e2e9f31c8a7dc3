#pragma once

#include <optional>
#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// What the readings along the template made by hand say, where the job has them: high and low spots, what to sand, and
/// whether the two edges copied from it close. nullopt without readings, or, with the reason in `problems`, where they
/// cannot be used.
std::optional<MadePlan> made_plan(const SeamPlan& seam, std::size_t seam_index, const job::Job& job,
                                  const shelf::Shelf& shelf, std::vector<job::Problem>& problems);

}  // namespace seamwright::plan
