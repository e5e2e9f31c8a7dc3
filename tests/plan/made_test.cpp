#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "curves/profile_filter.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;

/// Readings every `step` along a metre, with what `deviation` says.
template <typename Deviation>
Document measured(double step, const Deviation& deviation) {
    Document document = small();
    job::MadeEdge made;
    for (double at = 0.0; at <= 1000.0; at += step) made.readings.push_back({at, deviation(at), 0});
    document.job.seams[0].as_made = made;
    return document;
}
double bump(double at, double middle, double width, double height) {
    const double x = (at - middle) / width;
    return std::abs(x) < 0.5 ? 0.5 * height * (1.0 + std::cos(2.0 * geometry::pi * x)) : 0.0;
}

TEST(AsMade, APlantedBumpIsFoundWhereItIs) {
    const Plan plan = plan_of(measured(5.0, [](double at) { return bump(at, 400.0, 60.0, 0.12); }));
    ASSERT_TRUE(plan.seams[0].as_made) << show_all(plan.problems);
    const MadePlan& made = *plan.seams[0].as_made;
    EXPECT_NEAR(made.length_mm, 1000.0, 1e-6);
    ASSERT_EQ(made.made.map.spots.size(), 1u);
    const curves::Spot& spot = made.made.map.spots[0];
    EXPECT_NEAR(spot.at_mm, 400.0, 2.5);
    EXPECT_NEAR(spot.height_mm, 0.12, 0.024);  // within 20 %
    EXPECT_THAT(made.verdict, HasSubstr("stands proud by 0.1"));
    EXPECT_THAT(made.verdict, HasSubstr("1 spot to take down"));
    // Far wider than the guide: both edges have the bump, and still fit each other.
    EXPECT_TRUE(made.closes) << made.verdict;
    EXPECT_LT(made.closing.largest_gap_mm, 0.02);
}

// methods.md section 3: below λs = 2π √(r a) a guide bridges the hollows, each hand of the pair sees another edge, and
// short lumps open the seam even with a perfect chain.
TEST(AsMade, ShortRipplesOpenTheSeam) {
    const auto ripple = [](double wave_mm) {
        Document document = measured(1.0, [=](double at) { return 0.2 * std::sin(2.0 * geometry::pi * at / wave_mm); });
        document.job.limits.gap_mm = 0.03;
        return document;
    };
    const double bridged = curves::bridged_wave_mm(15.0, 0.2);
    const Plan open = plan_of(ripple(0.5 * bridged)), shut = plan_of(ripple(6.0 * bridged));
    ASSERT_TRUE(open.seams[0].as_made && shut.seams[0].as_made);
    EXPECT_FALSE(open.seams[0].as_made->closes);
    EXPECT_THAT(open.seams[0].as_made->verdict, HasSubstr("sand it first"));
    EXPECT_TRUE(shut.seams[0].as_made->closes) << shut.seams[0].as_made->verdict;
    EXPECT_GT(open.seams[0].as_made->closing.largest_gap_mm, 3.0 * shut.seams[0].as_made->closing.largest_gap_mm);
}

TEST(AsMade, AnEvenShiftIsNeitherHighNorLow) {
    const Plan plan = plan_of(measured(20.0, [](double) { return 0.3; }));
    const MadePlan& made = *plan.seams[0].as_made;
    EXPECT_TRUE(made.made.map.spots.empty());
    EXPECT_NEAR(made.made.sanding.deepest_mm, 0.0, 1e-6);
    EXPECT_THAT(made.verdict, HasSubstr("fair within"));
    EXPECT_TRUE(made.closes);
}

TEST(AsMade, ReadingsThatDoNotLieOnTheEdgeAreRefused) {
    Document document = measured(20.0, [](double) { return 0.0; });
    document.job.seams[0].as_made->readings.push_back({1500.0, 0.0, 0});
    const Plan plan = plan_of(document);
    EXPECT_FALSE(plan.seams[0].as_made);
    bool told = false;
    for (const auto& problem : plan.problems)
        told = told || (problem.pointer == "/seams/0/as_made" && problem.found.find("1500") != std::string::npos);
    EXPECT_TRUE(told) << show_all(plan.problems);
}

TEST(AsMade, ChangedReadingsArePlannedAnew) {
    const Document before = measured(20.0, [](double) { return 0.0; });
    const Plan first = plan_of(before);
    Document after = before;
    after.job.seams[0].as_made->readings[25].height_mm = 0.2;
    const Plan again = make_plan(after.job, after.shelf, {before.job, before.shelf, first});
    EXPECT_EQ(write_plan(again), write_plan(plan_of(after)));
    EXPECT_NE(write_plan(again), write_plan(first));
}

}  // namespace
}  // namespace seamwright::plan::testing
