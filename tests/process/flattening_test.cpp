#include "process/flattening.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

namespace seamwright::process {
namespace {

FlatteningWish top(double length_mm, double width_mm) {
    FlatteningWish wish;
    wish.length_mm = length_mm;
    wish.width_mm = width_mm;
    return wish;
}

// Cut by cut on a strip of equal parts, heights from a flat bench: first the underside, then the top made parallel to
// it.
RC_GTEST_PROP(Flattening, TakesStepAndHollowOnceOffTheThickness, ()) {
    const double hollow = 0.01 * *rc::gen::inRange(0, 300);
    FlatteningWish wish = top(1000.0, 500.0);
    wish.hollow_mm = hollow;
    const FlatteningPlan plan = plan_flattening(wish);
    constexpr double thickness = 30.0;
    constexpr int parts = 41;
    double lowest_under = 1e9, highest_under = -1e9, lowest_top = 1e9, highest_top = -1e9;
    for (int i = 0; i < parts; ++i) {
        const double x = 2.0 * i / (parts - 1) - 1.0;
        const double under = hollow * x * x + (i % 2 == 1 || i == 0 ? plan.step_mm : 0.0);
        lowest_under = std::min(lowest_under, under);
        highest_under = std::max(highest_under, under);
        lowest_top = std::min(lowest_top, under + thickness);
        highest_top = std::max(highest_top, under + thickness);
    }
    const double flat = lowest_top - highest_under;
    RC_ASSERT(std::abs(plan.off_face_mm - (highest_under - lowest_under)) < 1e-9);
    RC_ASSERT(std::abs(plan.off_face_mm - (highest_top - lowest_top)) < 1e-9);
    RC_ASSERT(std::abs(plan.spare_mm - (thickness - flat + 2.0 * plan.sanded_mm)) < 1e-9);
}

TEST(Flattening, ScrapesWhatAScraperTakesOut) {
    FlatteningWish wish = top(1000.0, 500.0);
    wish.cauls = true;
    wish.hollow_mm = 0.1;
    const FlatteningPlan plan = plan_flattening(wish);
    EXPECT_EQ(plan.way, FlatteningWay::scrape);
    EXPECT_EQ(plan.minutes, 0.0);
    wish.hollow_mm = 0.5;
    EXPECT_EQ(plan_flattening(wish).way, FlatteningWay::hand_plane);
}

// Worked by hand: 20 mm cutter, 0.6 of it is 12 mm; (500 − 20) / 12 = 40, one more is 41 strokes of 1040 mm; 1.5 mm in
// two passes; 2 · (30 + 41 · 2 · 1040 / 2500) = 128.2 min.
TEST(Flattening, CountsTheStrokesOfABridge) {
    FlatteningWish wish = top(1000.0, 500.0);
    wish.fibres_cross = true;
    wish.hollow_mm = 1.2;
    wish.widest_cutter_mm = 20.0;
    wish.cutter_max_rpm = 16000.0;
    const FlatteningPlan plan = plan_flattening(wish);
    EXPECT_EQ(plan.way, FlatteningWay::bridge);
    ASSERT_TRUE(plan.bridge);
    EXPECT_EQ(plan.bridge->strokes, 41);
    EXPECT_EQ(plan.bridge->passes, 2);
    EXPECT_DOUBLE_EQ(plan.bridge->pass_mm, 0.75);
    EXPECT_LE(plan.bridge->rpm, 16000.0);
    EXPECT_NEAR(plan.minutes, 128.224, 1e-9);
}

RC_GTEST_PROP(Flattening, StrokesCoverTheWidth, ()) {
    FlatteningWish wish = top(0.1 * *rc::gen::inRange(1, 30000), 0.1 * *rc::gen::inRange(1, 30000));
    wish.widest_cutter_mm = 0.1 * *rc::gen::inRange(160, 500);
    const FlatteningPlan plan = plan_flattening(wish);
    RC_ASSERT(plan.bridge.has_value());
    const BridgeCut& cut = *plan.bridge;
    RC_ASSERT(cut.cutter_mm + (cut.strokes - 1) * cut.step_over_mm >= wish.width_mm - 1e-9);
    // One stroke fewer would leave a strip, unless one stroke does it.
    RC_ASSERT(cut.strokes == 1 || cut.cutter_mm + (cut.strokes - 2) * cut.step_over_mm < wish.width_mm + 1e-9);
}

TEST(Flattening, HasNoBridgeWithANarrowCutter) {
    FlatteningWish wish = top(2400.0, 900.0);
    wish.fibres_cross = true;
    wish.widest_cutter_mm = 12.0;
    const FlatteningPlan plan = plan_flattening(wish);
    EXPECT_EQ(plan.way, FlatteningWay::bridge);
    EXPECT_FALSE(plan.bridge);
    EXPECT_GT(plan.minutes, 0.0);
    EXPECT_GT(plan.narrowest_cutter_mm, 12.0);
}

TEST(Flattening, RefusesWhatIsNoPanel) {
    EXPECT_THROW(plan_flattening(top(0.0, 10.0)), std::invalid_argument);
    FlatteningWish wish = top(10.0, 10.0);
    wish.hollow_mm = -1.0;
    EXPECT_THROW(plan_flattening(wish), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
