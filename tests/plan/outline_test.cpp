#include <gtest/gtest.h>

#include <cmath>

#include "geometry/path_index.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using geometry::Path;

Document without_seams() {
    Document document = small();
    document.job.seams.clear();
    return document;
}

TEST(Outline, RoundsSquareCornersExactly) {
    Document document = without_seams();
    job::RectangleOutline shape{1000.0, 400.0, {}, {}, {}, {}, {12.0, 0.0, 30.0, 5.5}};
    document.job.outline = shape;
    const Plan plan = plan_of(document);
    double gone = 0.0;
    for (const double r : shape.corner_radius_mm) gone += (1.0 - 0.25 * std::acos(-1.0)) * r * r;
    EXPECT_NEAR(plan.area_mm2, 400000.0 - gone, 1e-7);
    ASSERT_EQ(plan.outline.segments.size(), 7u);
    EXPECT_EQ(plan.outline.segments[0].centre, (Point{12.0, 12.0}));
    EXPECT_EQ(plan.outline.segments[0].start, (Point{0.0, 12.0}));
    EXPECT_EQ(plan.outline.segments[0].end, (Point{12.0, 0.0}));
}

TEST(Outline, RoundsCornersOfBentEdgesWithTangentArcs) {
    Document document = without_seams();
    job::RectangleOutline shape;
    shape.length_mm = 1000.0;
    shape.width_mm = 400.0;
    shape.front = job::BowedEdge{30.0};
    shape.right = job::BowedEdge{-12.0};
    shape.back = job::DrawnEdge{{{700.0, 420.0}, {500.0, 430.0}, {200.0, 410.0}}};
    shape.corner_radius_mm = {20.0, 15.0, 25.0, 8.0};
    document.job.outline = shape;
    const Plan plan = plan_of(document);
    ASSERT_TRUE(findings(plan).empty()) << show_all(plan.problems);
    EXPECT_LT(geometry::largest_corner_rad(plan.outline), 1e-9);
    EXPECT_LT(geometry::largest_break_mm(plan.outline), 1e-9);
    for (const double r : shape.corner_radius_mm) {
        std::size_t found = 0;
        for (const auto& s : plan.outline.segments) {
            if (s.radius_mm != r) continue;
            ++found;
            EXPECT_NEAR(geometry::distance(s.start, s.centre), r, 1e-9);
            EXPECT_NEAR(geometry::distance(s.end, s.centre), r, 1e-9);
            EXPECT_GT(s.sweep_rad, 0.0);
        }
        EXPECT_EQ(found, 1u) << r;
    }
}

TEST(Outline, BowsOutwardByTheRise) {
    Document document = without_seams();
    job::RectangleOutline shape;
    shape.length_mm = 1000.0;
    shape.width_mm = 400.0;
    shape.front = job::BowedEdge{30.0};
    shape.left = job::BowedEdge{-10.0};
    document.job.outline = shape;
    const Plan plan = plan_of(document);
    EXPECT_NEAR(plan.box.low.y, -30.0, 1e-9);
    EXPECT_NEAR(plan.box.low.x, 0.0, 1e-9);
    const geometry::PathIndex index(plan.outline);
    EXPECT_NEAR(index.distance_mm({10.0, 200.0}), 0.0, 1e-9);
    // Circular segment of chord c and rise h: R = (c²/4 + h²) / 2h, area R² asin(c/2R) − (R − h) c/2.
    const auto segment = [](double c, double h) {
        const double r = (0.25 * c * c + h * h) / (2.0 * h);
        return r * r * std::asin(0.5 * c / r) - (r - h) * 0.5 * c;
    };
    EXPECT_NEAR(plan.area_mm2, 400000.0 + segment(1000.0, 30.0) - segment(400.0, 10.0), 1e-6);
}

TEST(Outline, LetsTwoCornersUseAWholeEdge) {
    Document document = without_seams();
    document.job.outline = job::RectangleOutline{1000.0, 400.0, {}, {}, {}, {}, {200.0, 200.0, 200.0, 200.0}};
    const Plan plan = plan_of(document);
    EXPECT_TRUE(findings(plan).empty()) << show_all(plan.problems);
    EXPECT_NEAR(plan.area_mm2, 600.0 * 400.0 + std::acos(-1.0) * 200.0 * 200.0, 1e-6);
}

TEST(Outline, RefusesARadiusThatDoesNotFit) {
    Document document = without_seams();
    job::RectangleOutline shape{1000.0, 400.0, {}, {}, {}, {}, {0.0, 390.0, 0.0, 0.0}};
    shape.front = job::BowedEdge{-250.0};
    document.job.outline = shape;
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].pointer, "/top/outline/rectangle/corner_radius");
    EXPECT_NE(found[0].found.find("front right"), std::string::npos) << found[0].found;
}

TEST(Outline, IsRefusedWithThePlaceWhereItCrossesItself) {
    Document document = small();
    const std::vector<Point> bow_tie{{0.0, 0.0}, {1000.0, 400.0}, {1000.0, 0.0}, {0.0, 400.0}};
    document.job.outline = job::FreeOutline{curves::Imported{geometry::polyline(bow_tie, true), 0.0}};
    const Plan plan = plan_of(document);
    ASSERT_EQ(plan.problems.size(), 1u) << show_all(plan.problems);
    EXPECT_EQ(plan.problems[0].pointer, "/top/outline");
    ASSERT_TRUE(plan.problems[0].at);
    EXPECT_NEAR(plan.problems[0].at->x, 500.0, 1e-9);
    EXPECT_NEAR(plan.problems[0].at->y, 200.0, 1e-9);
    EXPECT_NE(plan.problems[0].found.find("500.0 mm from the left"), std::string::npos);
    EXPECT_TRUE(plan.outline.empty());
    EXPECT_TRUE(plan.seams.empty());
    EXPECT_FALSE(write_plan(plan).empty());
}

TEST(Outline, CrossedByAnInwardBowIsRefused) {
    Document document = without_seams();
    job::RectangleOutline shape;
    shape.length_mm = 1000.0;
    shape.width_mm = 200.0;
    shape.front = job::BowedEdge{-150.0};
    shape.back = job::BowedEdge{-150.0};
    document.job.outline = shape;
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 2u) << show_all(found);
    EXPECT_EQ(found[0].pointer, "/top/outline");
}

TEST(Outline, DrawnClockwiseComesOutCounterClockwise) {
    Document document = without_seams();
    const std::vector<Point> corners{{0.0, 0.0}, {0.0, 300.0}, {800.0, 300.0}, {800.0, 0.0}};
    document.job.outline = job::FreeOutline{curves::Imported{geometry::polyline(corners, true), 0.0}};
    EXPECT_NEAR(geometry::area_mm2(plan_of(document).outline), 240000.0, 1e-6);
}

}  // namespace
}  // namespace seamwright::plan::testing
