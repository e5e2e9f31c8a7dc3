#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "geometry/parallel.h"
#include "geometry/path_index.h"

namespace seamwright::geometry {

inline constexpr std::size_t no_front = std::numeric_limits<std::size_t>::max();

/// A piece of the untrimmed parallel on the left of a path.
struct Front {
    Segment segment;
    TracedSegment::From from = TracedSegment::From::segment;
    std::uint32_t source = 0;
    /// The stretch of the source segment that it belongs to.
    double u0 = 0.0, u1 = 1.0;
    /// Which front the end runs into without a gap; no_front: none.
    std::size_t runs_into = no_front;
    /// Where it was taken: on the left, on the right (of the reversed path), or around an end of an open path.
    enum class Place { left, right, cap };
    Place place = Place::left;
    /// It faces away from the left side of the path, whichever way its own stretch runs.
    bool far_side = false;
};

/// Index on the reversed path of n segments, and back: of a segment, and of the corner at the end of a segment.
inline std::size_t segment_from_the_end(std::size_t segment, std::size_t n) {
    return n - 1 - segment;
}
inline std::size_t corner_from_the_end(std::size_t corner, std::size_t n) {
    return (2 * n - 2 - corner) % n;
}

struct Pruning {
    double radius_mm = 0.0;
    double slack_mm = 0.0;
    /// Where straight pieces double back: take the fronts that face up from their chord, whichever side they are on,
    /// instead of all on the left. False: nothing is left out without proof.
    bool facing_up = false;
};

/// What is left of the fronts of a stretch of straight segments [first, last] after pruning, in order along it.
struct PrunedRun {
    std::size_t first = 0, last = 0;
    struct Survivor {
        std::size_t segment = 0;  ///< the line itself; for a round join, the one that ends at its vertex
        bool is_join = false;
        bool on_right = false;                      ///< it runs the other way
        std::size_t left_rank = 0, right_rank = 0;  ///< its vertices in order along the stretch
        bool cut = false;                           ///< the join is shorter than from normal to normal
        Point from, to;                             ///< joins only
    };
    std::vector<Survivor> fronts;
};

/// Finds fronts of straight stretches that are covered by discs about other points of the path. What is removed is
/// removed for a proven reason (but see `facing_up`); what is kept may still lie behind something.
std::vector<PrunedRun> prune_straight_stretches(const Path& path, const Pruning& how);

/// The fronts on the left of `path`, in order along it, without those that pruning removed.
std::vector<Front> left_fronts(const Path& path, const Pruning& how);

/// Cuts the fronts of neighbouring lines that turn inward by little (or not at all) where they meet, and lets one run
/// into the other.
void splice_flat_joints(std::vector<Front>& fronts, const Path& path, double slack_mm);

/// Those (facing up where the path doubles back) and, at the ends of an open path, round caps about its end and its
/// start, in this order last. They take part where an end is hidden by a bump beside it; half rounds, since on a bumpy
/// edge the last segment may face anywhere.
std::vector<Front> near_fronts(const Path& path, double radius_mm, double slack_mm);

/// The fronts all around a path: those on its left, those on the left of the reversed path (told in stations of the
/// reversed path), and round caps about the ends of an open path.
/// Where the path doubles back, those of either side that face up and down from its chord, if `facing_up`; the rest of
/// the way around, along the chord, is then left out without proof.
std::vector<Front> all_fronts(const Path& path, const Pruning& how);

/// False when the fronts on the left are surely enough to trim by: the path does not cross itself and does not run back
/// beside itself. True may be a false alarm, which costs time only.
bool comes_from_behind(const Path& path, const PathIndex& index, double radius_mm);

/// Joints that turn less than this are smooth: the round join would be shorter than radius × 1e-9 (0.03 nm at 30 mm).
inline constexpr double smooth_joint_rad = 1e-9;

}  // namespace seamwright::geometry
