#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// One sentence in the maker's words: whether the seam closes, and if not, why.
std::string verdict_of(const SeamPlan& seam, const job::Job& job);

/// What the simulated cut found, as problems of the job: one for each kind and step, with the worst place. What stops
/// the work is an error, a seam that does not close within the maker's limit a warning.
void report_findings(const SeamPlan& seam, std::size_t seam_index, const job::Job& job,
                     std::vector<job::Problem>& problems);

}  // namespace seamwright::plan
