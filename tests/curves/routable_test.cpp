#include "curves/routable.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "both_ways.h"
#include "curves/fairness.h"

namespace seamwright::curves {
namespace {

using geometry::pi;

Drawn drawn(const Curve& curve) {
    return std::get<Drawn>(draw(curve));
}

/// Two straight legs that meet in a bend.
Drawn bend(double leg_mm, double radius_mm, double turn_rad) {
    Drawn out;
    const Point corner{leg_mm, 0.0};
    out.path.segments.push_back(geometry::line({}, corner));
    out.path.segments.push_back(geometry::arc_about({leg_mm, radius_mm}, corner, turn_rad));
    const Point from = out.path.end();
    out.path.segments.push_back(geometry::line(from, from + leg_mm * geometry::unit(turn_rad)));
    out.tightest_left = Drawn::Tightest{radius_mm, leg_mm, corner, true};
    return out;
}

double most_curved(const FairCurve& curve, double sign) {
    double k = 0.0;
    for (const Clothoid& s : curve.spans) k = std::fmax(k, std::fmax(sign * s.curvature0, sign * s.curvature1));
    return k;
}

TEST(Routable, WhatFitsComesBackAsItIs) {
    const Drawn wave = drawn(Wave{{0, 0}, {1800, 0}, {{20.0, 900.0, 0.0}}});
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 500.0;
    const auto result = make_routable(wave, settings);
    const auto& r = std::get<Routable>(result);
    EXPECT_TRUE(r.unchanged);
    EXPECT_EQ(r.drawn.path, wave.path);
    EXPECT_TRUE(r.stretches.empty());
}

TEST(Routable, CrestsAreEasedWithinTheBand) {
    // Crests of radius 900²/(4π² 45) = 456 mm.
    const Drawn wave = drawn(Wave{{0, 0}, {1800, 0}, {{45.0, 900.0, 0.0}}});
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 520.0;
    settings.band_mm = 6.0;
    const auto result = make_routable(wave, settings);
    ASSERT_TRUE(std::holds_alternative<Routable>(result)) << std::get<FairProblem>(result).reason;
    const auto& r = std::get<Routable>(result);
    EXPECT_FALSE(r.unchanged);
    EXPECT_GE(r.drawn.tightest_left->radius_mm, 520.0 * (1.0 - 1e-9));
    EXPECT_GE(r.drawn.tightest_right->radius_mm, 520.0 * (1.0 - 1e-9));
    const double away = testing::sampled_distance(r.drawn.path, wave.path);
    EXPECT_LE(away, 6.0 + 1e-3);
    EXPECT_NEAR(std::abs(r.largest.largest_mm), away, 0.01);
    EXPECT_LT(geometry::distance(r.drawn.path.start(), {0, 0}), 1e-4);
    EXPECT_LT(geometry::distance(r.drawn.path.end(), {1800, 0}), 1e-4);
    ASSERT_FALSE(r.stretches.empty());
    for (std::size_t i = 0; i < r.stretches.size(); ++i) {
        EXPECT_LE(r.stretches[i].from_mm, r.stretches[i].at_mm);
        EXPECT_GE(r.stretches[i].to_mm, r.stretches[i].at_mm);
        EXPECT_GE(std::abs(r.stretches[i].largest_mm), settings.shown_mm);
        if (i > 0) {
            EXPECT_GE(r.stretches[i].from_mm, r.stretches[i - 1].to_mm);
        }
    }
}

// Radii may differ by side: only the side that is too tight is eased.
TEST(Routable, EachSideHasItsOwnRadius) {
    const Drawn wave = drawn(Wave{{0, 0}, {1800, 0}, {{45.0, 900.0, 0.0}}});
    RoutableSettings settings;
    settings.least_radius_left_mm = 600.0;
    settings.band_mm = 8.0;
    const auto result = make_routable(wave, settings);
    ASSERT_TRUE(std::holds_alternative<Routable>(result)) << std::get<FairProblem>(result).reason;
    const auto& r = std::get<Routable>(result);
    EXPECT_NEAR(most_curved(*r.fair, 1.0) * 600.0, 1.0, 1e-9);
    EXPECT_GT(most_curved(*r.fair, -1.0) * 600.0, 1.1);
}

// Two legs and a bend of radius R turning by 2Δ, tools that turn on r > R at the tightest: an arc of radius r that is
// tangent to the legs moved out by t, and passes the bend's apex within t, has t = (r − R) tan²(Δ/2) (plane geometry:
// (r − R)(1/cos Δ − 1) − t/cos Δ = t). The curve found has continuous curvature and so needs a little more than an arc
// would, and legs of finite length let it tilt and need a little less.
TEST(Routable, SmallestBandAtABendAgreesWithGeometry) {
    for (const double half_turn : {0.25, 0.4, 0.6}) {
        const double radius = 20.0;
        const double tool = 60.0;
        const Drawn edge = bend(400.0, radius, 2.0 * half_turn);
        RoutableSettings settings;
        settings.least_radius_left_mm = settings.least_radius_right_mm = tool;
        settings.band_mm = 0.05;
        settings.hold_ends = false;
        const auto result = make_routable(edge, settings);
        ASSERT_TRUE(std::holds_alternative<FairProblem>(result));
        const auto& problem = std::get<FairProblem>(result);
        const double t = (tool - radius) * std::pow(std::tan(0.5 * half_turn), 2);
        EXPECT_NEAR(problem.widen_mm + settings.band_mm, t, 0.02 * t + 0.01) << half_turn;
        ASSERT_FALSE(problem.blocks.empty());
        // The apex pushes hardest.
        EXPECT_NEAR(problem.blocks.front().from_mm, 400.0 + half_turn * radius, 10.0);
        ASSERT_TRUE(problem.nearest);
        EXPECT_LE(most_curved(*problem.nearest, 1.0) * tool, 1.0);
        // And with the band so widened there is a curve.
        settings.band_mm += 1.02 * problem.widen_mm;
        EXPECT_TRUE(std::holds_alternative<Routable>(make_routable(edge, settings)));
    }
}

TEST(Routable, PinsHoldWhileTheRestGives) {
    const Drawn wave = drawn(Wave{{0, 0}, {1800, 0}, {{45.0, 900.0, 0.0}}});
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 520.0;
    settings.band_mm = 8.0;
    settings.pins = {{{900.0, 0.0}, 0.0}, {{450.0, 0.0}, 0.1}};
    const auto result = make_routable(wave, settings);
    ASSERT_TRUE(std::holds_alternative<Routable>(result)) << std::get<FairProblem>(result).reason;
    const auto& path = std::get<Routable>(result).drawn.path;
    const geometry::PathIndex index(path);
    EXPECT_LT(index.distance_mm({900.0, 0.0}), 2e-3);
    EXPECT_LT(index.distance_mm({450.0, 0.0}), 0.1 + 2e-3);
}

TEST(Routable, RefusesWithAReason) {
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 700.0;
    settings.band_mm = 0.0;
    EXPECT_TRUE(std::holds_alternative<FairProblem>(make_routable(bend(100, 20, 1.0), settings)));
    EXPECT_TRUE(std::holds_alternative<FairProblem>(make_routable({}, RoutableSettings{})));
}

// Whatever the wave: the radius is kept, the band is kept, or the smallest band that works is named and works.
RC_GTEST_PROP(Routable, RadiusAndBandAreKept, ()) {
    const double half = *rc::gen::inRange(10, 60);
    const double length = *rc::gen::inRange(500, 1200);
    const double shift = *rc::gen::inRange(0, 100) / 100.0;
    const Drawn wave = drawn(Wave{{0, 0}, {2000, 0}, {{half, length, shift}}});
    const double crest = length * length / (4.0 * pi * pi * half);
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = crest * *rc::gen::inRange(105, 140) / 100.0;
    settings.band_mm = *rc::gen::inRange(5, 60) / 10.0;
    auto result = make_routable(wave, settings);
    if (const auto* problem = std::get_if<FairProblem>(&result)) {
        RC_ASSERT(problem->widen_mm > 0.0);
        settings.band_mm += 1.01 * problem->widen_mm + 1e-3;
        result = make_routable(wave, settings);
    }
    RC_ASSERT(std::holds_alternative<Routable>(result));
    const auto& r = std::get<Routable>(result);
    RC_ASSERT(!r.unchanged);
    RC_ASSERT(most_curved(*r.fair, 1.0) * *settings.least_radius_left_mm <= 1.0);
    RC_ASSERT(most_curved(*r.fair, -1.0) * *settings.least_radius_left_mm <= 1.0);
    RC_ASSERT(testing::sampled_distance(r.drawn.path, wave.path) <= settings.band_mm * 1.001 + 0.005);
}

// A wave over two lengths turns over twice each, and its curvature peaks at each crest.
TEST(Fairness, InflectionsAndBumpsOfAWave) {
    std::vector<Point> trace;
    for (int i = 0; i <= 1800; ++i) trace.push_back({1.0 * i, 20.0 * std::sin(2.0 * pi * i / 600.0)});
    const auto curve = std::get<FairCurve>(fit_fair(trace, {}));
    const double crest = 20.0 * std::pow(2.0 * pi / 600.0, 2);
    const Fairness fair = fairness_of(curve, 0.2 * crest);
    ASSERT_EQ(fair.inflections_mm.size(), 5U);
    ASSERT_EQ(fair.bumps.size(), 6U);
    const auto path = curve.curve();
    for (std::size_t i = 0; i < 5; ++i)
        EXPECT_NEAR(path.point(fair.inflections_mm[i]).x, 300.0 * static_cast<double>(i + 1), 2.0);
    for (std::size_t i = 0; i < 6; ++i) {
        EXPECT_NEAR(fair.bumps[i].at.x, 150.0 + 300.0 * static_cast<double>(i), 8.0);
        EXPECT_EQ(fair.bumps[i].high, i % 2 == 1);
        EXPECT_NEAR(std::abs(fair.bumps[i].curvature), crest, 0.03 * crest);
    }
    EXPECT_NEAR(fair.steepest, crest * 2.0 * pi / 600.0, 0.1 * fair.steepest);
    // A circle has neither.
    std::vector<Point> circle;
    for (int i = 0; i <= 300; ++i) circle.push_back(500.0 * geometry::unit(i / 150.0));
    const Fairness round = fairness_of(std::get<FairCurve>(fit_fair(circle, {})), 1e-6);
    EXPECT_TRUE(round.inflections_mm.empty());
    EXPECT_TRUE(round.bumps.empty());
}

}  // namespace
}  // namespace seamwright::curves
