#include "curves/traced.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "curves/drawn.h"
#include "curves/import.h"
#include "geometry/path_index.h"

// A trace is drawn as the fair curve under its points. What the fair curve itself must do stands in fair_test.cpp.
namespace seamwright::curves {
namespace {

/// An arc of 2 m radius, 1.6 m long, seen with a scatter of 0.1 mm.
Traced arc_trace(double scatter_mm, unsigned seed = 1) {
    std::mt19937 random(seed);
    Traced traced;
    const double radius = 2000.0;
    for (int i = 0; i <= 533; ++i) {
        const double angle = (-800.0 + 3.0 * i) / radius;
        // Twelve even numbers added up stray like a bell, by their size over the root of 1 (sum of variances 12/12).
        double bell = -6.0;
        for (int k = 0; k < 12; ++k) bell += static_cast<double>(random()) / 4294967296.0;
        const double r = radius + scatter_mm * bell;
        traced.points.push_back({r * std::sin(angle), radius - r * std::cos(angle)});
        traced.scatter_mm.push_back(std::max(scatter_mm, 0.01));
    }
    return traced;
}

const Drawn& drawn(const std::variant<Drawn, CurveProblem>& result) {
    if (const auto* problem = std::get_if<CurveProblem>(&result)) throw std::runtime_error(problem->reason);
    return std::get<Drawn>(result);
}

TEST(Traced, OfAnArcIsThatArcWhereverItLies) {
    Traced traced = arc_trace(0.0);
    traced.at = {700.0, 300.0};
    traced.turn_rad = 0.7;
    const auto result = draw(traced);
    const Drawn& line = drawn(result);
    ASSERT_TRUE(line.tightest_left);
    EXPECT_NEAR(line.tightest_left->radius_mm, 2000.0, 0.5);
    const geometry::PathIndex index(line.path);
    for (const Point p : placed_points(traced)) EXPECT_LT(geometry::distance(index.nearest(p).point, p), 0.003);
}

TEST(Traced, SmoothsTheScatterAndTellsIt) {
    const Traced traced = arc_trace(0.1);
    const auto result = draw(traced);
    const Drawn& line = drawn(result);
    ASSERT_TRUE(line.trace);
    EXPECT_NEAR(line.trace->rms_mm, 0.1, 0.015);
    EXPECT_GT(std::abs(line.trace->largest_mm), 0.2);
    EXPECT_LT(std::abs(line.trace->largest_mm), 0.5);
    // The curve lies much nearer to the true arc than its points do.
    double worst = 0.0;
    for (const auto& segment : line.path.segments)
        worst = std::max(worst, std::abs(geometry::distance(segment.start, {0.0, 2000.0}) - 2000.0));
    EXPECT_LT(worst, 0.1);
}

TEST(Traced, PointsThatAreKnownBetterPullMore) {
    Traced traced = arc_trace(0.0);
    // A bulge of 1 mm over 300 mm, once measured well and once badly.
    for (auto& p : traced.points) {
        if (std::abs(p.x) < 150.0) p.y += 0.5 * (1.0 + std::cos(geometry::pi * p.x / 150.0));
    }
    const auto height_in_middle = [&](double scatter_mm) {
        for (std::size_t i = 0; i < traced.points.size(); ++i) {
            if (std::abs(traced.points[i].x) < 150.0) traced.scatter_mm[i] = scatter_mm;
        }
        const auto result = draw(traced);
        return geometry::PathIndex(drawn(result).path).nearest({0.0, 0.0}).distance_mm;
    };
    EXPECT_GT(height_in_middle(0.01), 2.0 * height_in_middle(0.1));
}

TEST(Traced, RunsOnStraight) {
    Traced traced = arc_trace(0.0);
    const auto short_result = draw(traced);
    traced.run_on_start_mm = 40.0;
    traced.run_on_end_mm = 25.0;
    const auto result = draw(traced);
    const Drawn& line = drawn(result);
    const Drawn& shorter = drawn(short_result);
    EXPECT_NEAR(geometry::length_mm(line.path), geometry::length_mm(shorter.path) + 65.0, 1e-6);
    EXPECT_NEAR(geometry::distance(line.path.start(), shorter.path.start()), 40.0, 1e-9);
    EXPECT_NEAR(geometry::distance(line.path.end(), shorter.path.end()), 25.0, 1e-9);
    EXPECT_FALSE(line.path.segments.front().is_arc());
    ASSERT_TRUE(line.tightest_left && shorter.tightest_left);
    EXPECT_NEAR(line.tightest_left->at_mm, shorter.tightest_left->at_mm + 40.0, 1e-6);
    EXPECT_NEAR(line.curvature.back().at_mm, geometry::length_mm(line.path), 1e-3);
}

TEST(Traced, IsTheSameWhateverWasDrawnBefore) {
    const Traced first = arc_trace(0.1, 1), second = arc_trace(0.1, 2);
    const auto alone = draw(first);
    for (unsigned seed = 2; seed < 12; ++seed) (void)draw(arc_trace(0.1, seed));
    EXPECT_EQ(drawn(draw(first)).path, drawn(alone).path);
    EXPECT_EQ(drawn(draw(first)).path, drawn(alone).path);
    EXPECT_FALSE(drawn(draw(second)).path == drawn(alone).path);
}

TEST(Traced, RefusesWhatIsNoTrace) {
    Traced traced = arc_trace(0.1);
    traced.points.resize(2);
    EXPECT_TRUE(std::holds_alternative<CurveProblem>(draw(traced)));
    traced = arc_trace(0.1);
    traced.scatter_mm.pop_back();
    EXPECT_TRUE(std::holds_alternative<CurveProblem>(draw(traced)));
    traced = arc_trace(0.1);
    traced.scatter_mm[3] = 0.0;
    EXPECT_TRUE(std::holds_alternative<CurveProblem>(draw(traced)));
    traced = arc_trace(0.1);
    traced.points[7].x = std::nan("");
    EXPECT_TRUE(std::holds_alternative<CurveProblem>(draw(traced)));
    traced = arc_trace(0.1);
    traced.run_on_end_mm = -1.0;
    EXPECT_TRUE(std::holds_alternative<CurveProblem>(draw(traced)));
}

TEST(TracePoints, ReadBackWhatWasWritten) {
    const Traced traced = arc_trace(0.1);
    const auto read = read_trace_points(write_trace_points(traced.points, traced.scatter_mm));
    ASSERT_TRUE(std::holds_alternative<TracePoints>(read));
    EXPECT_EQ(std::get<TracePoints>(read).points, traced.points);
    EXPECT_EQ(std::get<TracePoints>(read).scatter_mm, traced.scatter_mm);
    const auto bare = read_trace_points(write_trace_points(traced.points, {}));
    EXPECT_EQ(std::get<TracePoints>(bare).points, traced.points);
    EXPECT_TRUE(std::get<TracePoints>(bare).scatter_mm.empty());
}

TEST(TracePoints, TellWhatIsWrongAndWhere) {
    const auto problem = [](std::string_view text) {
        const auto read = read_trace_points(text);
        return std::holds_alternative<ImportProblem>(read) ? std::get<ImportProblem>(read) : ImportProblem{};
    };
    EXPECT_EQ(problem("0,0\n1,1\n2;2\n").line, 3u);
    EXPECT_EQ(problem("0,0\n1\n2,2\n").line, 2u);
    EXPECT_EQ(problem("0,0,1\n1,1,1\n2,2\n").line, 3u);
    EXPECT_EQ(problem("0,0,1\n1,1,0\n2,2,1\n").line, 2u);
    EXPECT_EQ(problem("0,0,1,4\n").line, 1u);
    EXPECT_EQ(problem("0,0\n1,1e9\n2,2\n").line, 2u);
    EXPECT_NE(problem("0,0\n1,1\n").allowed.find("three points"), std::string::npos);
    EXPECT_NE(problem("0,0\n1,\n2,2\n").found.find("missing"), std::string::npos);
}

}  // namespace
}  // namespace seamwright::curves
