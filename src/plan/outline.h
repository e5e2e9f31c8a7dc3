#pragma once

#include <optional>
#include <vector>

#include "job/job.h"

namespace seamwright::plan {

/// The finished edge of the top: closed, counter-clockwise, the wood on its left. Nothing is returned when it cannot
/// be drawn or crosses itself; the reason is added to `problems`.
std::optional<geometry::Path> outline_path(const job::Job& job, std::vector<job::Problem>& problems);

}  // namespace seamwright::plan
