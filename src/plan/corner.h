#pragma once

#include <optional>

#include "geometry/path.h"

namespace seamwright::plan {

/// A rounding between two edges that meet in a corner: the first edge is kept up to `before_mm` of its length, the
/// second from `after_mm` of its own; the arc touches both.
struct Rounding {
    double before_mm = 0.0;
    double after_mm = 0.0;
    geometry::Segment arc;
};

/// The arc of `radius_mm` that touches both edges near the corner where `before` ends and `after` starts. Two straight
/// edges are rounded by their tangent lengths, r tan(θ/2); other edges by the disc that rolls along both: its centre is
/// where the two parallels at r meet. Empty when no such disc fits.
std::optional<Rounding> round_corner(const geometry::Path& before, const geometry::Path& after, double radius_mm);

}  // namespace seamwright::plan
