#pragma once

#include <array>
#include <optional>
#include <vector>

#include "job/job.h"

namespace seamwright::plan {

/// The finished edge of the top: closed, counter-clockwise, the wood on its left. Nothing is returned when it cannot
/// be drawn or crosses itself; the reason is added to `problems`.
std::optional<geometry::Path> outline_path(const job::Job& job, std::vector<job::Problem>& problems);

/// The sides of a rectangle from corner to corner, before its corners are rounded: front, right, back, left, the wood
/// on their left. nullopt for other outlines, and where one cannot be drawn (outline_path says why).
std::optional<std::array<geometry::Path, 4>> outline_sides(const job::Job& job);

}  // namespace seamwright::plan
