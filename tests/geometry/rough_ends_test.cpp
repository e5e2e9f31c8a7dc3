// Traced edges whose ends lie among the bumps: steep pieces there, or pieces that run back. Such an end may be hidden
// by a bump beside it, or face anywhere. Once the way broke off there and nearly all of it was lost, certified.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "edges.h"
#include "geometry/parallel.h"
#include "geometry/path_index.h"

namespace seamwright::geometry {
namespace {

constexpr double length_mm_along = 240.0;

/// A wave from left to right, each step with bumps of three steps rms across, and `back` steps rms along.
Path rough_edge(std::uint64_t seed, double back) {
    testing::Seeded random(seed);
    const auto n = static_cast<std::size_t>(random.between(60.0, 700.0));
    const double step = length_mm_along / static_cast<double>(n - 1);
    std::vector<Point> points;
    for (std::size_t i = 0; i < n; ++i) {
        const double x = step * static_cast<double>(i);
        points.push_back({x + back * step * random.normal(), 8.0 * std::sin(x / 20.0) + 3.0 * step * random.normal()});
    }
    return polyline(points);
}

/// Height of the way over x, for an edge that runs from left to right: that of the highest disc edge about any of its
/// places (the definition of a dilation). Nothing where an end of the edge carries it: ends have no caps.
std::optional<double> height_of_way(const Path& edge, double radius, double x) {
    double highest = -1e300;
    bool at_end = false;
    for (std::size_t i = 0; i < edge.segments.size(); ++i) {
        const Segment& s = edge.segments[i];
        const Point normal = left_of(tangent_at(s, 0.0));
        const double touched = std::clamp(x - radius * normal.x, s.start.x, s.end.x);
        if (std::abs(x - touched) > radius) continue;
        const double u = (touched - s.start.x) / (s.end.x - s.start.x);
        const double y =
            s.start.y + u * (s.end.y - s.start.y) + std::sqrt(radius * radius - (x - touched) * (x - touched));
        if (y <= highest) continue;
        highest = y;
        at_end = (i == 0 && u == 0.0) || (i + 1 == edge.segments.size() && u == 1.0);
    }
    if (at_end) return {};
    return highest;
}

TEST(RoughEnds, TheWayOverSteepBumpsIsTheDilation) {
    std::size_t places = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const Path edge = rough_edge(seed, 0.0);
        const double radius = 4.0 + 0.25 * static_cast<double>(seed);
        // Turned as well: nothing may depend on the axes.
        const double turn = 0.1 * static_cast<double>(seed);
        const Parallel rolled = parallel(turned(edge, {}, turn), Side::left, radius);
        ASSERT_EQ(rolled.paths.size(), 1u) << seed;
        const Path way = turned(rolled.paths[0].path(), {}, -turn);
        EXPECT_LE(largest_break_mm(way), 1e-8);
        const PathIndex index(way);
        for (int k = 0; k <= 100; ++k) {
            const double x = length_mm_along * k / 100.0;
            const std::optional<double> y = height_of_way(edge, radius, x);
            if (!y) continue;
            ++places;
            ASSERT_LE(index.distance_mm({x, *y}), 1e-6) << seed << " at " << x;
        }
    }
    EXPECT_GE(places, 5000u);
}

TEST(RoughEnds, ThatRunBackLoseNothingOfTheWay) {
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const Path edge = rough_edge(seed, 0.7);
        const double radius = 4.0 + 0.25 * static_cast<double>(seed);
        for (const Side side : {Side::left, Side::right}) {
            const Path way = main_path(parallel(edge, side, radius).paths);
            // A hidden end is cut off by at most the disc on its bump.
            const double along = std::abs(way.end().x - way.start().x);
            EXPECT_GE(along, length_mm_along - 4.0 * radius) << seed;
            const PathIndex index(edge);
            for (const Segment& s : way.segments) {
                for (const double u : {0.0, 0.3, 0.7}) ASSERT_NEAR(index.distance_mm(point_at(s, u)), radius, 1e-7);
            }
        }
    }
}

}  // namespace
}  // namespace seamwright::geometry
