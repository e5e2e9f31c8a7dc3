#pragma once

#include <variant>
#include <vector>

#include "trace/marks.h"

namespace seamwright::trace {

/// Where a scan lies: turned about its own origin and then moved.
struct ScanPlace {
    double turn_rad = 0.0;
    Point move;  ///< mm
    Point to_common(Point own_mm) const {
        const Point u = geometry::unit(turn_rad);
        return move + Point{u.x * own_mm.x - u.y * own_mm.y, u.y * own_mm.x + u.x * own_mm.y};
    }
};

/// A mark as it lies on a scan, in the scan's own mm.
struct ScannedMark {
    int id = 0;
    std::array<Point, 4> corners;
};
using ScannedMarks = std::vector<ScannedMark>;

struct JoinedScans {
    std::vector<ScanPlace> places;  ///< the first scan stays where it is
    double residual_mm = 0.0;       ///< root mean square of corners that are shared, from their mean
    double worst_residual_mm = 0.0;
    /// Covariance of turn and move of each scan against the one in the middle, 3 × 3, row after row.
    std::vector<std::array<double, 9>> spread;
    std::size_t middle = 0;
};

/// All scans laid together over the marks they share, by least squares: rigid motions, no scaling.
/// `corner_mm`: scatter to be expected of a corner. Refused: scans that share fewer than two marks with the others,
/// marks that were moved between scans.
std::variant<JoinedScans, TraceProblem> join_scans(const std::vector<ScannedMarks>& scans, double corner_mm);

}  // namespace seamwright::trace
