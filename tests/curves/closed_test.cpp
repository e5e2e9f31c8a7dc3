#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "both_ways.h"
#include "curves/fair.h"
#include "curves/fairness.h"
#include "curves/routable.h"
#include "curves/traced.h"
#include "geometry/path.h"

// Lines that run round: what open ones do must hold, and they close.
namespace seamwright::curves {
namespace {

using geometry::pi;
using geometry::two_pi;

constexpr double radius_mm = 400.0;

/// Points round a circle, off it by `off(angle)`, beginning at `from_rad`.
template <class Off>
std::vector<Point> round_trace(std::size_t n, double from_rad, const Off& off) {
    std::vector<Point> out;
    for (std::size_t i = 0; i < n; ++i) {
        const double angle = from_rad + two_pi * static_cast<double>(i) / static_cast<double>(n);
        out.push_back({(radius_mm + off(angle)) * std::cos(angle), (radius_mm + off(angle)) * std::sin(angle)});
    }
    return out;
}

FairCurve fitted(const std::vector<Point>& trace, const FairSettings& settings) {
    auto result = fit_fair(trace, settings);
    if (auto* problem = std::get_if<FairProblem>(&result)) throw std::runtime_error(problem->reason);
    return std::get<FairCurve>(std::move(result));
}

void expect_closes(const FairCurve& curve) {
    ASSERT_TRUE(curve.closed);
    const Clothoid& first = curve.spans.front();
    const Clothoid& last = curve.spans.back();
    EXPECT_LT(geometry::distance(last.point(last.length_mm), first.start), 1e-8);
    EXPECT_NEAR(std::abs(last.heading(last.length_mm) - first.heading_rad), two_pi, 1e-9);
    EXPECT_NEAR(last.curvature1, first.curvature0, 1e-12);
    for (std::size_t j = 1; j < curve.spans.size(); ++j) {
        const Clothoid& before = curve.spans[j - 1];
        EXPECT_LT(geometry::distance(before.point(before.length_mm), curve.spans[j].start), 1e-8) << j;
        EXPECT_NEAR(before.curvature1, curve.spans[j].curvature0, 1e-12) << j;
    }
}

TEST(ClosedFair, PointsOnACircleGiveTheCircle) {
    FairSettings settings;
    settings.closed = true;
    const FairCurve curve = fitted(round_trace(360, 1.0, [](double) { return 0.0; }), settings);
    expect_closes(curve);
    EXPECT_NEAR(curve.length_mm, two_pi * radius_mm, 1e-3);
    for (const Clothoid& span : curve.spans) EXPECT_NEAR(span.curvature0 * radius_mm, 1.0, 1e-5);
}

// A circle with m ripples round it. To first order the curvature of an offset η is η'' + η/R², so the fit keeps
// 1/(1 + (λ/2π)⁶ k² (k² − 1/R²)²) of a ripple, k = m/R: closed form, derived from the functional in fair.h.
TEST(ClosedFair, RipplesRoundACircleComeThroughAsTheFormulaSays) {
    for (const int m : {10, 16, 24}) {
        FairSettings settings;
        settings.closed = true;
        settings.wave_mm = two_pi * radius_mm / 16.0;
        constexpr double height = 0.01;
        const FairCurve curve =
            fitted(round_trace(1440, 0.3, [&](double a) { return height * std::cos(m * a); }), settings);
        expect_closes(curve);
        const double k = m / radius_mm;
        const double kept = 1.0 / (1.0 + std::pow(settings.wave_mm / two_pi, 6) * k * k *
                                             std::pow(k * k - 1.0 / (radius_mm * radius_mm), 2));
        double sum = 0.0;
        std::size_t count = 0;
        for (const Clothoid& span : curve.spans) {
            const double angle = geometry::heading(span.start);
            sum += (geometry::norm(span.start) - radius_mm) * std::cos(m * angle);
            ++count;
        }
        EXPECT_NEAR(2.0 * sum / static_cast<double>(count) / height, kept, 0.01) << m;
    }
}

TEST(ClosedFair, WhereTheTraceBeginsMakesNoDifference) {
    std::mt19937 random(7);
    std::vector<double> scatter;
    for (int i = 0; i < 720; ++i) scatter.push_back(0.3 * (static_cast<double>(random()) / 2147483648.0 - 1.0));
    std::vector<Point> trace;
    for (std::size_t i = 0; i < scatter.size(); ++i) {
        const double a = two_pi * static_cast<double>(i) / 720.0;
        const double r = radius_mm + 40.0 * std::cos(2.0 * a) + 15.0 * std::sin(3.0 * a) + scatter[i];
        trace.push_back({r * std::cos(a), r * std::sin(a)});
    }
    FairSettings settings;
    settings.closed = true;
    const FairCurve one = fitted(trace, settings);
    expect_closes(one);
    std::rotate(trace.begin(), trace.begin() + 201, trace.end());
    const FairCurve other = fitted(trace, settings);
    expect_closes(other);
    EXPECT_LT(geometry::distance(other.spans.front().start, trace.front()), 0.5);
    EXPECT_NEAR(one.length_mm, other.length_mm, 1e-3);
    std::vector<Point> places;
    for (const Clothoid& span : other.spans) places.push_back(span.start);
    const Drawn drawn = std::get<Drawn>(one.drawn(1e-4));
    for (const Point p : places) {
        double near = HUGE_VAL;
        for (const auto& s : drawn.path.segments) near = std::fmin(near, geometry::nearest(s, p).distance_mm);
        EXPECT_LT(near, 2e-3);
    }
}

TEST(ClosedRoutable, AnOvalIsEasedWhereItTurnsTooTight) {
    // Its ends turn on 150²/500 = 45 mm.
    const Drawn oval = std::get<Drawn>(draw(Oval{{700, 300}, 1000.0, 300.0, 0.4}));
    ASSERT_NEAR(oval.tightest_left->radius_mm, 45.0, 0.1);
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 70.0;
    settings.band_mm = 6.0;
    const auto result = make_routable(oval, settings);
    ASSERT_TRUE(std::holds_alternative<Routable>(result)) << std::get<FairProblem>(result).reason;
    const auto& r = std::get<Routable>(result);
    EXPECT_TRUE(r.drawn.path.closed);
    expect_closes(*r.fair);
    EXPECT_LT(geometry::largest_break_mm(r.drawn.path), 1e-7);
    EXPECT_LT(geometry::largest_corner_rad(r.drawn.path), 1e-6);
    EXPECT_GE(r.drawn.tightest_left->radius_mm, 70.0 * (1.0 - 1e-7));
    EXPECT_LE(testing::sampled_distance(r.drawn.path, oval.path), 6.0 + 1e-3);
    EXPECT_LT(geometry::distance(r.drawn.path.start(), oval.path.start()), 6.1);
    // Both ends move inwards or outwards alike.
    EXPECT_GE(r.stretches.size(), 2U);
}

// The same closed form as for a bend (routable_test): (r − R) tan²(Δ/2), here for four quarter turns. A rounded square
// gives the same at each corner.
TEST(ClosedRoutable, WhatACornerLacksAgreesWithGeometry) {
    Drawn square;
    constexpr double side = 600.0;
    constexpr double corner = 10.0;
    constexpr double tool = 60.0;
    Point at{corner, 0.0};
    for (int i = 0; i < 4; ++i) {
        const Point along = geometry::unit(i * pi / 2.0);
        const Point end = at + (side - 2.0 * corner) * along;
        square.path.segments.push_back(geometry::line(at, end));
        square.path.segments.push_back(geometry::arc_about(end + corner * geometry::left_of(along), end, pi / 2.0));
        at = square.path.segments.back().end;
    }
    square.path.segments.back().end = square.path.segments.front().start;
    square.path.closed = true;
    square.tightest_left = Drawn::Tightest{corner, side, {}, true};
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = tool;
    settings.band_mm = 1.0;
    const auto result = make_routable(square, settings);
    ASSERT_TRUE(std::holds_alternative<FairProblem>(result));
    const auto& problem = std::get<FairProblem>(result);
    const double t = (tool - corner) * std::pow(std::tan(pi / 8.0), 2);
    EXPECT_NEAR(problem.widen_mm + settings.band_mm, t, 0.03 * t);
    ASSERT_TRUE(problem.nearest);
    expect_closes(*problem.nearest);
    double shares = 0.0;
    for (const FairBlock& block : problem.blocks) shares += block.share;
    EXPECT_NEAR(shares, 1.0, 0.05);
    settings.band_mm += 1.02 * problem.widen_mm;
    const auto wider = make_routable(square, settings);
    ASSERT_TRUE(std::holds_alternative<Routable>(wider)) << std::get<FairProblem>(wider).reason;
    EXPECT_LE(testing::sampled_distance(std::get<Routable>(wider).drawn.path, square.path), settings.band_mm + 1e-3);
}

// A closed curve that nowhere turns tighter than r holds a disc of radius r (W. Blaschke, Kreis und Kugel, 1916), so
// near a circle of radius R < r it needs a band of r − R, and the circle of radius r has it.
TEST(ClosedRoutable, ACircleTooSmallNeedsTheDifferenceOfTheRadii) {
    const Drawn circle = std::get<Drawn>(draw(Oval{{0, 0}, 200.0, 200.0, 0.0}));
    RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 120.0;
    settings.band_mm = 5.0;
    const auto result = make_routable(circle, settings);
    ASSERT_TRUE(std::holds_alternative<FairProblem>(result));
    EXPECT_NEAR(std::get<FairProblem>(result).widen_mm, 15.0, 0.3);
}

TEST(ClosedTraced, IsDrawnAsAClosedFairCurve) {
    Traced traced;
    traced.points = round_trace(900, 0.0, [](double a) { return 30.0 * std::cos(2.0 * a); });
    traced.closed = true;
    traced.at = {900.0, 450.0};
    const auto result = draw(traced);
    ASSERT_TRUE(std::holds_alternative<Drawn>(result)) << std::get<CurveProblem>(result).reason;
    const Drawn& line = std::get<Drawn>(result);
    EXPECT_TRUE(line.path.closed);
    EXPECT_LT(geometry::largest_break_mm(line.path), 1e-7);
    EXPECT_LT(geometry::largest_corner_rad(line.path), 1e-6);
    for (const Point p : placed_points(traced)) {
        double near = HUGE_VAL;
        for (const auto& s : line.path.segments) near = std::fmin(near, geometry::nearest(s, p).distance_mm);
        EXPECT_LT(near, 0.05);
    }
}

}  // namespace
}  // namespace seamwright::curves
