#include "deviation.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "edges.h"
#include "geometry/path_index.h"

namespace seamwright::bench {

namespace {

using geometry::Path;
using geometry::PathIndex;
using geometry::Point;
using geometry::Segment;

/// Places looked at in each direction: enough to meet every second piece of a 10,000-point trace.
constexpr std::size_t most_places = 6000;
/// Of the pushed-out source places most lie behind something; so many are tried.
constexpr std::size_t most_tries = 60000;
constexpr double rounding_mm = 1e-9;

Path joined(const std::vector<Path>& paths) {
    Path all;
    for (const Path& p : paths) all.segments.insert(all.segments.end(), p.segments.begin(), p.segments.end());
    return all;
}

template <class See>
void sample(const Path& path, std::size_t places, See see) {
    const std::size_t n = path.segments.size();
    const std::size_t stride = std::max<std::size_t>(1, 3 * n / places);
    for (std::size_t i = 0; i < n; i += stride) {
        for (const double u : {0.0, 0.3, 0.7}) see(geometry::point_at(path.segments[i], u));
    }
}

}  // namespace

std::size_t pieces(const std::vector<Path>& paths) {
    std::size_t sum = 0;
    for (const Path& p : paths) sum += p.segments.size();
    return sum;
}

Truth::Truth(Path edge, Path board, const Path& smooth_board, double distance_mm, bool outward)
    : edge_(std::move(edge)), board_(std::move(board)), distance_mm_(distance_mm) {
    const PathIndex index(board_);
    const PathIndex smooth(smooth_board);
    const std::size_t n = edge_.segments.size();
    const std::size_t stride = std::max<std::size_t>(1, n / (most_tries / 12));
    const double away = outward ? 1.0 : -1.0;
    const auto try_place = [&](Point touch, Point q) {
        if (!scored(q) || on_parallel_.size() >= most_places) return;
        if (index.distance_mm(q) < distance_mm_ - rounding_mm) return;
        if (smooth.contains(q) == outward) return;
        on_parallel_.push_back(q);
        touched_.push_back(touch);
    };
    for (std::size_t i = 0; i < n; i += stride) {
        const Segment& s = edge_.segments[i];
        const Point middle = geometry::point_at(s, 0.5);
        const Point normal = geometry::left_of(geometry::tangent_at(s, 0.5));
        for (const double side : {away, -away}) try_place(middle, middle + side * distance_mm_ * normal);
        // About a corner the way out is somewhere between the normals: fan around the smooth edge's own normal.
        constexpr int fan = 9;
        constexpr double fan_step_rad = 0.35;
        for (int k = 0; k < fan; ++k) {
            const double turn =
                away * 0.5 * geometry::pi + (k - fan / 2) * fan_step_rad + 1e-3 * static_cast<double>(i % 300);
            try_place(s.end, s.end + distance_mm_ * geometry::unit(turn));
        }
    }
}

bool Truth::scored(Point p) const {
    constexpr double below_upper_edge_mm = 0.5 * board_depth_mm;
    // Twice the distance: at the end of the board the disc touches the side as well.
    const double clear = 2.0 * distance_mm_;
    return p.x > clear && p.x < board_length_mm - clear && p.y > below_upper_edge_mm;
}

Deviation Truth::of_parallel(const std::vector<Path>& output) const {
    Deviation d;
    const Path all = joined(output);
    const PathIndex to_source(board_);
    const PathIndex to_output(all);
    sample(all, most_places, [&](Point p) {
        if (!scored(p)) return;
        d.output_to_truth_mm = std::max(d.output_to_truth_mm, std::abs(to_source.distance_mm(p) - distance_mm_));
        ++d.places;
    });
    for (const Point q : on_parallel_) {
        d.truth_to_output_mm = std::max(d.truth_to_output_mm, to_output.distance_mm(q));
        ++d.places;
    }
    return d;
}

Deviation Truth::of_closing(const std::vector<Path>& output, const std::vector<Path>& parallel) const {
    Deviation d;
    const Path all = joined(output);
    const Path way = joined(parallel);
    const PathIndex to_way(way);
    const PathIndex to_output(all);
    sample(all, most_places, [&](Point p) {
        if (!scored(p)) return;
        d.output_to_truth_mm = std::max(d.output_to_truth_mm, std::abs(to_way.distance_mm(p) - distance_mm_));
        ++d.places;
    });
    for (const Point p : touched_) {
        if (!scored(p)) continue;
        d.truth_to_output_mm = std::max(d.truth_to_output_mm, to_output.distance_mm(p));
        ++d.places;
    }
    return d;
}

}  // namespace seamwright::bench
