#pragma once

#include <string>

#include "geometry/region.h"

namespace seamwright::screen {

/// SVG path data (SVG 2, chapter "Paths") in mm, y up: M, L, A and Z, absolute, coordinates to 0.001 mm. Arcs are split
/// so that none takes more than a sixth of a turn: from there on the rounding of the ends would move the middle of an
/// arc by more than itself. Empty for an empty path.
std::string path_data(const geometry::Path& path);
/// The outer edge and then every hole.
std::string path_data(const geometry::Region& region);

}  // namespace seamwright::screen
