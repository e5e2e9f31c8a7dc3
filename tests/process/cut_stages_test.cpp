#include "process/cut_stages.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

#include "seam/tool_table.h"
#include "shelf/shelf.h"

namespace seamwright::process {
namespace {

/// A row "pass depth" of data/router.csv.
std::pair<double, double> pass_row(const std::string& beginning) {
    const shelf::Table& table = seam::router_table();
    for (const std::size_t row : table.rows_where("topic", "pass depth"))
        if (table.cell(row, "item").starts_with(beginning)) {
            const double low = table.number(row, "value_low").value();
            return {low, table.number(row, "value_high").value_or(low)};
        }
    ADD_FAILURE() << beginning;
    return {};
}

// data/router.csv, rows "pass depth": hardwood by shank and the rule of half a diameter from memory (common practice);
// 1/8 in for any bit read in an operator's manual; 3 mm hardwood and 4 to 5 softwood with sharp carbide read.
TEST(PassRulesFor, WithinThePublishedRows) {
    const auto thick = pass_row("hardwood, straight bit, 12 mm"), thin = pass_row("hardwood, straight bit, 6 mm");
    const auto rough = pass_row("roughing pass");
    const double any_bit = pass_row("conservative rule").first;
    const double maple = shelf::find_species("hard maple")->density_kg_m3;
    const double pine = shelf::find_species("eastern white pine")->density_kg_m3;
    EXPECT_GT(maple, 700.0);
    EXPECT_LT(pine, 500.0);

    const PassRules hard = pass_rules_for({700.0, 12.7, 12.7, 32.0}).rules;
    EXPECT_GE(hard.step_mm, thick.first);
    EXPECT_LE(hard.step_mm, thick.second);
    EXPECT_LE(pass_rules_for({maple, 12.7, 12.7, 32.0}).rules.step_mm, thick.first);
    EXPECT_GE(pass_rules_for({maple, 12.7, 12.7, 32.0}).rules.step_mm, rough.first);
    const PassRules small = pass_rules_for({700.0, 12.0, 6.0, 25.0}).rules;
    EXPECT_GE(small.step_mm, thin.first);
    EXPECT_LE(small.step_mm, thin.second);
    const PassRules soft = pass_rules_for({pine, 10.0, 12.0, 25.0}).rules;
    EXPECT_DOUBLE_EQ(soft.step_mm, 5.0);  // half the diameter
    EXPECT_LE(soft.step_mm, rough.second);
    for (const PassRules& r : {hard, small, soft}) EXPECT_LE(r.first_mm, any_bit);
    EXPECT_TRUE(pass_rules_for({}).from_memory);
}

// By hand: 1400 kg/m³ halves it, a cutter eight diameters long too. A shank of 8 mm lies a third of the way
// from 6 to 12 mm: 2 + (10/12 · 4 − 2) / 3 = 2.444 mm, and 4 · 10 / 50 of that for a 10 mm cutter 50 mm long.
TEST(PassRulesFor, HeavyWoodAndSlenderCutter) {
    EXPECT_DOUBLE_EQ(pass_rules_for({700.0, 12.0, 12.0, 36.0}).rules.step_mm, 4.0);
    EXPECT_DOUBLE_EQ(pass_rules_for({1400.0, 12.0, 12.0, 36.0}).rules.step_mm, 2.0);
    EXPECT_DOUBLE_EQ(pass_rules_for({700.0, 12.0, 12.0, 96.0}).rules.step_mm, 2.0);
    EXPECT_NEAR(pass_rules_for({700.0, 10.0, 8.0, 50.0}).rules.step_mm, 1.9556, 1e-4);
    EXPECT_DOUBLE_EQ(pass_rules_for({600.0, 12.0, 12.0, 36.0}).rules.step_mm, 5.0);
    EXPECT_DOUBLE_EQ(pass_rules_for({700.0, 12.0, 12.0, 36.0}, 0.5).rules.below_mm, 0.5);
    EXPECT_DOUBLE_EQ(pass_rules_for({700.0, 12.0, 12.0, 36.0}).rules.first_mm, 2.4);
    EXPECT_DOUBLE_EQ(pass_rules_for({700.0, 12.0, 12.0, 36.0}).rules.last_mm, 1.6);
}

// Law P2: a step never grows with density or cutting length, nor shrinks with the cutter's diameter or a thicker shank.
RC_GTEST_PROP(PassRulesFor, P2Monotone, ()) {
    PassFor a{10.0 * *rc::gen::inRange(20, 140), 0.5 * *rc::gen::inRange(6, 60), *rc::gen::element(6.0, 8.0, 12.7),
              1.0 * *rc::gen::inRange(8, 90)};
    const double step = pass_rules_for(a).rules.step_mm;
    RC_ASSERT(step > 0.0);
    const auto changed = [&](double PassFor::* what, double factor) {
        PassFor b = a;
        b.*what *= factor;
        return pass_rules_for(b).rules.step_mm;
    };
    RC_ASSERT(changed(&PassFor::density_kg_m3, 1.2) <= step + 1e-12);
    RC_ASSERT(changed(&PassFor::cutting_length_mm, 1.2) <= step + 1e-12);
    RC_ASSERT(changed(&PassFor::cutter_diameter_mm, 1.2) >= step - 1e-12);
    RC_ASSERT(changed(&PassFor::shank_mm, 2.0) >= step - 1e-12);
}

// data/router.csv, "feed": 2 m/min, 18,000 rpm, 2 flutes = 0.056 mm.
TEST(Chip, FromTheTable) {
    EXPECT_NEAR(chip_mm(2000.0, 18000.0, 2), 0.056, 5e-4);
    EXPECT_THROW(chip_mm(2000.0, 18000.0, 0), std::invalid_argument);
}

TEST(FinalSkim, GuideTimeAndFlutes) {
    const FinalSkim skim = final_skim(0.5, 35.0, 38.0, 3000.0, 1500.0);
    EXPECT_DOUBLE_EQ(skim.guide_larger_by_mm, 1.0);
    EXPECT_DOUBLE_EQ(skim.minutes, 2.0);
    EXPECT_TRUE(skim.flutes_reach);
    EXPECT_FALSE(final_skim(0.5, 39.0, 38.0, 3000.0, 1500.0).flutes_reach);
    // The row "last pass, side allowance": what it allows is taken, more is not.
    const auto usual = pass_row("last pass");
    EXPECT_NO_THROW(final_skim(usual.first, 35.0, 38.0, 0.0, 1500.0));
    EXPECT_NO_THROW(final_skim(usual.second, 35.0, 38.0, 0.0, 1500.0));
    EXPECT_THROW(final_skim(usual.second + 0.1, 35.0, 38.0, 0.0, 1500.0), std::invalid_argument);
    EXPECT_THROW(final_skim(0.0, 35.0, 38.0, 0.0, 1500.0), std::invalid_argument);
}

StageSetup setup(double thickness, double flutes, double reach) {
    StageSetup s;
    s.thickness_mm = thickness;
    s.cutting_length_mm = flutes;
    s.reach_mm = reach;
    s.edge_length_mm = 3000.0;
    s.feed_mm_per_min = 1500.0;
    return s;
}

TEST(Stages, OneWhereTheFlutesAreLongEnough) {
    const StagePlan plan = plan_stages(setup(34.0, 38.0, 60.0));
    ASSERT_EQ(plan.stages.size(), 1u);
    EXPECT_EQ(plan.stages[0].guided, GuidedBy::template_edge);
    EXPECT_DOUBLE_EQ(plan.stages[0].projection_mm, 47.0);  // 12 + 34 + 1
    EXPECT_EQ(plan.stages[0].passes.size(), 8u);           // as worked by hand in passes_test.cpp
    EXPECT_DOUBLE_EQ(plan.minutes, 16.0);
}

// By hand: 45 thick, 1 below, flutes 38. The template's stage goes to 38. From above the cutter would stand 46 deep
// with its bearing on 3 … 8; flutes from 8. The first such pass is at 43 (38 + 5), then 3 more to 46.
TEST(Stages, SecondFromAbove) {
    const StagePlan plan = plan_stages(setup(45.0, 38.0, 58.0));
    ASSERT_EQ(plan.stages.size(), 2u);
    EXPECT_DOUBLE_EQ(plan.stages[0].to_mm, 38.0);
    EXPECT_DOUBLE_EQ(plan.stages[0].projection_mm, 50.0);
    const Stage& second = plan.stages[1];
    EXPECT_EQ(second.guided, GuidedBy::edge_above);
    EXPECT_DOUBLE_EQ(second.from_mm, 36.0);
    EXPECT_DOUBLE_EQ(second.to_mm, 46.0);
    EXPECT_DOUBLE_EQ(second.flutes_needed_mm, 10.0);
    EXPECT_DOUBLE_EQ(second.projection_mm, 46.0);
    ASSERT_GE(second.passes.size(), 2u);
    EXPECT_DOUBLE_EQ(second.passes[0].depth_mm, 43.0);
    EXPECT_DOUBLE_EQ(second.passes[0].step_mm, 5.0);
    EXPECT_DOUBLE_EQ(second.passes.back().depth_mm, 46.0);
    EXPECT_DOUBLE_EQ(second.passes.back().projection_mm, 46.0);
    EXPECT_DOUBLE_EQ(plan.minutes, 2.0 * static_cast<double>(plan.stages[0].passes.size() + second.passes.size()));
}

// 40 thick, 1 below: 41 is less than flutes and bearing together, so the bearing would stand above the face. From the
// other face: 40 − 38 + 2 = 4 high, tip 9 deep.
TEST(Stages, SecondFromTheOtherFace) {
    const StagePlan plan = plan_stages(setup(40.0, 38.0, 58.0));
    ASSERT_EQ(plan.stages.size(), 2u);
    const Stage& second = plan.stages[1];
    EXPECT_EQ(second.guided, GuidedBy::edge_below);
    EXPECT_DOUBLE_EQ(second.flutes_needed_mm, 4.0);
    EXPECT_DOUBLE_EQ(second.projection_mm, 9.0);
    ASSERT_EQ(second.passes.size(), 1u);
}

// 60 thick with flutes of 25 and little reach: (60 + 2)/2 = 31 are needed.
TEST(Stages, TellsWhatLacks) {
    const StagePlan plan = plan_stages(setup(60.0, 25.0, 60.0));
    EXPECT_FALSE(plan.possible);
    EXPECT_TRUE(plan.stages.empty());
    EXPECT_DOUBLE_EQ(plan.flutes_short_mm, 6.0);
    EXPECT_DOUBLE_EQ(plan.reach_short_mm, 0.0);
}

// Law P3: stages overlap and together clean the whole edge, none with more flute or reach than there is; the bearing of
// a later stage stands on edge that is clean in every pass; the cutter that is as much longer as is said will do.
RC_GTEST_PROP(Stages, P3CleanTheWholeEdge, ()) {
    StageSetup s = setup(0.5 * *rc::gen::inRange(4, 200), 0.5 * *rc::gen::inRange(10, 160), 0.0);
    s.reach_mm = s.cutting_length_mm + *rc::gen::inRange(0, 40);
    s.template_mm = *rc::gen::inRange(0, 20);
    s.bearing_mm = *rc::gen::inRange(1, 8);
    s.overlap_mm = 0.5 * *rc::gen::inRange(0, 6);
    s.rules.below_mm = 0.5 * *rc::gen::inRange(0, 4);
    const StagePlan plan = plan_stages(s);
    const double total = s.thickness_mm + s.rules.below_mm;
    constexpr double near = 1e-6;
    if (!plan.possible) {
        RC_ASSERT(plan.flutes_short_mm > 0.0 || plan.reach_short_mm > 0.0);
        s.cutting_length_mm += plan.flutes_short_mm;
        s.reach_mm += plan.reach_short_mm;
        RC_ASSERT(plan_stages(s).possible);
        return;
    }
    RC_ASSERT(plan.stages.size() <= 2u);
    RC_ASSERT(plan.stages[0].from_mm == 0.0);
    RC_ASSERT(plan.stages.back().to_mm >= s.thickness_mm - near);
    if (total <= s.cutting_length_mm && s.template_mm + total <= s.reach_mm) RC_ASSERT(plan.stages.size() == 1u);
    double minutes = 0.0;
    for (const Stage& stage : plan.stages) {
        RC_ASSERT(stage.to_mm - stage.from_mm <= s.cutting_length_mm + near);
        RC_ASSERT(stage.projection_mm <= s.reach_mm + near);
        RC_ASSERT(!stage.passes.empty());
        minutes += stage.minutes;
        for (std::size_t i = 1; i < stage.passes.size(); ++i)
            RC_ASSERT(std::abs(stage.passes[i].depth_mm - stage.passes[i - 1].depth_mm - stage.passes[i].step_mm) <
                      near);
        RC_ASSERT(std::abs(stage.passes.back().projection_mm - stage.projection_mm) < near);
    }
    RC_ASSERT(std::abs(minutes - plan.minutes) < near);
    if (plan.stages.size() < 2) return;
    const double done = plan.stages[0].to_mm;
    const Stage& second = plan.stages[1];
    RC_ASSERT(std::abs(done - second.from_mm - s.overlap_mm) < near);
    for (const Pass& pass : second.passes) {
        if (second.guided == GuidedBy::edge_above) {
            const double bearing_below = pass.depth_mm - s.cutting_length_mm;
            RC_ASSERT(bearing_below <= done - s.overlap_mm + near && bearing_below - s.bearing_mm >= -near);
        } else {
            // Seen from the other face the tip's bearing reaches up to what is clean.
            const double tip_from_top = s.thickness_mm - pass.projection_mm;
            RC_ASSERT(tip_from_top >= -near && tip_from_top + s.bearing_mm <= done - s.overlap_mm + near);
        }
    }
}

TEST(Stages, Refuses) {
    EXPECT_THROW(plan_stages(setup(0.0, 38.0, 58.0)), std::invalid_argument);
    EXPECT_THROW(plan_stages(setup(30.0, 0.0, 58.0)), std::invalid_argument);
    StageSetup s = setup(30.0, 38.0, 58.0);
    s.overlap_mm = -1.0;
    EXPECT_THROW(plan_stages(s), std::invalid_argument);
    EXPECT_THROW(pass_rules_for({0.0, 12.0, 12.0, 30.0}), std::invalid_argument);
    EXPECT_THROW(pass_rules_for({700.0, 12.0, 12.0, 30.0}, -1.0), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
