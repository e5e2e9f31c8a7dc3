#include "geometry/biarc.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>

#include "both_ways.h"
#include "check_values.h"

namespace seamwright::geometry {
namespace {

using testing::seen_both_ways;

/// A clothoid with curvature κ' s about its middle, integrated here by Simpson's rule in small steps: nothing of the
/// program's own spirals is used.
SmoothCurve clothoid(double kp, double s0, double s1) {
    SmoothCurve curve;
    curve.t_begin = s0;
    curve.t_end = s1;
    curve.heading_rad = [kp](double s) { return 0.5 * kp * s * s; };
    curve.curvature = [kp](double s) { return kp * s; };
    curve.point = [kp](double s) {
        constexpr int steps = 200;
        const double h = s / steps;
        Point sum;
        for (int i = 0; i < steps; ++i) {
            const double a = i * h;
            const auto at = [kp](double u) { return unit(0.5 * kp * u * u); };
            sum = sum + (h / 6.0) * (at(a) + 4.0 * at(a + 0.5 * h) + at(a + h));
        }
        return sum;
    };
    curve.curvature_range = [kp](double a, double b) {
        return SmoothCurve::Range{std::fmin(kp * a, kp * b), std::fmax(kp * a, kp * b)};
    };
    curve.length_bound_mm = [](double a, double b) { return b - a; };
    return curve;
}

/// A sine y = A sin(ωx), with a simple but true curvature range: y'' over its extremes, slopes from 0 to Aω.
SmoothCurve sine(double height, double omega, double length) {
    SmoothCurve curve;
    curve.t_end = length;
    curve.point = [=](double x) { return Point{x, height * std::sin(omega * x)}; };
    curve.heading_rad = [=](double x) { return std::atan(height * omega * std::cos(omega * x)); };
    curve.curvature = [=](double x) {
        const double y1 = height * omega * std::cos(omega * x);
        return -height * omega * omega * std::sin(omega * x) / std::pow(1.0 + y1 * y1, 1.5);
    };
    const auto k = curve.curvature;
    const double steepest = std::abs(height) * omega;
    curve.curvature_range = [=](double a, double b) {
        // |dκ/dx| <= |A| ω³ (1 + 3 (Aω)²): crude, but it encloses.
        const double slack = std::abs(height) * omega * omega * omega * (1.0 + 3.0 * steepest * steepest);
        const double middle = k(0.5 * (a + b));
        return SmoothCurve::Range{middle - 0.5 * slack * (b - a), middle + 0.5 * slack * (b - a)};
    };
    curve.length_bound_mm = [=](double a, double b) { return (b - a) * std::sqrt(1.0 + steepest * steepest); };
    return curve;
}

SmoothCurve circle_curve(double radius, double turn) {
    SmoothCurve curve;
    curve.t_end = std::abs(turn);
    const double sign = turn > 0.0 ? 1.0 : -1.0;
    curve.point = [=](double t) { return Point{radius * std::sin(t), sign * radius * (1.0 - std::cos(t))}; };
    curve.heading_rad = [=](double t) { return sign * t; };
    curve.curvature = [=](double) { return sign / radius; };
    curve.curvature_range = [=](double, double) { return SmoothCurve::Range{sign / radius, sign / radius}; };
    curve.length_bound_mm = [=](double a, double b) { return radius * (b - a); };
    return curve;
}

/// Moved, turned and enlarged; curvature falls as the size grows.
SmoothCurve placed(const SmoothCurve& c, Point by, double turn, double factor) {
    SmoothCurve out = c;
    out.point = [=](double t) {
        const Point p = c.point(t);
        return by +
               factor * Point{std::cos(turn) * p.x - std::sin(turn) * p.y, std::sin(turn) * p.x + std::cos(turn) * p.y};
    };
    out.heading_rad = [=](double t) { return c.heading_rad(t) + turn; };
    out.curvature = [=](double t) { return c.curvature(t) / factor; };
    out.curvature_range = [=](double a, double b) {
        const auto r = c.curvature_range(a, b);
        return SmoothCurve::Range{r.low / factor, r.high / factor};
    };
    out.length_bound_mm = [=](double a, double b) { return factor * c.length_bound_mm(a, b); };
    return out;
}

SmoothCurve mirrored_curve(const SmoothCurve& c) {
    SmoothCurve out = c;
    out.point = [=](double t) { return Point{c.point(t).x, -c.point(t).y}; };
    out.heading_rad = [=](double t) { return -c.heading_rad(t); };
    out.curvature = [=](double t) { return -c.curvature(t); };
    out.curvature_range = [=](double a, double b) {
        const auto r = c.curvature_range(a, b);
        return SmoothCurve::Range{-r.high, -r.low};
    };
    return out;
}

SmoothCurve reversed_curve(const SmoothCurve& c) {
    SmoothCurve out = c;
    const double sum = c.t_begin + c.t_end;
    out.point = [=](double t) { return c.point(sum - t); };
    out.heading_rad = [=](double t) { return c.heading_rad(sum - t) + pi; };
    out.curvature = [=](double t) { return -c.curvature(sum - t); };
    out.curvature_range = [=](double a, double b) {
        const auto r = c.curvature_range(sum - b, sum - a);
        return SmoothCurve::Range{-r.high, -r.low};
    };
    out.length_bound_mm = [=](double a, double b) { return c.length_bound_mm(sum - b, sum - a); };
    return out;
}

// Source: check_values.csv, "biarc": derived (methods.md section 1), verified numerically.
TEST(FitArcs, BiarcOnAClothoidMissesByThe324thPart) {
    const auto row = testing::check_values("biarc", "max deviation").front();
    const double kp = 1e-7;
    const double length = 100.0;
    const double expected = row.value * kp * length * length * length;
    const SmoothCurve curve = clothoid(kp, -0.5 * length, 0.5 * length);
    const ArcFit fit = fit_arcs(curve, 2.0 * expected);
    ASSERT_EQ(fit.at.size(), 2U) << "one biarc is enough";
    ASSERT_EQ(fit.path.segments.size(), 2U);
    const auto seen = seen_both_ways(curve, fit, 600);
    EXPECT_NEAR(seen.curve_to_path / expected, 1.0, 1e-4);
    EXPECT_GE(fit.bound_mm, seen.worst());
    EXPECT_LE(fit.bound_mm, 1.08 * expected) << "the proof's slack";
}

TEST(FitArcs, SpansOnAClothoidHaveTheLengthOfTheFormula) {
    const auto row = testing::check_values("biarc", "arc-pair length").front();  // 2 um, kappa' = 1e-6
    const ArcFit fit = fit_arcs(clothoid(1e-6, -1000.0, 1000.0), 0.002);
    ASSERT_GT(fit.at.size(), 20U);
    for (std::size_t i = 0; i + 3 < fit.at.size(); ++i) {
        const double span = fit.at[i + 1] - fit.at[i];
        EXPECT_LE(span, 1.001 * row.value);
        EXPECT_GE(span, 0.94 * row.value) << "span " << i;
    }
}

// Law: the bound is never beaten by brute force, in either direction, wherever and however large the curve lies.
RC_GTEST_PROP(FitArcs, BoundIsNeverBeaten, ()) {
    const auto part = [](double low, double high) { return low + (high - low) * *rc::gen::inRange(0, 1000001) / 1e6; };
    const double length = part(200.0, 3000.0);
    const double height = part(-80.0, 80.0);
    const double omega = 2.0 * pi / part(150.0, 2000.0);
    const double within = std::pow(10.0, part(-4.0, -1.5));
    const SmoothCurve plain = sine(height, omega, length);
    const double turn = part(-pi, pi);
    const double factor = std::pow(10.0, part(-2.0, 2.0));
    for (const SmoothCurve& curve : {plain, reversed_curve(plain), mirrored_curve(plain),
                                     placed(plain, {10000.0, -10000.0}, turn, 1.0), placed(plain, {}, turn, factor)}) {
        const ArcFit fit = fit_arcs(curve, within);
        const auto seen = seen_both_ways(curve, fit, 12);
        RC_ASSERT(seen.places > 10);
        RC_ASSERT(fit.bound_mm <= within);
        RC_ASSERT(seen.curve_to_path <= fit.bound_mm);
        RC_ASSERT(seen.path_to_curve <= fit.bound_mm);
        RC_ASSERT(fit.path.start() == curve.point(curve.t_begin));
        RC_ASSERT(fit.path.end() == curve.point(curve.t_end));
        RC_ASSERT(largest_break_mm(fit.path) == 0.0);
        RC_ASSERT(largest_corner_rad(fit.path) < 1e-9);
        RC_ASSERT(fit.first_segment.size() == fit.at.size());
        RC_ASSERT(fit.first_segment.back() == fit.path.segments.size());
    }
}

// Law: mirrored or moved input takes as many arcs; enlarged input with an enlarged bound takes the same arcs enlarged.
TEST(FitArcs, PlaceAndHandDoNotMatter) {
    const SmoothCurve plain = sine(40.0, 2.0 * pi / 900.0, 2400.0);
    const ArcFit fit = fit_arcs(plain, 0.002);
    ASSERT_GT(fit.path.segments.size(), 50U);
    EXPECT_EQ(fit_arcs(mirrored_curve(plain), 0.002).path.segments.size(), fit.path.segments.size());
    EXPECT_EQ(fit_arcs(placed(plain, {10000.0, 10000.0}, 1.0, 1.0), 0.002).path.segments.size(),
              fit.path.segments.size());
    const ArcFit large = fit_arcs(placed(plain, {}, 0.0, 32.0), 0.064);
    ASSERT_EQ(large.at.size(), fit.at.size());
    for (std::size_t i = 0; i < fit.at.size(); ++i) EXPECT_NEAR(large.at[i], fit.at[i], 1e-6);
}

TEST(FitArcs, ErrorIsSpreadNearlyEvenly) {
    const SmoothCurve curve = clothoid(3e-6, 0.0, 900.0);
    const ArcFit fit = fit_arcs(curve, 0.001);
    const PathIndex index(fit.path);
    ASSERT_GT(fit.at.size(), 10U);
    for (std::size_t i = 0; i + 3 < fit.at.size(); ++i) {
        double worst = 0.0;
        for (int j = 0; j <= 200; ++j) {
            const double t = fit.at[i] + (fit.at[i + 1] - fit.at[i]) * j / 200.0;
            worst = std::fmax(worst, index.distance_mm(curve.point(t)));
        }
        EXPECT_GT(worst, 0.8 * 0.001) << "biarc " << i << " uses too little of the bound";
    }
}

TEST(FitArcs, ArcsComeBackAsOneArc) {
    for (const double turn : {0.3, -0.3, 3.0, -5.5}) {
        const ArcFit fit = fit_arcs(circle_curve(1524.0, turn), 0.002);
        ASSERT_EQ(fit.path.segments.size(), 1U);
        const Segment& s = fit.path.segments.front();
        EXPECT_NEAR(s.radius_mm, 1524.0, 1e-9);
        EXPECT_NEAR(s.sweep_rad, turn, 1e-12);
        EXPECT_LT(fit.bound_mm, 1e-9);
    }
}

TEST(FitArcs, FullCircleIsTwoHalvesAndCloses) {
    SmoothCurve curve = circle_curve(100.0, 2.0 * pi);
    curve.closed = true;
    const ArcFit fit = fit_arcs(curve, 0.002);
    ASSERT_EQ(fit.path.segments.size(), 2U);
    EXPECT_TRUE(fit.path.closed);
    EXPECT_EQ(fit.path.start(), fit.path.end());
    EXPECT_NEAR(area_mm2(fit.path), pi * 1e4, 1e-8);
}

TEST(FitArcs, StraightIsOneLine) {
    SmoothCurve curve = circle_curve(1.0, 1.0);
    curve.t_end = 500.0;
    curve.point = [](double t) { return Point{t, 2.0 * t}; };
    curve.heading_rad = [](double) { return std::atan2(2.0, 1.0); };
    curve.curvature = [](double) { return 0.0; };
    curve.curvature_range = [](double, double) { return SmoothCurve::Range{0.0, 0.0}; };
    curve.length_bound_mm = [](double a, double b) { return 2.24 * (b - a); };
    const ArcFit fit = fit_arcs(curve, 0.002);
    ASSERT_EQ(fit.path.segments.size(), 1U);
    EXPECT_TRUE(fit.path.segments.front().is_line());
    EXPECT_EQ(fit.path.end(), (Point{500.0, 1000.0}));
}

// A corner is a break: straight, a right-angled corner, then an arc.
TEST(FitArcs, CornersStayCorners) {
    SmoothCurve curve;
    curve.t_begin = 0.0;
    curve.t_end = 200.0;
    curve.breaks = {100.0};
    curve.point = [](double t) {
        return t < 100.0
                   ? Point{t, 0.0}
                   : Point{100.0 + 50.0 * (1.0 - std::cos((t - 100.0) / 50.0)), 50.0 * std::sin((t - 100.0) / 50.0)};
    };
    curve.heading_rad = [](double t) { return t < 100.0 ? 0.0 : 0.5 * pi - (t - 100.0) / 50.0; };
    curve.curvature = [](double t) { return t < 100.0 ? 0.0 : -1.0 / 50.0; };
    curve.curvature_range = [](double a, double b) {
        return SmoothCurve::Range{b > 100.0 ? -1.0 / 50.0 : 0.0, a < 100.0 ? 0.0 : -1.0 / 50.0};
    };
    curve.length_bound_mm = [](double a, double b) { return b - a; };
    const ArcFit fit = fit_arcs(curve, 0.001);
    // The range straddling the break must not be asked for; two exact pieces are all there is.
    ASSERT_EQ(fit.path.segments.size(), 2U);
    EXPECT_TRUE(fit.path.segments[0].is_line());
    EXPECT_NEAR(fit.path.segments[1].radius_mm, 50.0, 1e-9);
    EXPECT_NEAR(largest_corner_rad(fit.path), 0.5 * pi, 1e-9);
}

TEST(FitArcs, RefusesWhatItCannotDo) {
    const SmoothCurve good = sine(40.0, 2.0 * pi / 900.0, 2400.0);
    SmoothCurve bad = good;
    bad.curvature_range = nullptr;
    EXPECT_THROW(fit_arcs(bad, 0.002), std::invalid_argument);
    EXPECT_THROW(fit_arcs(good, 0.0), std::invalid_argument);
    EXPECT_THROW(fit_arcs(good, std::nan("")), std::invalid_argument);
    bad = good;
    bad.t_end = bad.t_begin;
    EXPECT_THROW(fit_arcs(bad, 0.002), std::invalid_argument);
    bad = good;
    bad.curvature_range = [](double, double) { return SmoothCurve::Range{-HUGE_VAL, HUGE_VAL}; };
    EXPECT_THROW(fit_arcs(bad, 0.002), std::runtime_error);
    bad = good;
    bad.point = [](double) { return Point{std::nan(""), 0.0}; };
    EXPECT_THROW(fit_arcs(bad, 0.002), std::runtime_error);
}

}  // namespace
}  // namespace seamwright::geometry
