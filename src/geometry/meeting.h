#pragma once

#include <vector>

#include "region_index.h"

// How a curve runs through a region: where it meets the edge, and whether it crosses there or only touches.

namespace seamwright::geometry {

enum class Where {
    inside,
    outside,
    on_edge,  ///< within rounding of the edge all along
    nowhere   ///< before the start or after the end of an open curve
};

/// One place where the curve meets the edge of a region. The point is the same for both, to the last bit.
struct EdgePlace {
    Station on_curve;
    Station on_edge;
    std::size_t loop = 0;
    Point point;
    double at_mm = 0.0;  ///< along the curve
};

/// The curve reaches the edge at `first` and leaves it at `last`; mostly these are one place.
struct Meeting {
    EdgePlace first;
    EdgePlace last;
    Where before = Where::nowhere;
    Where after = Where::nowhere;
    bool runs_along = false;

    /// An open curve that ends on the edge counts as crossing when it comes from inside.
    bool crosses() const {
        const auto in = [](Where w) { return w == Where::inside; };
        return !runs_along && in(before) != in(after);
    }
};

struct Course {
    std::vector<Meeting> meetings;  ///< in order along the curve
    std::vector<Path> inside;       ///< the stretches within the region, ending in places on its edge
    Where start = Where::nowhere;   ///< where the curve's first place lies
    Where end = Where::nowhere;
    bool leaves = false;  ///< some stretch lies outside
};

Course course(const Path& curve, const PathIndex& index, const RegionIndex& region);

/// The stretch from one place to another, its ends replaced by the given points. On a closed path the stretch may run
/// through the start.
Path stretch(const Path& path, Station from, Point from_point, Station to, Point to_point);

/// True when `a` comes before `b` on the path.
inline bool before(Station a, Station b) {
    return a.segment < b.segment || (a.segment == b.segment && a.u < b.u);
}

/// Places nearer than this are one place.
inline double same_place_mm(const Box& box) {
    constexpr double meeting_steps = 4.0;  // a crossing, its foot on either path, and their comparison
    return meeting_steps * rounding_mm(largest_coordinate(box));
}

}  // namespace seamwright::geometry
