#include "process/passes.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using testing::HasSubstr;

constexpr double relative = 1e-9;

// Law P1: the steps add up to thickness and depth below; none is above its rule; those between first and last are
// equal; no plan of that kind has fewer passes; the projection is template + depth.
RC_GTEST_PROP(Passes, P1EvenSteps, ()) {
    const double thickness = 0.25 * *rc::gen::inRange(1, 400);
    const double sheet = 0.5 * *rc::gen::inRange(0, 50);
    PassRules rules;
    rules.first_mm = 0.25 * *rc::gen::inRange(1, 40);
    rules.step_mm = 0.25 * *rc::gen::inRange(1, 60);
    rules.last_mm = 0.25 * *rc::gen::inRange(1, 40);
    rules.below_mm = 0.25 * *rc::gen::inRange(0, 10);
    const PassPlan plan = plan_passes(thickness, sheet, 50.0, 1200.0, 1500.0, rules);
    const std::size_t count = plan.passes.size();
    RC_ASSERT(count >= 1u);
    const double total = thickness + rules.below_mm;
    const double first_rule = std::min(rules.first_mm, rules.step_mm);
    const double last_rule = std::min(rules.last_mm, rules.step_mm);
    double depth = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        const Pass& p = plan.passes[i];
        RC_ASSERT(p.step_mm > 0.0);
        depth += p.step_mm;
        RC_ASSERT(std::abs(p.depth_mm - depth) <= relative * total);
        RC_ASSERT(std::abs(p.projection_mm - sheet - p.depth_mm) <= relative * (sheet + total));
        RC_ASSERT(p.step_mm <= rules.step_mm * (1.0 + relative));
        if (i > 1 && i + 1 < count) RC_ASSERT(p.step_mm == plan.passes[1].step_mm);
    }
    RC_ASSERT(plan.passes.back().depth_mm == total);
    RC_ASSERT(plan.passes.front().step_mm <= first_rule * (1.0 + relative));
    RC_ASSERT(plan.passes.back().step_mm <= last_rule * (1.0 + relative));
    // One pass fewer could not reach the depth.
    if (count == 2) RC_ASSERT(total > std::min(first_rule, last_rule));
    if (count > 2) {
        const double most = first_rule + last_rule + static_cast<double>(count - 3) * rules.step_mm;
        RC_ASSERT(most < total * (1.0 + relative));
    }
    RC_ASSERT(std::abs(plan.minutes - static_cast<double>(count) * 0.8) < 1e-9 * static_cast<double>(count));
    RC_ASSERT(plan.deeper_than_flute == (total > 50.0));
}

// 34 mm of wood and 1 mm below: 3, then 30 in six of 5, then 2; through a 12 mm template.
TEST(Passes, WorkedByHand) {
    const PassPlan plan = plan_passes(34.0, 12.0, 40.0, 1500.0, 1500.0, {});
    ASSERT_EQ(plan.passes.size(), 8u);
    EXPECT_DOUBLE_EQ(plan.passes[0].step_mm, 3.0);
    EXPECT_DOUBLE_EQ(plan.passes[1].step_mm, 5.0);
    EXPECT_DOUBLE_EQ(plan.passes[6].depth_mm, 33.0);
    EXPECT_DOUBLE_EQ(plan.passes[7].step_mm, 2.0);
    EXPECT_DOUBLE_EQ(plan.passes[7].projection_mm, 47.0);
    EXPECT_DOUBLE_EQ(plan.minutes, 8.0);
    EXPECT_FALSE(plan.deeper_than_flute);
    EXPECT_TRUE(plan_passes(34.0, 12.0, 34.5, 1500.0, 1500.0, {}).deeper_than_flute);
}

TEST(Passes, ThinWood) {
    const PassRules rules{3.0, 5.0, 2.0, 0.0};
    EXPECT_EQ(plan_passes(2.0, 12.0, 40.0, 100.0, 1500.0, rules).passes.size(), 1u);
    const PassPlan two = plan_passes(4.0, 12.0, 40.0, 100.0, 1500.0, rules);
    ASSERT_EQ(two.passes.size(), 2u);
    EXPECT_DOUBLE_EQ(two.passes[0].step_mm, 2.4);
    EXPECT_DOUBLE_EQ(two.passes[1].step_mm, 1.6);
}

TEST(Passes, RefusesWhatCannotBe) {
    const PassRules rules;
    EXPECT_THROW(plan_passes(0.0, 12.0, 40.0, 100.0, 1500.0, rules), std::invalid_argument);
    EXPECT_THROW(plan_passes(NAN, 12.0, 40.0, 100.0, 1500.0, rules), std::invalid_argument);
    EXPECT_THROW(plan_passes(20.0, -1.0, 40.0, 100.0, 1500.0, rules), std::invalid_argument);
    EXPECT_THROW(plan_passes(20.0, 12.0, 40.0, 100.0, 0.0, rules), std::invalid_argument);
    EXPECT_THROW(plan_passes(20.0, 12.0, 40.0, 100.0, 1500.0, {0.0, 5.0, 2.0, 1.0}), std::invalid_argument);
    EXPECT_THROW(plan_passes(20.0, 12.0, 40.0, 100.0, 1500.0, {3.0, 1e-9, 2.0, 1.0}), std::invalid_argument);
    EXPECT_THROW(plan_passes(20.0, 12.0, 40.0, 100.0, 1500.0, {3.0, 5.0, 2.0, -1.0}), std::invalid_argument);
}

// The two charts of data/router.csv, rows "max speed" (woodworking.about.com, single values; a second published chart,
// ranges). Where they disagree the lower: 18,000 and not 22,000 from 1 to 2 in.
TEST(Speed, Charts) {
    EXPECT_DOUBLE_EQ(speed_for(10.0, 0.0).rpm, 24000.0);
    EXPECT_DOUBLE_EQ(speed_for(25.4, 0.0).rpm, 24000.0);
    EXPECT_DOUBLE_EQ(speed_for(25.5, 0.0).rpm, 18000.0);
    EXPECT_DOUBLE_EQ(speed_for(50.8, 0.0).rpm, 18000.0);
    EXPECT_DOUBLE_EQ(speed_for(60.0, 0.0).rpm, 16000.0);
    EXPECT_DOUBLE_EQ(speed_for(80.0, 0.0).rpm, 12000.0);
    EXPECT_FALSE(speed_for(10.0, 0.0).from_memory);
    EXPECT_THAT(speed_for(30.0, 0.0).source, HasSubstr("over 1 in up to 2 in"));
}

// Same table, computed rows: 31.9 m/s at 25.4 mm and 24,000 rpm, 47.9 at 50.8 and 18,000.
TEST(Speed, Rim) {
    EXPECT_NEAR(speed_for(25.4, 0.0).rim_m_per_s, 31.9, 0.05);
    EXPECT_NEAR(speed_for(50.8, 0.0).rim_m_per_s, 47.9, 0.05);
    EXPECT_NEAR(speed_for(88.9, 0.0).rim_m_per_s, 55.9, 0.05);
    EXPECT_NEAR(speed_for(120.0, 0.0).rim_m_per_s, 55.9, 0.05);
}

TEST(Speed, MarkingAboveAll) {
    const Speed marked = speed_for(10.0, 18000.0);
    EXPECT_DOUBLE_EQ(marked.rpm, 18000.0);
    EXPECT_EQ(marked.source, "marked on the cutter");
    EXPECT_DOUBLE_EQ(speed_for(10.0, 30000.0).rpm, 24000.0);
    EXPECT_THROW(speed_for(0.0, 0.0), std::invalid_argument);
    EXPECT_THROW(speed_for(10.0, -1.0), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
