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

/// What is left of the fronts of a stretch of straight segments after pruning, in order along it.
struct PrunedFront {
    std::size_t segment = 0;  ///< the line itself; for a round join, the one that ends at its vertex
    bool is_join = false;
    bool on_right = false;                      ///< it runs the other way
    std::size_t left_rank = 0, right_rank = 0;  ///< its vertices in order along the stretch
    Point from, to;                             ///< joins only
};

/// The round join about a vertex while it is being shortened.
struct Join {
    Point vertex;
    Point from, to;         // clockwise about the vertex, less than a half turn (a spike: a half turn)
    std::uint32_t segment;  // the segment that ends at the vertex
    std::uint32_t rank;     // place of the vertex in order along the edge
    bool from_right;        // on the right of the path, where the edge runs backward
};

/// A straight front that looks up, by the ranks of its ends.
struct UpLine {
    std::size_t segment;
    bool backward;  // its right side faces up
    std::size_t left_rank, right_rank;
};

/// Memory to find fronts in, used again and again: fresh pages cost more than the work that is done on them.
struct FrontRoom {
    std::vector<Join> joins;
    std::vector<UpLine> lines;
    std::vector<PrunedFront> pruned;
    struct Place {
        std::size_t left_rank, right_rank;
        bool is_join;
    };
    std::vector<Place> places;
    struct JoinAt {
        std::size_t rank, front;
    };
    std::vector<JoinAt> joins_at;
};

/// Stretches with fewer straight pieces than this are left to the general step, which is as fast there.
inline constexpr std::size_t least_run = 8;

/// Finds in room.pruned the fronts of the straight segments [first, last] that are not covered by discs about other
/// points of the path. What is removed is removed for a proven reason (but see `facing_up`); what is kept may still lie
/// behind something.
void prune_straight_stretch(const Path& path, std::size_t first, std::size_t last, const Pruning& how, FrontRoom& room);

/// Replaces `fronts` by those on the left of `path`, in order along it, without those that pruning removed.
void take_left_fronts(const Path& path, const Pruning& how, FrontRoom& room, std::vector<Front>& fronts);

/// Cuts the fronts of neighbouring lines that turn inward by little (or not at all) where they meet, and lets one run
/// into the other.
void splice_flat_joints(std::vector<Front>& fronts, const Path& path, double radius_mm, double slack_mm);

/// The same (facing up where the path doubles back) and, at the ends of an open path, round caps about its end and its
/// start, in this order last. They take part where an end is hidden by a bump beside it; half rounds, since on a bumpy
/// edge the last segment may face anywhere.
void take_near_fronts(const Path& path, double radius_mm, double slack_mm, FrontRoom& room, std::vector<Front>& fronts);

/// The fronts all around a path: those on its left, those on the left of the reversed path (told in stations of the
/// reversed path), and round caps about the ends of an open path.
/// Where the path doubles back, those of either side that face up and down from its chord, if `facing_up`; the rest of
/// the way around, along the chord, is then left out without proof.
void take_all_fronts(const Path& path, const Pruning& how, FrontRoom& room, std::vector<Front>& fronts);

/// False when the fronts on the left are surely enough to trim by: the path does not cross itself and does not run back
/// beside itself. True may be a false alarm, which costs time only.
bool comes_from_behind(const Path& path, const PathIndex& index, double radius_mm);

/// Joints that turn less than this are smooth: the round join would be shorter than radius × 1e-9 (0.03 nm at 30 mm).
inline constexpr double smooth_joint_rad = 1e-9;

}  // namespace seamwright::geometry
