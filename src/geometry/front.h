#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "geometry/parallel.h"

namespace seamwright::geometry {

inline constexpr std::size_t no_front = std::numeric_limits<std::size_t>::max();

/// A piece of the untrimmed parallel on the left of a path.
struct Front {
    Segment segment;
    TracedSegment::From from = TracedSegment::From::segment;
    std::uint32_t source = 0;
    /// Which front the end runs into without a gap; no_front: none.
    std::size_t runs_into = no_front;
    /// Where it was taken: on the left, on the right (of the reversed path), or around an end of an open path.
    enum class Place { left, right, cap };
    Place place = Place::left;
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

/// Those and, at the ends of an open path, quarter rounds ahead of its end and behind its start, in this order last.
/// They take part where an end is hidden by a bump beside it.
std::vector<Front> near_fronts(const Path& path, double radius_mm, double slack_mm);

/// The fronts all around a path: those on its left, those on the left of the reversed path (told in stations of the
/// reversed path), and round caps about the ends of an open path.
std::vector<Front> all_fronts(const Path& path, double radius_mm, double slack_mm);

/// Joints that turn less than this are smooth: the round join would be shorter than radius × 1e-9 (0.03 nm at 30 mm).
inline constexpr double smooth_joint_rad = 1e-9;

}  // namespace seamwright::geometry
