// Edges that fold over and double back, in many thousand pieces: what once went wrong on them (found by bench/).

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "edges.h"
#include "geometry/parallel.h"
#include "geometry/path_index.h"

namespace seamwright::geometry {
namespace {

/// S folds whose crests overhang both ways, traced with steps that run back and forth.
Path folded_edge(std::size_t n, std::uint64_t seed) {
    constexpr double length = 2400.0;
    constexpr double fold_length = 240.0;
    constexpr double fold = 30.0;
    constexpr std::size_t steady = 64;
    testing::Seeded random(seed);
    const double step = length / static_cast<double>(n - 1);
    std::vector<Point> points;
    for (std::size_t i = 0; i < n; ++i) {
        const bool at_end = i < steady || i + steady >= n;
        const double x =
            std::clamp(step * static_cast<double>(i) + (at_end ? 0.0 : 1.5 * step * random.normal()), 0.0, length);
        const double turn = 2.0 * pi * x / fold_length;
        const double here = fold * std::min({1.0, x / fold_length, (length - x) / fold_length});
        points.push_back({x - here * std::sin(2.0 * turn), 2.0 * here * std::sin(turn) + 0.1 * step * random.normal()});
    }
    return polyline(points);
}

class Folds : public ::testing::TestWithParam<std::size_t> {};

TEST_P(Folds, RollAsOnePathAtTheDistance) {
    const Path source = folded_edge(GetParam(), 7);
    const PathIndex index(source);
    for (const Side side : {Side::left, Side::right}) {
        const Parallel rolled = parallel(source, side, 12.7);
        ASSERT_EQ(rolled.paths.size(), 1u);
        const Path way = rolled.paths[0].path();
        EXPECT_LE(largest_break_mm(way), 1e-8);
        // From abreast of the start to abreast of the end.
        EXPECT_LE(std::abs(distance(way.start(), source.start()) - 12.7), 1e-8);
        EXPECT_LE(std::abs(distance(way.end(), source.end()) - 12.7), 0.01);
        for (const Segment& s : way.segments) {
            for (const double u : {0.0, 0.25, 0.5, 0.75}) {
                ASSERT_NEAR(index.distance_mm(point_at(s, u)), 12.7, 1e-8);
            }
        }
    }
}

// A crossing as flat as rounding once made the disc turn all the way round where it came to rest: the closed edge ran
// 11 mm off.
TEST_P(Folds, TheClosedEdgeIsNowhereFartherFromTheWay) {
    const Path source = folded_edge(GetParam(), 6);
    const Parallel rolled = parallel(source, Side::left, 19.05);
    const Path way = rolled.paths.at(0).path();
    const PathIndex index(way);
    const std::vector<TracedPath> edge = edge_behind(rolled, 0.0);
    ASSERT_EQ(edge.size(), 1u);
    for (const TracedSegment& t : edge[0].segments) {
        for (const double u : {0.2, 0.5, 0.8}) ASSERT_NEAR(index.distance_mm(point_at(t.segment, u)), 19.05, 1e-6);
    }
}

INSTANTIATE_TEST_SUITE_P(Traced, Folds, ::testing::Values(10000, 100000));

}  // namespace
}  // namespace seamwright::geometry
