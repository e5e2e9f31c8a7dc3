#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <optional>

#include "seam/shelves.h"
#include "seam/simulate.h"

namespace seamwright::seam {
namespace {

using testing::HasSubstr;
using Kind = ReachProblem::Kind;

constexpr double inf = std::numeric_limits<double>::infinity();

std::optional<ReachProblem> find(const std::vector<ReachProblem>& problems, Kind kind) {
    for (const ReachProblem& p : problems)
        if (p.kind == kind) return p;
    return std::nullopt;
}

// Common practice: with a 1/2 in offset, the template on the inner side of a seam of 60 in radius has 59-1/2 in.
TEST(Reach, SixtyInchSeam) {
    const Chain chain = same_pair_chain(38.1, 12.7, true);
    const double radius = 60.0 * 25.4;
    // The seam turns left, the left template lies on the inside: its edge is nearer the centre.
    EXPECT_DOUBLE_EQ(radius + chain.steps[0].edge_at_mm, 59.5 * 25.4);
    EXPECT_DOUBLE_EQ(radius + chain.steps[1].edge_at_mm, 60.5 * 25.4);
}

// 30 mm guide, 10 mm cutter, o = 10, master left. Worked by hand:
//   make master        at −10: left > 10
//   copy mating (far)  rides at −10, keeps the far edge at +10: turning left R > 10; turning right the guide needs
//                      R + 10 >= 15, and the far edge R > 10
//   cut left           rides at −10: left > 10, right R + 10 >= 15
//   cut right          rides at +10, mirrored
TEST(Reach, WorkedByHand) {
    const auto reach = reach_of(same_pair_chain(30.0, 10.0, true), {200.0, 40.0});
    ASSERT_EQ(reach.size(), 4u);
    EXPECT_DOUBLE_EQ(reach[0].least_left_mm, 10.0);
    EXPECT_DOUBLE_EQ(reach[0].least_right_mm, 0.0);
    EXPECT_DOUBLE_EQ(reach[0].margin_mm, 40.0);
    EXPECT_DOUBLE_EQ(reach[1].least_left_mm, 10.0);
    EXPECT_DOUBLE_EQ(reach[1].least_right_mm, 10.0);
    EXPECT_DOUBLE_EQ(reach[2].least_left_mm, 10.0);
    EXPECT_DOUBLE_EQ(reach[2].least_right_mm, 5.0);
    EXPECT_DOUBLE_EQ(reach[3].least_left_mm, 5.0);
    EXPECT_DOUBLE_EQ(reach[3].least_right_mm, 10.0);
    EXPECT_DOUBLE_EQ(reach[3].margin_mm, 30.0);
    EXPECT_DOUBLE_EQ(least_margin_mm(same_pair_chain(30.0, 10.0, true), {200.0, 40.0}), 30.0);
}

// Law R1: the mirrored chain on the mirrored seam has the same room.
RC_GTEST_PROP(Reach, R1Mirrored, ()) {
    const double b = 4.0 + *rc::gen::inRange(0, 10);
    const double B = b + 6.0 + *rc::gen::inRange(0, 30);
    const TightestTurns turns{5.0 + *rc::gen::inRange(0, 200), 5.0 + *rc::gen::inRange(0, 200)};
    const auto one = reach_of(same_pair_chain(B, b, true), turns);
    const auto other = reach_of(same_pair_chain(B, b, false), {turns.right_mm, turns.left_mm});
    RC_ASSERT(one.size() == other.size());
    for (std::size_t i = 0; i < one.size(); ++i) {
        RC_ASSERT(one[i].least_left_mm == other[i].least_right_mm);
        RC_ASSERT(one[i].least_right_mm == other[i].least_left_mm);
        RC_ASSERT(one[i].margin_mm == other[i].margin_mm);
    }
}

TEST(Reach, TightestTurns) {
    using namespace geometry;
    Path path;
    path.segments = {line({0, 0}, {100, 0}), arc_about({100, 50}, {100, 0}, 0.5)};
    const Point at = path.segments[1].end;
    const Point heading = tangent_at(path.segments[1], 1.0);
    path.segments.push_back(arc_about(at + 80.0 * right_of(heading), at, -0.3));
    EXPECT_DOUBLE_EQ(tightest_turns(path).left_mm, 50.0);
    EXPECT_DOUBLE_EQ(tightest_turns(path).right_mm, 80.0);
    const std::vector<Point> bent{{0, 0}, {10, 0}, {20, 5}};
    EXPECT_EQ(tightest_turns(polyline(bent)).left_mm, 0.0);
    EXPECT_EQ(tightest_turns(polyline(bent)).right_mm, inf);
    EXPECT_EQ(tightest_turns(circle({3, 4}, 70.0)).left_mm, 70.0);
    EXPECT_EQ(tightest_turns(circle({3, 4}, 70.0)).right_mm, inf);
    EXPECT_EQ(least_margin_mm(same_pair_chain(30.0, 10.0, true), {inf, inf}), inf);
}

std::vector<ReachProblem> problems_of(shelf::Shelf shelf, const Depths& depths = usual) {
    const Chain chain = chain_of_id(shelf, depths, "left:far(G/C)-G/C-G/C").value();
    return tool_problems(chain, shelf, depths);
}

TEST(Tools, NothingWrong) {
    EXPECT_TRUE(problems_of(same_pair_shelf(30.0, 10.0)).empty());
}

TEST(Tools, BarrelLongerThanTheTemplateIsThick) {
    shelf::Shelf shelf = same_pair_shelf(30.0, 10.0);
    shelf.guides[0].barrel_length_mm = 12.5;
    const auto problems = problems_of(shelf);
    ASSERT_EQ(problems.size(), 3u);  // copy and both cuts
    EXPECT_EQ(problems[0].kind, Kind::barrel_too_long);
    EXPECT_TRUE(problems[0].stops_the_work);
    EXPECT_DOUBLE_EQ(problems[0].found_mm, 12.5);
    shelf.guides[0].barrel_length_mm = 11.8;
    const auto rubbing = problems_of(shelf);
    ASSERT_EQ(rubbing.size(), 3u);
    EXPECT_FALSE(rubbing[0].stops_the_work);
    shelf.guides[0].barrel_length_mm = 11.5;
    EXPECT_TRUE(problems_of(shelf).empty());
}

TEST(Tools, FlutesShorterThanTheCut) {
    shelf::Shelf shelf = same_pair_shelf(30.0, 10.0);
    shelf.cutters[0].cutting_length_mm = 30.0;  // 34 + 1 to cut, 12 + 1 to copy
    const auto slim = problems_of(shelf);
    ASSERT_EQ(slim.size(), 2u);
    EXPECT_EQ(slim[0].kind, Kind::cutter_too_short);
    EXPECT_EQ(slim[0].step, 2u);
    EXPECT_DOUBLE_EQ(slim[0].wanted_mm, 35.0);
    EXPECT_DOUBLE_EQ(slim[0].found_mm, 30.0);
    EXPECT_FALSE(slim[0].stops_the_work);
    shelf.cutters[0].shank_mm = 12.0;
    const auto thick = problems_of(shelf);
    ASSERT_EQ(thick.size(), 2u);
    EXPECT_TRUE(thick[0].stops_the_work);
    EXPECT_THAT(thick[0].says, HasSubstr("rubs"));
}

TEST(Tools, ReachThroughTemplateAndTop) {
    shelf::Shelf shelf = same_pair_shelf(30.0, 10.0);
    shelf.cutters[0].reach_mm = 46.0;
    const auto p = find(problems_of(shelf), Kind::reach_too_short);
    ASSERT_TRUE(p.has_value());
    EXPECT_DOUBLE_EQ(p->wanted_mm, 47.0);
    EXPECT_TRUE(p->stops_the_work);
    shelf.cutters[0].reach_mm = 47.0;
    EXPECT_TRUE(problems_of(shelf).empty());
}

TEST(Tools, CutterOrShankThroughTheGuide) {
    shelf::Shelf shelf = same_pair_shelf(30.0, 10.0);
    const Chain chain = chain_of_id(shelf, usual, "left:far(G/C)-G/C-G/C").value();
    shelf.cutters[0].shank_mm = 27.0;
    EXPECT_TRUE(find(tool_problems(chain, shelf, usual), Kind::shank_in_guide).has_value());
    shelf.cutters[0].shank_mm = 8.0;
    shelf.guides[0].bore_mm = 10.5;
    const auto problems = tool_problems(chain, shelf, usual);
    ASSERT_EQ(problems.size(), 3u);
    EXPECT_EQ(problems[0].kind, Kind::shank_in_guide);
    EXPECT_DOUBLE_EQ(problems[0].wanted_mm, 11.0);
}

TEST(Tools, BearingOverTheTemplate) {
    shelf::Shelf shelf;
    shelf.bearings = {{"G", {30.0, {}}}};
    shelf.cutters = {cutter("C", 10.0)};
    shelf.cutters[0].bearings = {"G"};
    const auto problems = problems_of(shelf);
    ASSERT_EQ(problems.size(), 3u);
    EXPECT_EQ(problems[0].kind, Kind::bearing_above_template);
    EXPECT_FALSE(problems[0].stops_the_work);
}

}  // namespace
}  // namespace seamwright::seam
