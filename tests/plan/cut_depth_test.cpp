// Passes by wood and cutter, the last skim, and cuts in stages.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "plan/words.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;

std::vector<const StepPlan*> cuts_of(const Plan& plan) {
    std::vector<const StepPlan*> cuts;
    for (const SeamPlan& seam : plan.seams)
        for (const StepPlan& step : seam.steps)
            if (step.depth) cuts.push_back(&step);
    return cuts;
}

std::string lines_of(const StepPlan& step) {
    std::string text;
    for (const auto& line : step.lines) text += line + '\n';
    return text;
}

TEST(CutDepth, PassesGoByWoodAndCutterWhereTheJobAsks) {
    Document document = two_pieces();
    document.job.pieces[1].species = "Hickory, shagbark";
    document.job.limits.passes_by_wood = true;
    const Plan plan = plan_of(document);
    const auto cuts = cuts_of(plan);
    ASSERT_EQ(cuts.size(), 2U);
    double walnut = 0.0, hickory = 0.0;
    for (const StepPlan* step : cuts) {
        ASSERT_TRUE(step->depth->taken());
        double largest = 0.0;
        for (const auto& pass : step->passes->passes) largest = std::max(largest, pass.step_mm);
        EXPECT_LE(largest, step->depth->usual->rules.step_mm + 1e-9);
        // The figures of the rules themselves are held against data/router.csv in tests/process/cut_stages_test.cpp.
        const shelf::Species* wood = shelf::find_species(step->depth->species);
        ASSERT_NE(wood, nullptr);
        const shelf::Cutter& cutter = document.shelf.cutters[step->step.pair->cutter];
        EXPECT_DOUBLE_EQ(step->depth->usual->rules.step_mm,
                         process::pass_rules_for(
                             {wood->density_kg_m3, step->step.pair->b_mm, cutter.shank_mm, cutter.cutting_length_mm})
                             .rules.step_mm);
        (step->depth->species == "Walnut, black" ? walnut : hickory) = step->depth->usual->rules.step_mm;
        EXPECT_THAT(lines_of(*step), HasSubstr("The steps go by the wood and the cutter: " + step->depth->species));
    }
    EXPECT_LT(hickory, walnut);
    // Template stock has no density in the tables: its passes are the job's.
    const auto& steps = plan.seams[0].steps;
    const auto copy = std::find_if(steps.begin(), steps.end(), [](const StepPlan& s) { return s.passes && !s.depth; });
    ASSERT_NE(copy, steps.end());
    EXPECT_DOUBLE_EQ(copy->passes->passes.front().step_mm, document.job.limits.first_pass_mm);
}

TEST(CutDepth, TheWoodOfAPieceCountsAlsoWhenItsSeamIsTakenOver) {
    Document document = two_pieces();
    document.job.limits.passes_by_wood = true;
    const Plan before = plan_of(document);
    Document after = document;
    after.job.pieces[1].species = "Hickory, shagbark";
    const Plan again = make_plan(after.job, after.shelf, {document.job, document.shelf, before});
    EXPECT_EQ(write_plan(again), write_plan(plan_of(after)));
    EXPECT_NE(write_plan(again), write_plan(before));
}

TEST(CutDepth, StepsDeeperThanUsualAreTold) {
    Document document = two_pieces();
    document.job.limits.pass_mm = 9.0;
    const Plan deep = plan_of(document);
    for (const StepPlan* step : cuts_of(deep)) {
        EXPECT_TRUE(step->depth->too_deep);
        EXPECT_THAT(
            lines_of(*step),
            HasSubstr("Your steps, at most 9.0 mm, are deeper than the rules of thumb give for this wood and cutter"));
    }
    document.job.limits.pass_mm = 2.0;
    const Plan light = plan_of(document);
    for (const StepPlan* step : cuts_of(light))
        EXPECT_THAT(lines_of(*step), ::testing::Not(HasSubstr("rules of thumb give")));
    document.job.pieces[0].species = document.job.pieces[1].species = "of my own";
    document.job.limits.passes_by_wood = true;
    const Plan unknown = plan_of(document);
    for (const StepPlan* step : cuts_of(unknown)) {
        EXPECT_FALSE(step->depth->taken());
        EXPECT_THAT(lines_of(*step), HasSubstr("not in the tables"));
    }
}

TEST(CutDepth, ASkimIsLeftByAnotherGuide) {
    Document document = two_pieces();
    document.job.limits.skim_mm = 0.5;
    const Plan without = plan_of(document);
    for (const StepPlan* step : cuts_of(without)) {
        ASSERT_TRUE(step->depth->skim);
        const auto& skim = *step->depth->skim;
        // Half of what the guide is wider moves the cutter off the template: the offset is (guide − cutter) / 2, and
        // (guide + cutter) / 2 to the far side of the groove.
        EXPECT_NEAR(skim.wanted_mm - step->step.pair->B_mm, step->step.keeps_far ? -1.0 : 1.0, 1e-9);
        EXPECT_TRUE(skim.rider.empty());
        EXPECT_NEAR(skim.cut.minutes, step->passes->length_mm / document.job.limits.feed_mm_per_min, 1e-9);
        EXPECT_NEAR(step->cutting_minutes(), step->passes->minutes + skim.cut.minutes, 1e-9);
        EXPECT_THAT(lines_of(*step), HasSubstr("none on the shelf"));
    }
    shelf::Guide larger = document.shelf.guides[0];
    larger.name = "31 mm guide";
    larger.outside = {31.2, std::nullopt};
    shelf::Guide smaller = document.shelf.guides[0];
    smaller.name = "29 mm guide";
    smaller.outside = {28.8, std::nullopt};
    document.shelf.guides.push_back(larger);
    document.shelf.guides.push_back(smaller);
    for (auto& seam : document.job.seams) seam.chain = without.seams[0].chains[without.seams[0].chosen].id;
    const Plan with = plan_of(document);
    for (const StepPlan* step : cuts_of(with)) {
        const auto& skim = *step->depth->skim;
        if (step->step.pair->B_mm != 30.0) continue;
        EXPECT_EQ(skim.rider, step->step.keeps_far ? "29 mm guide" : "31 mm guide");
        EXPECT_NEAR(skim.leaves_mm, 0.6, 1e-9);
    }
}

TEST(CutDepth, DeeperThanTheFlutesIsCutInTwoStages) {
    Document document = two_pieces();
    document.job.thickness_mm = 45.0;
    auto& cutter = document.shelf.cutters[0];
    cutter.cutting_length_mm = 30.0;
    cutter.shank_mm = 8.0;
    cutter.reach_mm = 70.0;
    const Plan plan = plan_of(document);
    const auto cuts = cuts_of(plan);
    ASSERT_FALSE(cuts.empty());
    for (const StepPlan* step : cuts) {
        ASSERT_TRUE(step->depth->staged()) << lines_of(*step);
        const auto& stages = step->depth->stages->stages;
        // By hand: together they clean the whole thickness, each no more at one flute length, and they overlap.
        EXPECT_DOUBLE_EQ(stages.front().from_mm, 0.0);
        EXPECT_LE(stages.front().to_mm, 30.0);
        EXPECT_LT(stages.back().from_mm, stages.front().to_mm);
        EXPECT_GE(stages.back().to_mm, 45.0);
        double steps = 0.0;
        std::size_t passes = 0;
        for (const auto& stage : stages) passes += stage.passes.size();
        for (const auto& pass : stages.front().passes) steps += pass.step_mm;
        EXPECT_NEAR(steps, stages.front().to_mm, 1e-9);
        EXPECT_EQ(step->passes->passes.size(), passes);
        EXPECT_NEAR(step->passes->minutes, step->depth->stages->minutes, 1e-9);
        EXPECT_THAT(lines_of(*step), HasSubstr("it is cut in two stages"));
        const auto told = words::passes_lines(*step, plan.style);
        ASSERT_EQ(told.size(), 2U);
        EXPECT_THAT(told[0], HasSubstr("Stage 1, on the template: from 0.0 mm to "));
        EXPECT_THAT(told[1], HasSubstr("Stage 2, "));
    }
}

TEST(CutDepth, ACutterThatCannotDoItSaysWhatItLacks) {
    Document document = two_pieces();
    document.job.thickness_mm = 45.0;
    auto& cutter = document.shelf.cutters[0];
    cutter.cutting_length_mm = 12.0;
    cutter.shank_mm = 8.0;
    cutter.reach_mm = 70.0;
    const Plan short_one = plan_of(document);
    for (const StepPlan* step : cuts_of(short_one)) {
        EXPECT_FALSE(step->depth->staged());
        EXPECT_THAT(lines_of(*step), HasSubstr("Not even in two stages"));
        EXPECT_THAT(lines_of(*step), HasSubstr("longer"));
    }
}

// Rim speed is π d n: 12.7 mm at 22 000 turns a minute is 14.6 m/s (methods, section 6).
TEST(CutDepth, SpeedIsToldWithRimAndSource) {
    const process::Speed speed = process::speed_for(12.7, 22000.0);
    EXPECT_NEAR(speed.rim_m_per_s, 3.14159265358979 * 0.0127 * 22000.0 / 60.0, 1e-9);
    EXPECT_EQ(words::speed_text(speed), "Speed at most 22000 rpm, 15 m/s at the rim (marked on the cutter).");
    EXPECT_THAT(words::speed_text(process::speed_for(12.7, 0.0)), HasSubstr("published speed charts"));
}

}  // namespace
}  // namespace seamwright::plan::testing
