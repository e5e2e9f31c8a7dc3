#pragma once

#include <cstdint>
#include <vector>

#include "geometry/parallel.h"

namespace seamwright::geometry {

/// A piece of the untrimmed parallel on the left of a path.
struct Front {
    Segment segment;
    TracedSegment::From from = TracedSegment::From::segment;
    std::uint32_t source = 0;
    /// The end runs into the next front of the list without a gap (of the last into the first, on closed paths).
    bool runs_on = false;
};

/// What is left of the fronts of straight stretches after pruning. Index i speaks of segment i, or of the corner at its
/// end.
struct Pruned {
    struct Arc {
        Point from, to;
    };
    std::vector<char> line_hidden;    ///< the front of segment i lies wholly behind others
    std::vector<char> corner_hidden;  ///< so does the round join at its end
    std::vector<char> corner_cut;     ///< the join was shortened to corner_arc
    std::vector<Arc> corner_arc;
};

/// Finds fronts of straight stretches that are covered by discs about other points of the path. What is removed is
/// removed for a proven reason; what is kept may still lie behind something.
Pruned prune_straight_stretches(const Path& path, double radius_mm, double slack_mm);

/// The fronts on the left of `path` at `radius_mm`, in order along it, without those that pruning removed.
std::vector<Front> left_fronts(const Path& path, double radius_mm, double slack_mm);

/// Joints that turn less than this are smooth: the round join would be shorter than radius × 1e-9 (0.03 nm at 30 mm).
inline constexpr double smooth_joint_rad = 1e-9;

}  // namespace seamwright::geometry
