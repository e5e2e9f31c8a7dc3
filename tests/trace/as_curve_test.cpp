#include "trace/as_curve.h"

#include <gtest/gtest.h>

namespace seamwright::trace {
namespace {

Trace line_of(std::vector<Point> points) {
    Trace trace;
    for (std::size_t i = 0; i < points.size(); ++i) trace.scatter_mm.push_back(0.1 * static_cast<double>(i + 1));
    trace.points = std::move(points);
    trace.usual_wave_mm = 120.0;
    trace.near_mm = 0.2;
    trace.overall_mm = 0.9;
    trace.residual_px = 0.05;
    Overlay one;
    one.width_px = 4000;
    one.height_px = 3000;
    one.marks.resize(7);
    trace.pictures = {one, one};
    return trace;
}

TEST(AsCurve, RunsFromTheLeftAboutItsMiddle) {
    const auto curve =
        as_curve(line_of({{900, 40}, {500, 100}, {100, 20}}), {false, "bench.jpg", std::string(64, 'a')});
    ASSERT_EQ(curve.points.size(), 3u);
    EXPECT_EQ(curve.points.front(), (Point{-400, -40}));
    EXPECT_EQ(curve.points.back(), (Point{400, -20}));
    EXPECT_NEAR(curve.scatter_mm.front(), 0.3, 1e-12) << "each point keeps its own scatter";
    EXPECT_EQ(curve.wave_mm, 120.0);
    ASSERT_TRUE(curve.source);
    EXPECT_EQ(curve.source->marks, 14);
    EXPECT_EQ(curve.source->width_px, 4000);
    EXPECT_EQ(curve.source->picture, "bench.jpg");
    EXPECT_FALSE(curve.source->scan);
}

TEST(AsCurve, AnUprightLineRunsFromTheBottom) {
    const auto up = as_curve(line_of({{10, 0}, {0, 300}, {-20, 900}}), {});
    EXPECT_LT(up.points.front().y, up.points.back().y);
    const auto down = as_curve(line_of({{-20, 900}, {0, 300}, {10, 0}}), {});
    EXPECT_EQ(up.points, down.points);
}

TEST(AsCurve, AClosedLineKeepsItsOrder) {
    Trace ring = line_of({{10, 0}, {0, 10}, {-10, 0}, {0, -10}});
    ring.closed = true;
    EXPECT_EQ(as_curve(ring, {}).points, ring.points);
    EXPECT_TRUE(as_curve(ring, {}).closed);
}

// The issue's own words: design yes; hunting 0.05 mm spots not from a photo.
TEST(UsesOf, APhotoAndAScan) {
    const auto photo = uses_of(0.3, 1.0, false);
    ASSERT_EQ(photo.size(), 4u);
    EXPECT_TRUE(photo[0].good && photo[1].good);
    EXPECT_FALSE(photo[2].good || photo[3].good);
    for (const auto& use : uses_of(0.03, 0.2, true)) EXPECT_TRUE(use.good);
    for (const auto& use : uses_of(3.0, 20.0, true)) EXPECT_FALSE(use.good);
    EXPECT_FALSE(uses_of(0.03, 0.2, false)[3].good) << "never from a photo";
}

}  // namespace
}  // namespace seamwright::trace
