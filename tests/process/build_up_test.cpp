#include "process/build_up.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::pi;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

BuildUpWish panel() {
    BuildUpWish wish;
    wish.width_mm = 60.0;
    wish.thickness_mm = 22.0;
    wish.edges = rectangle_edges(1800.0, 900.0, wish.width_mm, "field");
    return wish;
}

// Pocket calculator: strips of 1800 × 60; ends of 900 − 2 × 60 = 780 mm from offcuts that give 150 − 6 = 144 mm each:
// six of 130 mm.
TEST(BuildUp, StripsRunThroughAndEndGrainLiesBetween) {
    const auto plan = plan_build_up(panel());
    EXPECT_THAT(plan.must, IsEmpty());
    ASSERT_EQ(plan.parts.size(), 14u);
    const BuildUpPart& strip = plan.parts[0];
    EXPECT_EQ(strip.edge, "front");
    EXPECT_FALSE(strip.end_grain);
    EXPECT_NEAR(strip.along_mm, 1806.0, 1e-9);
    EXPECT_NEAR(strip.across_mm, 66.0, 1e-9);
    const BuildUpPart& block = plan.parts[1];
    EXPECT_EQ(block.edge, "right end");
    EXPECT_TRUE(block.end_grain);
    EXPECT_NEAR(block.from_mm, 60.0, 1e-9);
    EXPECT_NEAR(block.to_mm, 190.0, 1e-9);
    EXPECT_NEAR(block.along_mm, 66.0, 1e-9) << "its fibres point inward";
    EXPECT_NEAR(block.across_mm, 136.0, 1e-9);
    EXPECT_NEAR(plan.glue_mm2, 1800.0 * 900.0 - 1680.0 * 780.0, 1e-6) << "the frame under the top, no more, no less";
    EXPECT_NEAR(plan.strip_mm, 3600.0, 1e-9);
    EXPECT_NEAR(plan.end_grain_mm, 1560.0, 1e-9);
    EXPECT_THAT(plan.mind, Contains(HasSubstr("move alike")));
}

// Pieces of one end whose fibres run across it and along it: end grain under the one, a strip under the other.
TEST(BuildUp, FibresMayDifferFromPieceToPiece) {
    BuildUpWish wish = panel();
    wish.widest_mm = wish.longest_mm = 2000.0;
    wish.edges[1].seams = {{400.0, 0.0}};
    wish.edges[1].pieces = {"walnut", "maple"};
    wish.edges[1].fibres_rad = {0.5 * pi, 0.0};
    const auto plan = plan_build_up(wish);
    ASSERT_EQ(plan.parts.size(), 5u);
    EXPECT_TRUE(plan.parts[1].end_grain);
    EXPECT_NEAR(plan.parts[1].along_mm, 66.0, 1e-9);
    EXPECT_FALSE(plan.parts[2].end_grain);
    EXPECT_NEAR(plan.parts[2].along_mm, 840.0 - 400.0 + 6.0, 1e-9);
    EXPECT_NEAR(plan.end_grain_mm, 340.0 + 780.0, 1e-9);
    EXPECT_NEAR(plan.strip_mm, 3600.0 + 440.0, 1e-9);
    wish.edges[1].fibres_rad = {0.0};
    EXPECT_THROW(plan_build_up(wish), std::invalid_argument);
}

// An insert between two seams that meet the right end square and leaning: the part below follows them.
TEST(BuildUp, PieceByPieceAcrossSeams) {
    BuildUpWish wish = panel();
    const double lean = std::atan(0.5);
    wish.edges[1].seams = {{400.0, 0.0}, {500.0, lean}};
    wish.edges[1].pieces = {"walnut", "maple", "oak"};
    const auto plan = plan_build_up(wish);
    EXPECT_THAT(plan.must, IsEmpty());
    std::vector<BuildUpPart> right;
    for (const BuildUpPart& part : plan.parts)
        if (part.edge == "right end") right.push_back(part);
    ASSERT_EQ(right.size(), 7u) << "340 mm in three, 100 mm in one, 340 mm in three";
    EXPECT_EQ(right[2].piece, "walnut");
    EXPECT_NEAR(right[2].to_mm, 400.0, 1e-9);
    EXPECT_EQ(right[3].piece, "maple");
    EXPECT_NEAR(right[3].from_mm, 400.0, 1e-9);
    EXPECT_NEAR(right[3].inner_to_mm, 530.0, 1e-9) << "60 mm in, half as much along";
    EXPECT_NEAR(right[3].end_lean_rad, lean, 1e-12);
    EXPECT_NEAR(right[3].area_mm2, 60.0 * 0.5 * (100.0 + 130.0), 1e-9);
    EXPECT_NEAR(right[3].across_mm, 136.0, 1e-9);
    EXPECT_EQ(right[4].piece, "oak");
    EXPECT_NEAR(right[4].inner_from_mm, 530.0, 1e-9);
}

TEST(BuildUp, WhatCannotBeIsTold) {
    BuildUpWish wish = panel();
    wish.edges[1].seams = {{40.0, 0.0}};
    wish.edges[1].pieces = {"walnut", "maple"};
    const auto plan = plan_build_up(wish);
    EXPECT_THAT(plan.must, Contains(HasSubstr("one wood under two")));
    EXPECT_NEAR(plan.glue_mm2, 1800.0 * 900.0 - 1680.0 * 780.0, 1e-6) << "the rest is laid all the same";

    wish = panel();
    wish.longest_mm = 50.0;
    EXPECT_THAT(plan_build_up(wish).must, Contains(HasSubstr("it needs 66.0 mm along its fibres")));

    wish = panel();
    wish.edges[1].seams = {{400.0, 0.6}, {440.0, -0.6}};
    wish.edges[1].pieces = {"walnut", "maple", "oak"};
    EXPECT_THAT(plan_build_up(wish).must, Contains(HasSubstr("maple between 400.0 mm and 440.0 mm comes to a point")));

    wish = panel();
    wish.edges[1].seams = {{400.0, 0.0}, {410.0, 0.0}};
    wish.edges[1].pieces = {"walnut", "maple", "oak"};
    wish.style.unit = units::Unit::inch;
    EXPECT_THAT(plan_build_up(wish).mind, Contains(HasSubstr("only ≈ 25/64 in wide")));
}

TEST(BuildUp, LongStripsAreJoined) {
    BuildUpWish wish = panel();
    wish.longest_mm = 1000.0;
    const auto plan = plan_build_up(wish);
    EXPECT_EQ(plan.parts[0].to_mm, 900.0);
    EXPECT_EQ(plan.parts[1].from_mm, 900.0);
}

TEST(BuildUp, RefusesWhatIsNone) {
    BuildUpWish wish = panel();
    wish.width_mm = 0.0;
    EXPECT_THROW(plan_build_up(wish), std::invalid_argument);
    wish = panel();
    wish.edges[0].pieces = {"one", "two"};
    EXPECT_THROW(plan_build_up(wish), std::invalid_argument);
    wish = panel();
    wish.edges[0].seams = {{500.0, 0.0}, {400.0, 0.0}};
    wish.edges[0].pieces = {"a", "b", "c"};
    EXPECT_THROW(plan_build_up(wish), std::invalid_argument);
    wish.edges = rectangle_edges(1800.0, 100.0, 60.0, "field");
    EXPECT_THROW(plan_build_up(wish), std::invalid_argument) << "two strips under an end that is too short";
}

// B1: parts follow one another without gap or overlap; B2: each comes out of an offcut; B3: its area is that of its
// corners; B4: no piece is left out.
RC_GTEST_PROP(BuildUp, TilesTheEdge, ()) {
    BuildUpWish wish;
    wish.width_mm = *rc::gen::inRange(30, 90);
    wish.thickness_mm = 20.0;
    wish.widest_mm = *rc::gen::inRange(120, 300);
    BuildUpEdge edge;
    edge.name = "end";
    edge.length_mm = *rc::gen::inRange(500, 1500);
    edge.fibre_rad = 0.5 * pi + 0.01 * *rc::gen::inRange(-30, 31);
    double at = 0.0;
    edge.pieces = {"0"};
    for (int i = 1; i <= 3; ++i) {
        at += *rc::gen::inRange(120, 300);
        if (at > edge.length_mm - 120.0) break;
        edge.seams.push_back({at, 0.01 * *rc::gen::inRange(-40, 41)});
        edge.pieces.push_back(std::to_string(i));
    }
    wish.edges = {edge};
    const auto plan = plan_build_up(wish);
    RC_ASSERT(plan.must.empty());
    RC_ASSERT(plan.parts.front().from_mm == 0.0);
    RC_ASSERT(plan.parts.back().to_mm == edge.length_mm);
    std::vector<int> count(edge.pieces.size(), 0);
    for (std::size_t i = 0; i < plan.parts.size(); ++i) {
        const BuildUpPart& part = plan.parts[i];
        ++count[static_cast<std::size_t>(std::stoi(part.piece))];
        RC_ASSERT(part.across_mm <= wish.widest_mm + 1e-6);
        RC_ASSERT(part.along_mm >= wish.width_mm);
        RC_ASSERT(part.area_mm2 <= (part.along_mm - 6.0) * (part.across_mm - 6.0) + 1e-6);
        if (i == 0) continue;
        RC_ASSERT(std::abs(part.from_mm - plan.parts[i - 1].to_mm) < 1e-9);
        RC_ASSERT(std::abs(part.inner_from_mm - plan.parts[i - 1].inner_to_mm) < 1e-9);
    }
    for (const int parts : count) RC_ASSERT(parts > 0);
    RC_ASSERT(std::abs(plan.glue_mm2 - edge.length_mm * wish.width_mm) < 1e-6);
}

}  // namespace
}  // namespace seamwright::process
