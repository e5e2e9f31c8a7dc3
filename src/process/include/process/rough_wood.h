#pragma once

#include <span>

#include "geometry/path.h"

namespace seamwright::process {

using geometry::Path;
using geometry::Point;

/// A piece left longer at its ends. An end is a stretch of its edge that faces along the fibres, within 60°, and is no
/// seam; each is moved outward along the fibres, and level lines join it to the rest. `finished` is closed and
/// counter-clockwise; `seams` stand in it bit for bit, either way round. by_mm <= 0, or ends so entangled that the new
/// edge would cross itself, give the finished edge back.
///
/// Law R1: what was inside stays inside. R2: the area grows by by_mm times the height of its ends across the fibres.
Path longer_at_ends(const Path& finished, std::span<const Path> seams, double along_rad, double by_mm);

}  // namespace seamwright::process
