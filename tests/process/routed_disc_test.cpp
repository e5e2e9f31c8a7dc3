#include "process/routed_disc.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

double rad(double degrees) {
    return degrees / geometry::degrees_per_radian;
}
double deg(double radians) {
    return radians * geometry::degrees_per_radian;
}

TearZone zone_of(const TearModel& model, const RoutedDisc& disc, double phi, Feed feed) {
    return tear_zone(model, tear_risk(model, phi, disc.cutter_radius_mm, disc.side_cut_mm, feed));
}

TearZone zone_seen(RimSeen seen) {
    return seen == RimSeen::clean ? TearZone::clean : seen == RimSeen::fuzzy ? TearZone::care : TearZone::tears;
}

RimMark mark(double from, double to, Feed feed, RimSeen seen) {
    return {rad(from), rad(to), feed, seen};
}

// Drawn by hand, fibres left to right, cutter clockwise: at the right end of the disc it cuts end grain; on the upper
// right flank the teeth run up and to the left, and the fibres ahead of them lead into the disc: against.
TEST(RimPhi, QuadrantsByHand) {
    EXPECT_NEAR(deg(rim_phi_rad(0.0, false)), 90.0, 1e-9);
    EXPECT_NEAR(deg(rim_phi_rad(rad(45.0), false)), -45.0, 1e-9);
    EXPECT_NEAR(deg(rim_phi_rad(rad(90.0), false)), 0.0, 1e-9);
    EXPECT_NEAR(deg(rim_phi_rad(rad(135.0), false)), 45.0, 1e-9);
    EXPECT_NEAR(deg(rim_phi_rad(rad(225.0), false)), -45.0, 1e-9);
    EXPECT_NEAR(deg(rim_phi_rad(rad(45.0), true)), 45.0, 1e-9);
    EXPECT_NEAR(deg(rim_phi_rad(rad(135.0), true)), -45.0, 1e-9);
}

TEST(RoutedDisc, WithoutMarksNothingChanges) {
    const AdjustedModel out = adjusted_by_disc({}, {});
    EXPECT_EQ(out.model, TearModel{});
    EXPECT_TRUE(out.disagree.empty());
}

// A wood that tears only from 35° to 55° against, seen on the upper right flank and clean elsewhere in that quadrant.
TEST(RoutedDisc, TamerWood) {
    RoutedDisc disc;
    disc.marks = {mark(5.0, 35.0, Feed::conventional, RimSeen::clean),
                  mark(35.0, 55.0, Feed::conventional, RimSeen::torn),
                  mark(55.0, 85.0, Feed::conventional, RimSeen::clean)};
    disc.marks_within_rad = 0.0;
    const AdjustedModel out = adjusted_by_disc({}, disc);
    EXPECT_TRUE(out.disagree.empty());
    for (int d = -84; d <= -6; ++d) {
        if (d == -55 || d == -35) continue;
        EXPECT_EQ(zone_of(out.model, disc, rad(d), Feed::conventional),
                  d > -55 && d < -35 ? TearZone::tears : TearZone::clean)
            << d;
    }
    // Nothing was seen with the grain, nor of end grain.
    for (const int d : {-89, -86, -4, 0, 30, 75, 90})
        EXPECT_DOUBLE_EQ(tear_share(out.model, rad(d)), tear_share({}, rad(d))) << d;
    // The mark says no more than it does: where it was torn anyway S stays.
    EXPECT_DOUBLE_EQ(tear_share(out.model, rad(-45.0)), 1.0);
}

TEST(RoutedDisc, WilderWood) {
    RoutedDisc disc;
    disc.marks = {mark(110.0, 160.0, Feed::conventional, RimSeen::torn),  // 20° to 70° with the grain
                  mark(30.0, 60.0, Feed::climb, RimSeen::torn)};
    const AdjustedModel out = adjusted_by_disc({}, disc);
    for (int d = 20; d <= 70; ++d)
        EXPECT_EQ(zone_of(out.model, disc, rad(d), Feed::conventional), TearZone::tears) << d;
    // Widened by what marking may miss, 3°.
    EXPECT_EQ(zone_of(out.model, disc, rad(17.5), Feed::conventional), TearZone::tears);
    EXPECT_EQ(zone_of(out.model, disc, rad(16.5), Feed::conventional), TearZone::clean);
    for (int d = -60; d <= -30; ++d) EXPECT_EQ(zone_of(out.model, disc, rad(d), Feed::climb), TearZone::tears) << d;
}

TEST(RoutedDisc, TheWorseOfTwoFlanksIsBelieved) {
    RoutedDisc disc;
    disc.marks_within_rad = 0.0;
    disc.marks = {mark(20.0, 60.0, Feed::conventional, RimSeen::torn),
                  mark(210.0, 260.0, Feed::conventional, RimSeen::clean)};
    const AdjustedModel out = adjusted_by_disc({}, disc);
    EXPECT_EQ(zone_of(out.model, disc, rad(-40.0), Feed::conventional), TearZone::tears);
    EXPECT_EQ(zone_of(out.model, disc, rad(-20.0), Feed::conventional), TearZone::clean);
    ASSERT_EQ(out.disagree.size(), 1u);
    EXPECT_NEAR(deg(out.disagree[0].from_rad), -60.0, 1e-9);
    EXPECT_NEAR(deg(out.disagree[0].to_rad), -30.0, 1e-9);
}

// Law D1: each mark comes out in its zone at every angle it covers, unless another one there was worse; beyond all
// marks nothing changes; adjusting again by the same disc changes no share.
RC_GTEST_PROP(RoutedDisc, D1MarksComeOut, ()) {
    RoutedDisc disc;
    disc.cutter_radius_mm = 0.5 * *rc::gen::inRange(6, 40);
    disc.side_cut_mm = 0.25 * *rc::gen::inRange(1, 20);
    disc.on_table = *rc::gen::arbitrary<bool>();
    disc.marks_within_rad = 0.0;
    const int count = *rc::gen::inRange(1, 6);
    for (int i = 0; i < count; ++i) {
        const int from = *rc::gen::inRange(-360, 360);
        disc.marks.push_back(mark(from, from + *rc::gen::inRange(1, 360),
                                  *rc::gen::arbitrary<bool>() ? Feed::climb : Feed::conventional,
                                  *rc::gen::element(RimSeen::clean, RimSeen::fuzzy, RimSeen::torn)));
    }
    const AdjustedModel out = adjusted_by_disc({}, disc);
    for (int half = -719; half < 720; half += 2) {
        const double at = rad(0.5 * half + 0.13);
        const double phi = rim_phi_rad(at, disc.on_table);
        bool marked = false, doubtful = false;
        for (const auto& d : out.disagree) doubtful = doubtful || (d.from_rad <= phi && phi <= d.to_rad);
        for (const RimMark& m : disc.marks) {
            // The same angle to the fibres comes round on the other flank.
            bool on = false;
            for (int k = -6; k <= 6; ++k) {
                const double there = at + k * geometry::pi;
                on = on || (there > m.from_rad && there < m.to_rad);
            }
            if (!on) continue;
            marked = true;
            const TearZone is = zone_of(out.model, disc, phi, m.feed);
            if (doubtful)
                RC_ASSERT(static_cast<int>(is) >= static_cast<int>(zone_seen(m.seen)));
            else
                RC_ASSERT(is == zone_seen(m.seen));
        }
        if (!marked) RC_ASSERT(std::abs(tear_share(out.model, phi) - tear_share({}, phi)) < 1e-9);
    }
    const AdjustedModel again = adjusted_by_disc(out.model, disc);
    for (int d = -89; d < 90; ++d) {
        const double phi = rad(d + 0.37);
        RC_ASSERT(std::abs(tear_share(again.model, phi) - tear_share(out.model, phi)) < 1e-9);
    }
}

TEST(RoutedDisc, Refuses) {
    RoutedDisc disc;
    disc.marks = {mark(30.0, 30.0, Feed::climb, RimSeen::torn)};
    EXPECT_THROW(adjusted_by_disc({}, disc), std::invalid_argument);
    disc.marks = {mark(0.0, 361.0, Feed::climb, RimSeen::torn)};
    EXPECT_THROW(adjusted_by_disc({}, disc), std::invalid_argument);
    disc.marks.clear();
    disc.side_cut_mm = 0.0;
    EXPECT_THROW(adjusted_by_disc({}, disc), std::invalid_argument);
    disc.side_cut_mm = 2.0;
    disc.marks_within_rad = 1.0;
    EXPECT_THROW(adjusted_by_disc({}, disc), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
