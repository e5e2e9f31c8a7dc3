#pragma once

#include "geometry/segment.h"

namespace seamwright::geometry {

/// A segment shifted to its left by `by_mm` (negative: to its right): a line along its normal, an arc to a concentric
/// one, whose radius may come out zero or negative when it turns within the shift; the caller judges that. The length
/// of a line must be more than zero. Shifted from the end points, not from the centre, so that flat arcs keep their
/// digits.
inline Segment shifted_left(const Segment& s, double by_mm) {
    Segment out = s;
    if (s.is_line()) {
        const Point along = s.end - s.start;
        const Point shift = (by_mm / norm(along)) * left_of(along);
        out.start = s.start + shift;
        out.end = s.end + shift;
        return out;
    }
    // An arc's centre lies on the side to which it turns.
    const double outward_mm = s.sweep_rad > 0.0 ? -by_mm : by_mm;
    const double scale = outward_mm / s.radius_mm;
    out.radius_mm = s.radius_mm + outward_mm;
    out.start = s.start + scale * (s.start - s.centre);
    out.end = s.end + scale * (s.end - s.centre);
    return out;
}

}  // namespace seamwright::geometry
