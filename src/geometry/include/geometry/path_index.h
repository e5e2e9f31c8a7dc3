#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "geometry/path.h"

namespace seamwright::geometry {

struct NearestOnPath {
    double distance_mm = 0.0;
    Station at;
    Point point;
};

/// A path with boxes over runs of its segments, for questions that would otherwise visit every segment.
/// The boxes follow the order along the path, so building is one linear sweep without sorting.
/// Keeps a reference to the path: the path must outlive the index and stay unchanged.
class PathIndex {
  public:
    explicit PathIndex(const Path& path);
    explicit PathIndex(Path&&) = delete;

    const Path& path() const { return *path_; }
    /// A box that holds the path: its own, or a hair larger where arcs bulge.
    Box box() const { return levels_.back().empty() ? Box{} : levels_.back().front(); }
    /// Boxes over runs of neighbouring segments (eight each, the last may have fewer), in order along the path.
    std::span<const Box> run_boxes() const { return levels_.front(); }
    /// Every segment but the first starts exactly where the one before it ends.
    bool is_unbroken() const { return unbroken_; }

    /// Nearest place on the path. Ties go to the earlier segment.
    NearestOnPath nearest(Point p) const;
    double distance_mm(Point p) const { return nearest(p).distance_mm; }

    /// True when some place of the path is nearer to p than `radius_mm`. Cheaper than `nearest`.
    bool any_nearer_than(Point p, double radius_mm) const;

    /// The distance to the path where it lies in [enough_mm, most_mm]. If the path is farther, most_mm; if it is
    /// nearer, some value below enough_mm. Costs as much as `any_nearer_than`.
    double distance_between(Point p, double enough_mm, double most_mm) const;

    struct TwoDistances {
        double first_mm = 0.0, second_mm = 0.0;
    };
    /// The same for two places near each other, for little more than the price of one. When the first is found to be
    /// nearer than enough_mm, the second is not looked for.
    TwoDistances distances_between(Point first, Point second, double enough_mm, double most_mm) const;

    /// Parts of the path, each a run of neighbouring segments under one box.
    struct Part {
        std::uint32_t level, index;
    };
    /// Replaces `parts` by those parts that may lie nearer than `most_mm` to some place in `places`, none of them much
    /// larger than that box. Places that lie together share the way down from the whole path.
    void parts_near(const Box& places, double most_mm, std::vector<Part>& parts) const;
    /// As above, when only these parts count.
    TwoDistances distances_between(std::span<const Part> parts, Point first, Point second, double enough_mm,
                                   double most_mm) const;
    /// As above for two pairs of places that all lie together: the first and the second, the third and the fourth.
    /// Cheaper than one pair after the other.
    std::array<TwoDistances, 2> distances_between(std::span<const Part> parts, const std::array<Point, 4>& places,
                                                  double enough_mm, double most_mm) const;

    /// Calls `visit(segment index)` for each segment whose box meets `box`, in order along the path.
    void visit(const Box& box, const std::function<void(std::size_t)>& visit) const;

    /// As `visit`, for the segments from `first` on.
    void visit_from(std::size_t first, const Box& box, const std::function<void(std::size_t)>& visit) const;

    /// Closed paths: true when p lies inside (on the left of a counter-clockwise path). Points on the path itself
    /// may fall on either side.
    bool contains(Point p) const;
    /// The same, where the place of the path nearest to p is known already.
    bool contains(Point p, const NearestOnPath& on) const;

  private:
    template <std::size_t Pairs>
    std::array<TwoDistances, Pairs> search(std::span<const Part> parts, const std::array<Point, 2 * Pairs>& places,
                                           double enough_mm, double most_mm) const;
    Part whole() const { return {static_cast<std::uint32_t>(levels_.size() - 1), 0}; }

    const Path* path_;
    std::vector<std::vector<Box>> levels_;  // levels_[0]: one box per run of segments; each next: per run of boxes
    /// How far the places of a lowest run may be from its vertices.
    struct Run {
        double quarter_square = 0.0;  // of the length of its longest line
        double half_arc_mm = 0.0;     // of its longest arc; 0 without arcs
        bool broken = false;          // some segment does not start where the one before it ends
    };
    std::vector<Run> runs_;
    bool unbroken_ = true;
};

/// Where two different paths meet, in order along `a`.
struct PathCrossing {
    Station on_a;
    Station on_b;
    Point point;
};
std::vector<PathCrossing> crossings(const PathIndex& a, const PathIndex& b);

/// Where a path crosses or touches itself; joints of neighbouring segments are not counted.
std::vector<PathCrossing> self_crossings(const PathIndex& path);
/// The same one after the other, until `go_on` says false: a tangled trace has millions, and one is enough to refuse
/// it.
void visit_self_crossings(const PathIndex& path, const std::function<bool(const PathCrossing&)>& go_on);

/// The largest distance from a place on `from` to the path `to`, certified: the true value lies in [value, value +
/// bound]. `bound_mm` is what the search was asked to reach.
struct LargestDistance {
    double value_mm = 0.0;
    double bound_mm = 0.0;
    Point at;
};
LargestDistance largest_distance(const Path& from, const PathIndex& to, double bound_mm);

}  // namespace seamwright::geometry
