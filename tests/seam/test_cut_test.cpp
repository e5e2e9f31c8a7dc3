#include "seam/test_cut.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "seam/closing.h"
#include "seam/simulate.h"
#include "seams.h"
#include "shelves.h"

namespace seamwright::seam {
namespace {

using What = CutReading::What;

struct Truth {
    double B = 30.04, b = 9.87;
    Point w{0.07, -0.05};
};
double true_reading(const Truth& truth, What what, double towards_rad) {
    const double aside = geometry::dot(geometry::unit(towards_rad), truth.w);
    switch (what) {
        case What::slot_width:
            return truth.b;
        case What::near_edge:
            return 0.5 * (truth.B - truth.b) + aside;
        case What::far_edge:
            return 0.5 * (truth.B + truth.b) + aside;
        case What::guide_across:
            return truth.B;
    }
    return 0.0;
}
TestCut coupons(const Truth& truth, double scatter_mm, unsigned seed) {
    std::mt19937 random(seed);
    const auto scatter = [&] {
        const double u = (static_cast<double>(random()) + 1.0) / 4294967297.0;
        const double v = static_cast<double>(random()) / 4294967296.0;
        return scatter_mm * std::sqrt(-2.0 * std::log(u)) * std::cos(geometry::two_pi * v);
    };
    TestCut cut{30.0, 10.0, scatter_mm > 0.0 ? scatter_mm : 0.03, {}};
    for (const CutPlace& place : places_to_measure()) {
        cut.readings.push_back(
            {place.what, true_reading(truth, place.what, place.towards_rad) + scatter(), place.towards_rad});
    }
    return cut;
}

TEST(TestCut, WithoutScatterTheTrueSizesComeBack) {
    const Truth truth;
    const auto answer = solve_test_cut(coupons(truth, 0.0, 1));
    ASSERT_FALSE(answer.problem);
    const RealTools& t = answer.tools;
    // The marked sizes pull by what they weigh: (0.03/0.5)² over a few readings.
    EXPECT_NEAR(t.guide_mm.value, truth.B, 3e-4);
    EXPECT_NEAR(t.cutter_mm.value, truth.b, 3e-4);
    EXPECT_NEAR(t.off_x_mm.value, truth.w.x, 3e-4);
    EXPECT_NEAR(t.off_y_mm.value, truth.w.y, 3e-4);
    EXPECT_TRUE(t.guide_mm.told && t.cutter_mm.told && t.off_x_mm.told && t.off_y_mm.told);
    EXPECT_TRUE(t.doubtful.empty());
    EXPECT_EQ(t.spare, places_to_measure().size() - 4);
}

// The issue's own demand: within the stated uncertainty in 95 % of 1000 seeds.
TEST(TestCut, TheTrueSizesLieWithinWhatIsStated) {
    int guide = 0, cutter = 0, near = 0, x = 0, y = 0;
    const auto holds = [](const Known& known, double truth) { return std::abs(known.value - truth) <= known.within; };
    for (unsigned seed = 1; seed <= 1000; ++seed) {
        std::mt19937 random(seed + 7000);
        const auto even = [&] { return static_cast<double>(random()) / 4294967296.0 - 0.5; };
        const Truth truth{30.0 + 0.2 * even(), 10.0 + 0.4 * even(), {0.3 * even(), 0.3 * even()}};
        const auto answer = solve_test_cut(coupons(truth, 0.03, seed));
        ASSERT_FALSE(answer.problem);
        guide += holds(answer.tools.guide_mm, truth.B);
        cutter += holds(answer.tools.cutter_mm, truth.b);
        near += holds(answer.tools.near_mm, 0.5 * (truth.B - truth.b));
        x += holds(answer.tools.off_x_mm, truth.w.x);
        y += holds(answer.tools.off_y_mm, truth.w.y);
    }
    for (const int count : {guide, cutter, near, x, y}) {
        EXPECT_GE(count, 940);  // 954 expected, 7 of chance
        EXPECT_LE(count, 985);  // nor stated too wide
    }
    EXPECT_GE(guide + cutter + near + x + y, 5 * 950);
}

TEST(TestCut, AWrongReadingIsNamed) {
    TestCut cut = coupons({}, 0.02, 3);
    cut.readings[4].mm += 0.5;
    const auto answer = solve_test_cut(cut);
    ASSERT_FALSE(answer.problem);
    EXPECT_EQ(answer.tools.doubtful, std::vector<std::size_t>{4});
    cut.readings[4].mm += 5.0;
    const auto wild = solve_test_cut(cut);
    ASSERT_TRUE(wild.problem);
    EXPECT_EQ(wild.problem->reading, 4u);
}

TEST(TestCut, WhatNoReadingTellsStaysAsMarked) {
    TestCut cut{30.0, 10.0, 0.03, {{What::slot_width, 9.9, 0.0}, {What::slot_width, 9.92, 0.0}}};
    const auto answer = solve_test_cut(cut);
    ASSERT_FALSE(answer.problem);
    EXPECT_TRUE(answer.tools.cutter_mm.told);
    EXPECT_NEAR(answer.tools.cutter_mm.value, 9.91, 1e-3);
    EXPECT_FALSE(answer.tools.guide_mm.told);
    EXPECT_NEAR(answer.tools.guide_mm.value, 30.0, 1e-12);
    EXPECT_FALSE(answer.tools.off_x_mm.told);
    // One straight slot alone does not tell the guide from its place: offset and w lie in one number.
    cut.readings.push_back({What::near_edge, 10.1, 0.5 * geometry::pi});
    EXPECT_FALSE(solve_test_cut(cut).tools.off_y_mm.told);
}

TEST(TestCut, RefusesWhatIsNoReading) {
    EXPECT_TRUE(solve_test_cut({30.0, 10.0, 0.03, {}}).problem);
    EXPECT_TRUE(solve_test_cut({0.0, 10.0, 0.03, {{What::slot_width, 9.9, 0.0}}}).problem);
    EXPECT_TRUE(solve_test_cut({30.0, 10.0, 0.0, {{What::slot_width, 9.9, 0.0}}}).problem);
    EXPECT_TRUE(solve_test_cut({30.0, 10.0, 0.03, {{What::slot_width, NAN, 0.0}}}).problem);
}

// The issue's own demand: a compensated template closes a seam that the uncompensated one does not. Both templates are
// printed, for sizes as marked, and for sizes as the test cut tells; both are cut with the tools as they are.
TEST(TestCut, ATemplatePrintedForTheRealToolsCloses) {
    const Truth truth{30.04, 9.80, {0.0, 0.0}};
    const auto learnt = solve_test_cut(coupons(truth, 0.02, 5)).tools;
    const Path seam = wave(90.0, 900.0, 1500.0);
    const auto gap_with = [&](std::optional<double> guide_mm, std::optional<double> cutter_mm) {
        shelf::Shelf believed;
        believed.guides = {guide("G", 30.0, guide_mm)};
        believed.cutters = {cutter("C", 10.0, cutter_mm)};
        Chain chain = chain_of_id(believed, usual, "paper:G/C-G/C").value();
        shelf::Shelf real = believed;
        real.guides[0].outside.measured_mm = truth.B;
        real.cutters[0].cutting.measured_mm = truth.b;
        for (Step& step : chain.steps) {
            if (!step.pair) continue;
            step.pair->B_mm = truth.B;
            step.pair->b_mm = truth.b;
        }
        const Simulation cuts = simulate(seam, chain, real, {usual, 60.0});
        return close_seam(cuts.left_edge, cuts.right_edge).largest_gap_mm;
    };
    constexpr double limit_mm = 0.02;
    EXPECT_GT(gap_with({}, {}), limit_mm);
    EXPECT_LT(gap_with(learnt.guide_mm.value, learnt.cutter_mm.value), limit_mm);
}

}  // namespace
}  // namespace seamwright::seam
