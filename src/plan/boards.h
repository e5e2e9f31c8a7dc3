#pragma once

#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// Whether each piece comes out of the board the job says it has to, and how high its seams may be for that. Warns of
/// those that do not.
void fit_boards(const job::Job& job, Plan& plan);

}  // namespace seamwright::plan
