#include "process/tear_risk.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::degrees_per_radian;

constexpr double half_inch_radius = 6.35;

double rad(double degrees) {
    return degrees / degrees_per_radian;
}
double deg(double radians) {
    return radians * degrees_per_radian;
}

// methods.md section 6: radius 6.35 mm; 2 mm: 46.761° and about 30.8°, 0.5 mm: 22.9° and about 15.2°.
TEST(Engagement, ClosedValues) {
    const double deep = largest_engagement_rad(half_inch_radius, 2.0);
    const double skim = largest_engagement_rad(half_inch_radius, 0.5);
    EXPECT_NEAR(deg(deep), 46.761, 5e-4);
    EXPECT_NEAR(deg(mean_engagement_rad(deep)), 30.8, 0.05);
    EXPECT_NEAR(deg(skim), 22.9, 0.05);
    EXPECT_NEAR(deg(mean_engagement_rad(skim)), 15.2, 0.05);
    // By hand: half the cutter in the wood, a quarter turn, mean 1 rad; a full groove, half a turn, mean a quarter.
    EXPECT_NEAR(deg(largest_engagement_rad(half_inch_radius, half_inch_radius)), 90.0, 1e-12);
    EXPECT_NEAR(mean_engagement_rad(0.5 * geometry::pi), 1.0, 1e-15);
    EXPECT_NEAR(deg(largest_engagement_rad(half_inch_radius, 50.0)), 180.0, 1e-12);
    EXPECT_NEAR(deg(mean_engagement_rad(geometry::pi)), 90.0, 1e-12);
}

// The mean is ∫ψ sin ψ dψ / ∫ sin ψ dψ, here by Simpson's rule; the short form for small angles joins on.
TEST(Engagement, MeanIsTheIntegral) {
    for (const double largest : {1e-4, 0.9e-3, 1.1e-3, 0.1, 0.8, 1.5, 3.1}) {
        constexpr int steps = 200;
        double moment = 0.0, weight = 0.0;
        for (int i = 0; i <= steps; ++i) {
            const double psi = largest * i / steps;
            const double w = (i == 0 || i == steps ? 1.0 : i % 2 == 1 ? 4.0 : 2.0) * std::sin(psi);
            moment += w * psi;
            weight += w;
        }
        EXPECT_NEAR(mean_engagement_rad(largest), moment / weight, 1e-7 * largest) << largest;
    }
}

// The table of methods.md section 6, knot by knot and between.
TEST(TearShare, Table) {
    const TearModel model;
    for (const auto& [phi, share] : {std::pair{0.0, 0.0},
                                     {60.0, 0.0},
                                     {75.0, 0.15},
                                     {90.0, 0.3},
                                     {-90.0, 0.3},
                                     {-2.5, 0.05},
                                     {-5.0, 0.1},
                                     {-10.0, 0.35},
                                     {-15.0, 0.6},
                                     {-30.0, 0.9},
                                     {-45.0, 1.0},
                                     {-60.0, 0.95},
                                     {-75.0, 0.6},
                                     {-82.5, 0.45},
                                     {30.0, 0.0}}) {
        EXPECT_NEAR(tear_share(model, rad(phi)), share, 1e-12) << phi;
        EXPECT_NEAR(tear_share(model, rad(phi + 180.0)), share, 1e-12) << phi;
        EXPECT_NEAR(tear_share(model, rad(phi - 540.0)), share, 1e-12) << phi;
    }
}

// Iskra and Tanaka 2005 (read): routed beech is noisiest and roughest with the feed at 135° to the grain: of all angles
// 45° against is the worst, and at no angle is cutting against the grain better than with it.
TEST(TearShare, WorstAt45Against) {
    const TearModel model;
    const double worst = tear_share(model, rad(135.0));
    EXPECT_DOUBLE_EQ(worst, 1.0);
    for (int d = -89; d <= 90; ++d) {
        if (d != -45) {
            EXPECT_LT(tear_share(model, rad(d)), worst) << d;
        }
        if (d > 0) {
            EXPECT_LE(tear_share(model, rad(d)), tear_share(model, rad(-d)) + 1e-12) << d;
        }
    }
}

// By hand: 2 mm at 6.35 mm radius, mean 30.81°: 1 + 0.5135 conventional, 1 − 0.5135 climb; 0.5 mm, mean 15.20°:
// (1 ± 0.2533) √¼.
TEST(TearRisk, SideCutAndFeed) {
    const TearModel model;
    const auto factor = [&](double cut, Feed feed) { return side_cut_factor(model, half_inch_radius, cut, feed); };
    EXPECT_NEAR(factor(2.0, Feed::conventional), 1.5135, 5e-4);
    EXPECT_NEAR(factor(2.0, Feed::climb), 0.4865, 5e-4);
    EXPECT_NEAR(factor(0.5, Feed::conventional), 0.6266, 5e-4);
    EXPECT_NEAR(factor(0.5, Feed::climb), 0.3734, 5e-4);
    // A full groove: mean 90°, 1 + 1.5, climb at its least third; depth bounded at 1.5.
    EXPECT_NEAR(factor(12.7, Feed::conventional), 2.5 * 1.5, 1e-9);
    EXPECT_NEAR(factor(12.7, Feed::climb), 0.5, 1e-9);
    EXPECT_NEAR(factor(0.1, Feed::climb) / factor(0.1, Feed::conventional), 0.79, 0.01);
    EXPECT_DOUBLE_EQ(tear_risk(model, rad(-45.0), half_inch_radius, 2.0, Feed::conventional), 1.0);
    EXPECT_NEAR(tear_risk(model, rad(-5.0), half_inch_radius, 2.0, Feed::conventional), 0.15135, 5e-5);
    EXPECT_EQ(tear_zone(model, 0.1499), TearZone::clean);
    EXPECT_EQ(tear_zone(model, 0.15), TearZone::care);
    EXPECT_EQ(tear_zone(model, 0.4999), TearZone::care);
    EXPECT_EQ(tear_zone(model, 0.5), TearZone::tears);
}

// Law R1: risk lies in [0, 1], does not fall with the side cut, is less for a climb cut, and less for a larger cutter.
RC_GTEST_PROP(TearRisk, R1Bounds, ()) {
    const double phi = rad(0.1 * *rc::gen::inRange(-1800, 1800));
    const double cut = 0.05 * *rc::gen::inRange(1, 200);
    const double radius = 0.5 * *rc::gen::inRange(3, 60);
    const TearModel model;
    for (const Feed feed : {Feed::conventional, Feed::climb}) {
        const double risk = tear_risk(model, phi, radius, cut, feed);
        RC_ASSERT(risk >= 0.0 && risk <= 1.0);
    }
    const double conventional = tear_risk(model, phi, radius, cut, Feed::conventional);
    RC_ASSERT(tear_risk(model, phi, radius, cut, Feed::climb) <= conventional);
    RC_ASSERT(tear_risk(model, phi, radius, 1.1 * cut, Feed::conventional) >= conventional);
    RC_ASSERT(tear_risk(model, phi, 1.5 * radius, cut, Feed::conventional) <= conventional);
}

RC_GTEST_PROP(WrapHalfTurn, IsAnAxis, ()) {
    const double angle = 0.001 * *rc::gen::inRange(-20000, 20000);
    const double wrapped = wrap_half_turn(angle);
    RC_ASSERT(wrapped > -0.5 * geometry::pi && wrapped <= 0.5 * geometry::pi);
    RC_ASSERT(std::abs(std::sin(wrapped - angle)) < 1e-12);
}

TEST(WrapHalfTurn, Ends) {
    EXPECT_EQ(wrap_half_turn(-0.5 * geometry::pi), 0.5 * geometry::pi);
    EXPECT_EQ(wrap_half_turn(0.5 * geometry::pi), 0.5 * geometry::pi);
    EXPECT_EQ(wrap_half_turn(0.0), 0.0);
}

TEST(TearModel, RefusesWhatIsNoTable) {
    const auto broken = [](auto&& change) {
        TearModel model;
        change(model);
        return model;
    };
    EXPECT_NO_THROW(check(TearModel{}));
    EXPECT_THROW(check(broken([](TearModel& m) { m.table.pop_back(); })), std::invalid_argument);
    EXPECT_THROW(check(broken([](TearModel& m) { m.table[3].share = -0.1; })), std::invalid_argument);
    EXPECT_THROW(check(broken([](TearModel& m) { std::swap(m.table[3], m.table[4]); })), std::invalid_argument);
    EXPECT_THROW(check(broken([](TearModel& m) { m.table.insert(m.table.begin(), m.table[0]); })),
                 std::invalid_argument);
    EXPECT_THROW(check(broken([](TearModel& m) { m.care_from = 0.6; })), std::invalid_argument);
    EXPECT_THROW(check(broken([](TearModel& m) { m.least_side_cut = 2.0; })), std::invalid_argument);
    EXPECT_THROW(largest_engagement_rad(0.0, 1.0), std::invalid_argument);
    EXPECT_THROW(largest_engagement_rad(6.0, -1.0), std::invalid_argument);
    EXPECT_THROW(largest_engagement_rad(6.0, NAN), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
