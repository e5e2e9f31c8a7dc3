#include "process/feed_plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::Path;
using geometry::Point;
using testing::Contains;
using testing::ElementsAre;
using testing::Not;

double rad(double degrees) {
    return degrees / geometry::degrees_per_radian;
}

/// A straight edge along x; the fibres change their direction at the given places.
EdgeCut straight(double length, std::vector<std::pair<double, double>> degrees_to) {
    EdgeCut cut;
    cut.edge.segments = {geometry::line({0.0, 0.0}, {length, 0.0})};
    cut.fibres = [=](Point p) {
        for (const auto& [degrees, to] : degrees_to)
            if (p.x < to) return rad(degrees);
        return rad(degrees_to.back().first);
    };
    return cut;
}

std::vector<FeedWay> ways(const FeedPlan& plan) {
    std::vector<FeedWay> out;
    for (const FeedRun& run : plan.runs) out.push_back(run.way);
    return out;
}

TEST(FeedPlan, WithTheGrainInOneGo) {
    const FeedPlan plan = plan_feed(straight(800.0, {{-10.0, 800.0}}), {});
    ASSERT_EQ(plan.runs.size(), 1u);
    const FeedRun& run = plan.runs[0];
    EXPECT_EQ(run.way, FeedWay::conventional);
    EXPECT_TRUE(run.along_path && run.enters_at_end && run.leaves_at_end);
    EXPECT_FALSE(run.backed);
    EXPECT_DOUBLE_EQ(run.length_mm, 800.0);
    EXPECT_DOUBLE_EQ(run.side_cut_mm, 2.0);
    EXPECT_TRUE(run.remedies.empty());
    EXPECT_FALSE(plan.turn_over);
    EXPECT_THAT(plan.cautions, Not(Contains(FeedCaution::climb_pulls)));
    EXPECT_THAT(plan.cautions, Contains(FeedCaution::both_hands));
}

// 45° against from 300 to 500: a skim tears there too (0.6266), a climb skim does not (0.3734). Cut up to it, skip it,
// go on to the end, come back for the skim, against the way of before.
TEST(FeedPlan, SkipsAndComesBackClimbing) {
    const EdgeCut cut = straight(800.0, {{-10.0, 300.0}, {45.0, 500.0}, {-10.0, 800.0}});
    const FeedPlan plan = plan_feed(cut, {});
    ASSERT_THAT(ways(plan), ElementsAre(FeedWay::conventional, FeedWay::conventional, FeedWay::climb_skim));
    EXPECT_NEAR(plan.runs[0].set_in_mm(), 0.0, 1e-6);
    EXPECT_NEAR(plan.runs[0].lift_out_mm(), 300.0, 1e-5);
    EXPECT_TRUE(plan.runs[0].enters_at_end);
    EXPECT_FALSE(plan.runs[0].leaves_at_end);
    EXPECT_NEAR(plan.runs[1].set_in_mm(), 500.0, 1e-5);
    EXPECT_TRUE(plan.runs[1].leaves_at_end);
    const FeedRun& skim = plan.runs[2];
    EXPECT_FALSE(skim.along_path);
    EXPECT_NEAR(skim.set_in_mm(), 500.0, 1e-5);
    EXPECT_NEAR(skim.lift_out_mm(), 300.0, 1e-5);
    EXPECT_DOUBLE_EQ(skim.side_cut_mm, 0.5);
    EXPECT_NEAR(skim.risk, 0.3734, 5e-4);
    EXPECT_NEAR(skim.worst_phi_rad, rad(-45.0), 1e-9);
    EXPECT_THAT(skim.remedies, ElementsAre(TearRemedy::turn_over, TearRemedy::leave_skim, TearRemedy::climb_skim,
                                           TearRemedy::larger_cutter));
    for (const FeedCaution c : {FeedCaution::model_not_measured, FeedCaution::hold_work_and_template,
                                FeedCaution::both_hands, FeedCaution::climb_pulls, FeedCaution::climb_skim_only,
                                FeedCaution::no_climb_on_table, FeedCaution::no_climb_when_loose})
        EXPECT_THAT(plan.cautions, Contains(c));
    // Turned over 10° with becomes 10° against, of which there is more: it stays.
    EXPECT_FALSE(plan.turn_over);
}

// 12° against tears at the whole side cut (S = 0.45, R = 0.68), but not as a skim (0.28): no reason to climb.
TEST(FeedPlan, NoClimbWhereASkimWillDo) {
    const FeedPlan plan = plan_feed(straight(800.0, {{0.0, 300.0}, {12.0, 800.0}}), {});
    ASSERT_THAT(ways(plan), ElementsAre(FeedWay::conventional, FeedWay::conventional_skim));
    EXPECT_NEAR(plan.runs[1].risk, 0.45 * 0.6266, 5e-4);
    EXPECT_TRUE(plan.runs[1].along_path);
    EXPECT_THAT(plan.cautions, Not(Contains(FeedCaution::climb_pulls)));
    EXPECT_THAT(plan.cautions, Contains(FeedCaution::no_climb_on_table));
    // And with the other face up all of it is with the grain.
    EXPECT_TRUE(plan.turn_over);
    EXPECT_EQ(plan.faces.better, FaceChoice::Better::down);
    EXPECT_THAT(plan.cautions, Contains(FeedCaution::template_turned_too));
}

// Two that tear with 15 mm between them are one stroke, so are the 8 mm at the end.
TEST(FeedPlan, ShortGapsAreTakenAlong) {
    const FeedPlan plan =
        plan_feed(straight(600.0, {{0.0, 200.0}, {45.0, 300.0}, {0.0, 315.0}, {45.0, 592.0}, {0.0, 600.0}}), {});
    ASSERT_THAT(ways(plan), ElementsAre(FeedWay::conventional, FeedWay::climb_skim));
    EXPECT_NEAR(plan.runs[1].from_mm, 200.0, 1e-5);
    EXPECT_DOUBLE_EQ(plan.runs[1].to_mm, 600.0);
    EXPECT_TRUE(plan.runs[1].enters_at_end);
}

// Fibres square to the edge: end grain. The teeth run along the path (wood on the left), so they leave at its end.
TEST(ExitCorners, EndOfEndGrain) {
    EdgeCut cut = straight(300.0, {{-85.0, 300.0}});
    auto exits = exit_corners(cut);
    ASSERT_EQ(exits.size(), 1u);
    EXPECT_DOUBLE_EQ(exits[0].at_mm, 300.0);
    EXPECT_NEAR(exits[0].end_grain_from_mm, 290.0, 1e-9);
    EXPECT_NEAR(exits[0].end_grain_to_mm, 300.0, 1e-9);
    EXPECT_NEAR(exits[0].worst_phi_rad, rad(85.0), 1e-9);
    EXPECT_TRUE(exits[0].at_end);
    cut.wood_on_left = false;
    exits = exit_corners(cut);
    ASSERT_EQ(exits.size(), 1u);
    EXPECT_DOUBLE_EQ(exits[0].at_mm, 0.0);
    EXPECT_NEAR(exits[0].end_grain_to_mm, 10.0, 1e-9);
    cut.face_down = true;
    EXPECT_DOUBLE_EQ(exit_corners(cut).at(0).at_mm, 300.0);
    // 59° is none, 61° is; end grain that ends 11 mm before the corner is out of reach, 4 mm before it is within.
    EXPECT_TRUE(exit_corners(straight(300.0, {{59.0, 300.0}})).empty());
    EXPECT_EQ(exit_corners(straight(300.0, {{61.0, 300.0}})).size(), 1u);
    EXPECT_TRUE(exit_corners(straight(300.0, {{90.0, 289.0}, {0.0, 300.0}})).empty());
    const auto near = exit_corners(straight(300.0, {{90.0, 296.0}, {0.0, 300.0}}));
    ASSERT_EQ(near.size(), 1u);
    EXPECT_NEAR(near[0].end_grain_to_mm, 296.0, 1e-5);
    const FeedPlan plan = plan_feed(straight(300.0, {{-85.0, 300.0}}), {});
    ASSERT_EQ(plan.runs.size(), 1u);
    EXPECT_TRUE(plan.runs[0].backed);
    EXPECT_THAT(plan.cautions, Contains(FeedCaution::back_up_exit));
}

// A rectangle with fibres along x, cut all round the outside with the teeth counter-clockwise: up the right end, where
// they leave end grain at the upper right corner, and down the left one, at the lower left. The other two corners are
// left from long grain. As an opening (wood outside) no corner is free.
TEST(ExitCorners, Rectangle) {
    EdgeCut cut;
    cut.edge = geometry::rectangle({0.0, 0.0}, {400.0, 200.0});
    auto exits = exit_corners(cut);
    ASSERT_EQ(exits.size(), 2u);
    EXPECT_DOUBLE_EQ(exits[0].at_mm, 0.0);  // the start, which the left end comes back to
    EXPECT_NEAR(exits[0].end_grain_from_mm, 1190.0, 1e-9);
    EXPECT_DOUBLE_EQ(exits[1].at_mm, 600.0);
    EXPECT_NEAR(exits[1].end_grain_from_mm, 590.0, 1e-9);
    EXPECT_FALSE(exits[0].at_end || exits[1].at_end);
    cut.face_down = true;
    exits = exit_corners(cut);
    ASSERT_EQ(exits.size(), 2u);
    EXPECT_DOUBLE_EQ(exits[0].at_mm, 400.0);
    EXPECT_DOUBLE_EQ(exits[1].at_mm, 1000.0);
    cut.wood_on_left = false;
    EXPECT_TRUE(exit_corners(cut).empty());
    // A round edge has none.
    EdgeCut round;
    round.edge = geometry::circle({0.0, 0.0}, 100.0);
    EXPECT_TRUE(exit_corners(round).empty());
}

// An L: the teeth leave its three upright sides at their upper ends (the left one at its lower), all of them free.
// Turned over they leave the inner upright at the inner corner, where the wood goes on behind it.
TEST(ExitCorners, InnerCornerHoldsTheWood) {
    EdgeCut cut;
    const std::vector<Point> corners{{0.0, 0.0},     {400.0, 0.0},   {400.0, 100.0},
                                     {200.0, 100.0}, {200.0, 300.0}, {0.0, 300.0}};
    cut.edge = geometry::polyline(corners, true);
    const auto places = [&] {
        std::vector<double> at;
        for (const ExitCorner& exit : exit_corners(cut)) at.push_back(exit.at_mm);
        return at;
    };
    EXPECT_THAT(places(), ElementsAre(0.0, 500.0, 900.0));
    cut.face_down = true;
    EXPECT_THAT(places(), ElementsAre(400.0, 1100.0));
}

TEST(FeedPlan, ClosedEdges) {
    EdgeCut cut;
    cut.edge = geometry::circle({0.0, 0.0}, 300.0);
    // Round: two quadrants tear, each a skim of its own after the two others.
    const FeedPlan round = plan_feed(cut, {});
    ASSERT_THAT(ways(round),
                ElementsAre(FeedWay::conventional, FeedWay::conventional, FeedWay::climb_skim, FeedWay::climb_skim));
    EXPECT_TRUE(round.runs[0].along_path);
    EXPECT_FALSE(round.runs[0].enters_at_end);
    EXPECT_NEAR(round.runs[0].length_mm + round.runs[2].length_mm, 300.0 * geometry::pi, 1e-6);
    // One that nowhere tears: one stroke from the middle of the clean part all round.
    TearModel tame;
    for (auto& knot : tame.table) knot.share *= 0.2;
    const FeedPlan easy = plan_feed(cut, {}, tame);
    ASSERT_THAT(ways(easy), ElementsAre(FeedWay::conventional));
    EXPECT_EQ(easy.runs[0].from_mm, easy.runs[0].to_mm);
    EXPECT_NEAR(easy.runs[0].length_mm, 600.0 * geometry::pi, 1e-9);
    const auto start = std::find_if(easy.stretches.begin(), easy.stretches.end(), [&](const TearStretch& s) {
        return s.zone == TearZone::clean && std::abs(easy.runs[0].from_mm - s.from_mm - 0.5 * s.length_mm) < 1e-9;
    });
    EXPECT_NE(start, easy.stretches.end());
}

/// Runs cover each place of the edge once.
void expect_covered(const FeedPlan& plan, double whole) {
    for (int i = 0; i < 200; ++i) {
        const double at = whole * (i + 0.37) / 200.0;
        int times = 0;
        for (const FeedRun& r : plan.runs) {
            const bool on = r.from_mm < r.to_mm ? at > r.from_mm && at <= r.to_mm : at > r.from_mm || at <= r.to_mm;
            if (on) ++times;
        }
        RC_ASSERT(times == 1);
    }
}

// Law F9: every place is cut once; whatever tears is cut as a skim of no more than 0.5 mm; climb cuts only in a stroke
// that tears even as a skim, on a piece held fast and never on a table; conventional strokes go with the teeth, climb
// cuts against them; the conventional ones come first; what is turned over is planned as its mirror image.
RC_GTEST_PROP(FeedPlan, F9Rules, ()) {
    EdgeCut cut;
    const int shape = *rc::gen::inRange(0, 3);
    if (shape == 0) {
        cut.edge = geometry::circle({0.0, 0.0}, 1.0 * *rc::gen::inRange(10, 400));
    } else if (shape == 1) {
        cut.edge = geometry::rectangle({0.0, 0.0}, {1.0 * *rc::gen::inRange(5, 400), 1.0 * *rc::gen::inRange(5, 400)});
    } else {
        Point at{};
        for (int i = 0, n = *rc::gen::inRange(2, 8); i < n; ++i) {
            const Point next = at + Point{1.0 * *rc::gen::inRange(10, 300), 1.0 * *rc::gen::inRange(-200, 200)};
            cut.edge.segments.push_back(geometry::line(at, next));
            at = next;
        }
    }
    cut.wood_on_left = *rc::gen::arbitrary<bool>();
    cut.fibres = 0.01 * *rc::gen::inRange(-157, 157);
    cut.face_down = *rc::gen::arbitrary<bool>();
    cut.on_table = *rc::gen::arbitrary<bool>();
    cut.held_fast = *rc::gen::arbitrary<bool>();
    const SideCut side{0.5 * *rc::gen::inRange(6, 40), 0.25 * *rc::gen::inRange(1, 16), 0.5};
    const FeedPlan plan = plan_feed(cut, side);
    expect_covered(plan, geometry::length_mm(cut.edge));
    bool skims = false;
    for (const FeedRun& run : plan.runs) {
        const bool climbs = run.way == FeedWay::climb_skim;
        RC_ASSERT(run.along_path == (teeth_along_path(cut) != climbs));
        RC_ASSERT((run.way == FeedWay::conventional) || run.side_cut_mm <= most_skim_mm);
        RC_ASSERT(!climbs || (cut.held_fast && !cut.on_table));
        RC_ASSERT(!(skims && run.way == FeedWay::conventional));
        skims = skims || run.way != FeedWay::conventional;
        double worst_skim = 0.0;
        for (const TearStretch& s : plan.stretches) {
            const double shared = length_in_both(std::vector<TearStretch>{{TearZone::tears, run.from_mm, run.to_mm}},
                                                 std::vector<TearStretch>{{TearZone::tears, s.from_mm, s.to_mm}},
                                                 geometry::length_mm(cut.edge), TearZone::tears);
            if (shared < 1e-3) continue;
            if (s.zone == TearZone::tears) RC_ASSERT(run.way != FeedWay::conventional);
            worst_skim = std::max(worst_skim, s.risk_skim);
        }
        if (climbs) RC_ASSERT(tear_zone({}, worst_skim) == TearZone::tears);
        RC_ASSERT(run.remedies.empty() == (run.way == FeedWay::conventional));
    }
    RC_ASSERT(plan.faces.tears_down_mm == choose_face(cut, side).tears_down_mm);
    RC_ASSERT(plan.faces.better == choose_face(cut, side).better);
    RC_ASSERT(std::is_sorted(plan.cautions.begin(), plan.cautions.end()));
    const auto has = [&](FeedCaution c) {
        return std::find(plan.cautions.begin(), plan.cautions.end(), c) != plan.cautions.end();
    };
    RC_ASSERT(has(FeedCaution::no_climb_when_loose) == skims);
    RC_ASSERT(has(FeedCaution::back_up_exit) == !plan.exits.empty());
}

TEST(FeedPlan, NeverClimbsLooseOrOnATable) {
    EdgeCut cut = straight(800.0, {{45.0, 800.0}});
    EXPECT_THAT(ways(plan_feed(cut, {})), ElementsAre(FeedWay::climb_skim));
    cut.held_fast = false;
    EXPECT_THAT(ways(plan_feed(cut, {})), ElementsAre(FeedWay::conventional_skim));
    EXPECT_THAT(plan_feed(cut, {}).runs[0].remedies, Not(Contains(TearRemedy::climb_skim)));
    cut.held_fast = true;
    cut.on_table = true;
    cut.fibres = rad(-45.0);  // turned over by the table: against
    EXPECT_THAT(ways(plan_feed(cut, {})), ElementsAre(FeedWay::conventional_skim));
    EXPECT_THAT(plan_feed(cut, {}).cautions, Not(Contains(FeedCaution::both_hands)));
}

TEST(FeedPlan, Refuses) {
    const EdgeCut cut = straight(100.0, {{0.0, 100.0}});
    FeedLimits limits;
    limits.exit_reach_mm = -1.0;
    EXPECT_THROW(plan_feed(cut, {}, {}, limits), std::invalid_argument);
    EXPECT_THROW(exit_corners(cut, limits), std::invalid_argument);
    EXPECT_THROW(plan_feed({}, {}), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
