#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "check_values.h"
#include "plan/words.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using seamwright::testing::check_values;
using seamwright::testing::input;
using ::testing::HasSubstr;
using ::testing::Not;

Document with_curve(const curves::Curve& curve) {
    Document document = small();
    document.job.seams[0].curve = curve;
    return document;
}

std::vector<job::Problem> about_sticks(const Plan& plan) {
    std::vector<job::Problem> list;
    for (const auto& p : plan.problems) {
        if (p.pointer.find("stick") != std::string::npos) list.push_back(p);
    }
    return list;
}

// check_values.csv, elastica_pinned_strip: the table of the buckled column (S. Timoshenko & J. Gere, Theory of Elastic
// Stability): push, chord and twice the rise by the slope at the ends.
TEST(Sprung, ThePlanTellsTheTableOfTheBuckledColumn) {
    int rows = 0;
    const auto chords = check_values("elastica_pinned_strip", "chord/length x_a/l");
    const auto deflections = check_values("elastica_pinned_strip", "deflection y_a/l");
    const auto pushes = check_values("elastica_pinned_strip", "P/Pcr");
    for (std::size_t i = 0; i < chords.size(); ++i) {
        const double slope_deg = input(chords[i], "alpha");
        if (slope_deg > 80.0) continue;  // beyond, the seam would overhang the edge of the top
        ASSERT_EQ(input(deflections[i], "alpha"), slope_deg);
        ASSERT_EQ(input(pushes[i], "alpha"), slope_deg);
        const double length_mm = 1060.0 / chords[i].value;
        Document document = with_curve(curves::Sprung{{-30.0, 20.0}, {1030.0, 20.0}, length_mm, std::nullopt});
        std::get<job::RectangleOutline>(document.job.outline).width_mm = 1500.0;
        const Plan plan = plan_of(document);
        ASSERT_EQ(plan.seams.size(), 1u) << show_all(plan.problems);
        const auto& stick = plan.seams[0].sprung;
        ASSERT_TRUE(stick);
        EXPECT_NEAR(stick->rise_mm, 0.5 * deflections[i].value * length_mm, 1e-6 * length_mm);
        EXPECT_NEAR(stick->end_slope_rad * geometry::degrees_per_radian, slope_deg, 1e-5);
        // Radius at the crest: 1/R = 4 k K/L, k = sin of half the slope, (2K/pi)² = the push.
        const double k = std::sin(0.5 * slope_deg / geometry::degrees_per_radian);
        const double quarter = 0.5 * geometry::pi * std::sqrt(pushes[i].value);
        EXPECT_NEAR(stick->tightest_radius_mm, length_mm / (4.0 * k * quarter), 1e-5 * length_mm);
        EXPECT_NEAR(plan.seams[0].drawn.tightest_right->radius_mm, stick->tightest_radius_mm, 0.01);
        ++rows;
    }
    EXPECT_EQ(rows, 4);
    // By the distance of the ends: 0.95 of the length rises by 0.1401106 of it (L. Euler 1744).
    for (const auto& row : check_values("elastica_pinned_strip", "sag/L")) {
        const double length_mm = 1060.0 / input(row, "chord/L");
        Document document = with_curve(curves::Sprung{{-30.0, 20.0}, {1030.0, 20.0}, length_mm, std::nullopt});
        std::get<job::RectangleOutline>(document.job.outline).width_mm = 1500.0;
        EXPECT_NEAR(plan_of(document).seams.at(0).sprung->rise_mm, row.value * length_mm, 1e-8 * length_mm);
    }
}

// Worked by hand: 6 mm of cherry bent to 750 mm: skin strain 6/1500 = 0.4 %. Cherry breaks at 12,300 psi over 1.49
// million (Wood Handbook, Table 5-3: 0.825503 %), so 48.4553 % of that; of half of it, 0.412752 %, the thickest is
// 2 · 750 · 0.00412752 = 6.19128 mm.
TEST(Stick, BearsItsTightestBendByPocketCalculator) {
    Document document = with_curve(curves::Arc{{-30.0, 100.0}, {1030.0, 100.0}, 750.0, std::nullopt});
    document.job.seams[0].stick = job::Stick{"cherry", 6.0};
    const Plan plan = plan_of(document);
    ASSERT_TRUE(plan.seams.at(0).stick) << "named for this seam: an arc, too";
    const StickPlan& stick = *plan.seams[0].stick;
    EXPECT_TRUE(stick.own);
    EXPECT_NEAR(stick.radius_mm, 750.0, 1e-9);
    EXPECT_NEAR(stick.strain, 0.004, 1e-15);
    EXPECT_NEAR(stick.part_of_rupture, 0.484553, 1e-6);
    EXPECT_NEAR(stick.greatest_thickness_mm, 6.19128, 1e-5);
    EXPECT_TRUE(stick.holds);
    EXPECT_EQ(stick.limit->species, "Cherry, black");
    EXPECT_TRUE(about_sticks(plan).empty()) << show_all(plan.problems);
    // Chord 1060, radius 750: the arc is 2 · 750 · asin(530/750) = 1176.5 mm long.
    EXPECT_NEAR(stick.length_mm, 2.0 * 750.0 * std::asin(530.0 / 750.0), 1e-6);
    const std::string says = words::stick_text(stick, plan.style);
    EXPECT_THAT(says, HasSubstr("Cherry, black, 6.0 mm thick, at least 1177.2 mm long"));
    EXPECT_THAT(says, HasSubstr("stretched by 0.40 %, 48 % of what breaks such wood (on the average)"));
    EXPECT_THAT(says, HasSubstr("It holds; so does any up to 6.1 mm thick"));
    EXPECT_THAT(says, Not(HasSubstr("memory")));
}

TEST(Stick, ThatBreaksIsWarnedOfWithTheThicknessThatHolds) {
    Document document = with_curve(curves::Arc{{-30.0, 100.0}, {1030.0, 100.0}, 750.0, std::nullopt});
    document.job.seams[0].stick = job::Stick{"cherry", 6.5};
    const Plan plan = plan_of(document);
    const auto told = about_sticks(plan);
    ASSERT_EQ(told.size(), 1u) << show_all(plan.problems);
    EXPECT_EQ(told[0].weight, job::Problem::Weight::warning);
    EXPECT_EQ(told[0].pointer, "/seams/0/stick/thickness");
    // 6.5/1500 = 0.433 %; 52.5 % of 0.8255 %, 2.97 standard deviations below it: 0.00149, one in 670.
    EXPECT_THAT(told[0].found, HasSubstr("0.43 %, 52 % of what breaks such wood"));
    EXPECT_THAT(told[0].found, HasSubstr("one such stick in 700 breaks"));
    EXPECT_THAT(told[0].remedy, HasSubstr("6.1 mm or thinner"));
    ASSERT_TRUE(told[0].at);
    document.job.seams[0].stick->thickness_mm = 30.0;
    EXPECT_THAT(about_sticks(plan_of(document)).at(0).found, HasSubstr("2.4 times what breaks such wood"));
    EXPECT_THAT(about_sticks(plan_of(document)).at(0).found, HasSubstr("it breaks"));
    document.job.seams[0].curve = curves::Arc{{-30.0, 100.0}, {1030.0, 100.0}, 750.0, std::nullopt};
    document.job.style.unit = units::Unit::inch;
    // 6.19128 mm are 15.6 64ths.
    EXPECT_THAT(about_sticks(plan_of(document)).at(0).remedy, HasSubstr("15/64 in or thinner"));
}

TEST(Stick, OfTheJobIsForCurvesThatLieAsAStickDoes) {
    Document document = with_curve(curves::Pins{{{-30.0, 200.0}, {500.0, 270.0}, {1030.0, 200.0}}, false, {}, {}});
    document.job.stick = job::Stick{"Ash, white", 4.0};
    ASSERT_TRUE(plan_of(document).seams.at(0).stick);
    EXPECT_FALSE(plan_of(document).seams[0].stick->own);
    EXPECT_THAT(words::stick_text(*plan_of(document).seams[0].stick, {}), HasSubstr("from memory"));
    document.job.seams[0].curve = curves::Wave{{-30.0, 200.0}, {1030.0, 200.0}, {{20.0, 1060.0, 0.0}}};
    EXPECT_FALSE(plan_of(document).seams.at(0).stick);
    document.job.seams[0].curve = curves::Sprung{{-30.0, 200.0}, {1030.0, 200.0}, std::nullopt, 60.0};
    ASSERT_TRUE(plan_of(document).seams.at(0).stick);
    // A seam's own goes before.
    document.job.seams[0].stick = job::Stick{"driftwood", 3.0};
    const StickPlan own = *plan_of(document).seams.at(0).stick;
    EXPECT_TRUE(own.own);
    EXPECT_FALSE(own.limit);
    EXPECT_TRUE(own.holds) << "what is not known is not warned of by the plan; the reader has said so";
    EXPECT_THAT(words::stick_text(own, {}), HasSubstr("not in the tables"));
}

TEST(Stick, OfTheJobIsWarnedOfOnceAtItsTightestSeam) {
    Document document = small();
    document.job.seams = {open_seam("flat", {}, {}), open_seam("tight", {}, {}), open_seam("straight", {}, {})};
    document.job.seams[0].curve = curves::Sprung{{-30.0, 80.0}, {1030.0, 80.0}, std::nullopt, 60.0};
    document.job.seams[1].curve = curves::Sprung{{-30.0, 180.0}, {1030.0, 180.0}, std::nullopt, 120.0};
    document.job.seams[2].curve = curves::Pins{{{-30.0, 350.0}, {1030.0, 350.0}}, false, {}, {}};
    document.job.stick = job::Stick{"cherry", 40.0};
    const Plan plan = plan_of(document);
    ASSERT_EQ(plan.seams.size(), 3u) << show_all(plan.problems);
    const auto told = about_sticks(plan);
    ASSERT_EQ(told.size(), 1u) << show_all(plan.problems);
    EXPECT_EQ(told[0].pointer, "/stick/thickness");
    EXPECT_THAT(told[0].found, HasSubstr("in tight"));
    EXPECT_FALSE(plan.seams[2].stick->at);
    EXPECT_THAT(words::stick_text(*plan.seams[2].stick, plan.style), HasSubstr("it lies straight"));
}

// The stick is laid anew also where the seam itself is taken over from the plan before.
TEST(Stick, IsNotTakenOverFromAPlanBefore) {
    Document document = with_curve(curves::Sprung{{-30.0, 200.0}, {1030.0, 200.0}, std::nullopt, 60.0});
    document.job.stick = job::Stick{"cherry", 40.0};
    const Plan before = plan_of(document);
    Document thinner = document;
    thinner.job.stick->thickness_mm = 3.0;
    const Plan after = make_plan(thinner.job, thinner.shelf, {document.job, document.shelf, before});
    EXPECT_EQ(about_sticks(before).size(), 1u);
    EXPECT_TRUE(about_sticks(after).empty());
    EXPECT_EQ(write_plan(after), write_plan(plan_of(thinner)));
}

}  // namespace
}  // namespace seamwright::plan::testing
