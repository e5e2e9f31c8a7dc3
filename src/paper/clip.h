#pragma once

#include <vector>

#include "geometry/path.h"

namespace seamwright::paper {

/// The stretches of a path inside a box, arcs staying arcs. A closed path that lies wholly inside comes back closed.
std::vector<geometry::Path> clipped(const geometry::Path& path, const geometry::Box& box);

}  // namespace seamwright::paper
