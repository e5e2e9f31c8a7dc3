#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "geometry/path_index.h"
#include "geometry/region.h"
#include "rounding.h"

namespace seamwright::geometry {

/// The edge of a region, loop by loop (0: the outer one, then the holes), with boxes. The region must outlive it.
class RegionIndex {
  public:
    explicit RegionIndex(const Region& region) {
        loops_.reserve(1 + region.holes.size());
        add(region.outer, false);
        for (const Path& hole : region.holes) add(hole, true);
    }
    explicit RegionIndex(Region&&) = delete;

    std::size_t size() const { return loops_.size(); }
    const PathIndex& loop(std::size_t i) const { return loops_[i].index; }
    const Box& box() const { return box_; }

    double distance_mm(Point p) const { return nearest(p).distance_mm; }

    NearestOnPath nearest(Point p) const {
        NearestOnPath best{std::numeric_limits<double>::infinity(), {}, p};
        for (const Loop& loop : loops_) {
            const NearestOnPath here = loop.index.nearest(p);
            if (here.distance_mm < best.distance_mm) best = here;
        }
        return best;
    }

    /// The distance to the edge, less than 0 outside.
    double depth_mm(Point p) const {
        double nearest_mm = std::numeric_limits<double>::infinity();
        bool inside = true;
        for (const Loop& loop : loops_) {
            const NearestOnPath on = loop.index.nearest(p);
            nearest_mm = std::min(nearest_mm, on.distance_mm);
            inside = inside && loop.index.contains(p, on) == loop.region_on_left;
        }
        return inside ? nearest_mm : -nearest_mm;
    }

    bool contains(Point p) const {
        return !loops_.empty() && std::all_of(loops_.begin(), loops_.end(), [&](const Loop& loop) {
            return loop.index.contains(p) == loop.region_on_left;
        });
    }

  private:
    struct Loop {
        PathIndex index;
        bool region_on_left;
    };

    void add(const Path& path, bool hole) {
        if (path.empty()) return;
        loops_.push_back({PathIndex(path), (area_mm2(path) > 0.0) != hole});
        box_.add(bounding_box(path));
    }

    std::vector<Loop> loops_;
    Box box_;
};

}  // namespace seamwright::geometry
