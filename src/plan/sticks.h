#pragma once

#include <optional>
#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// The stick a seam is drawn with and what its tightest bend does to it; nullopt where the job names none.
std::optional<StickPlan> bent_stick(const job::Job& job, std::size_t seam, const curves::Drawn& drawn);

/// Warns of sticks that do not bear their tightest bend: once for each stick of a seam, and once, at its tightest seam,
/// for the stick of the job.
void report_sticks(const job::Job& job, const std::vector<SeamPlan>& seams, std::vector<job::Problem>& problems);

}  // namespace seamwright::plan
