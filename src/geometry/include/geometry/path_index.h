#pragma once

#include <cstdint>
#include <functional>
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

    /// Nearest place on the path. Ties go to the earlier segment.
    NearestOnPath nearest(Point p) const;
    double distance_mm(Point p) const { return nearest(p).distance_mm; }

    /// True when some place of the path is nearer to p than `radius_mm`. Cheaper than `nearest`.
    bool any_nearer_than(Point p, double radius_mm) const;

    /// Calls `visit(segment index)` for each segment whose box meets `box`, in order along the path.
    void visit(const Box& box, const std::function<void(std::size_t)>& visit) const;

    /// Closed paths: true when p lies inside (on the left of a counter-clockwise path). Points on the path itself
    /// may fall on either side.
    bool contains(Point p) const;

  private:
    const Path* path_;
    std::vector<std::vector<Box>> levels_;  // levels_[0]: one box per run of segments; each next: per run of boxes
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

/// The largest distance from a place on `from` to the path `to`, certified: the true value lies in [value, value +
/// bound]. `bound_mm` is what the search was asked to reach.
struct LargestDistance {
    double value_mm = 0.0;
    double bound_mm = 0.0;
    Point at;
};
LargestDistance largest_distance(const Path& from, const PathIndex& to, double bound_mm);

}  // namespace seamwright::geometry
