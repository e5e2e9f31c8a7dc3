#include "curves/drawn.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <limits>

#include "both_ways.h"
#include "curves/clothoid.h"

namespace seamwright::curves {
namespace {

using geometry::pi;

double part(double low, double high) {
    return low + (high - low) * *rc::gen::inRange(0, 1000001) / 1e6;
}

Drawn drawn(const Curve& curve, double within_mm = 0.002) {
    auto result = draw(curve, within_mm);
    if (const auto* problem = std::get_if<CurveProblem>(&result)) throw std::runtime_error(problem->reason);
    return std::get<Drawn>(result);
}

CurveProblem refused(const Curve& curve) {
    auto result = draw(curve);
    if (!std::holds_alternative<CurveProblem>(result)) return {"drawn after all", "", {}, {}};
    EXPECT_FALSE(std::get<CurveProblem>(result).reason.empty());
    EXPECT_FALSE(std::get<CurveProblem>(result).remedy.empty());
    return std::get<CurveProblem>(result);
}

/// The edge that the benches of the project use: 2.4 m long, two waves on top of each other.
Wave bench_wave() {
    return {{0.0, 600.0}, {2400.0, 600.0}, {{40.0, 900.0, 0.0}, {15.0, 410.0, 0.0}}};
}
double bench_height(double x) {
    return 600.0 + 40.0 * std::sin(2.0 * pi * x / 900.0) + 15.0 * std::sin(2.0 * pi * x / 410.0);
}
double bench_curvature(double x) {
    const double a = 2.0 * pi / 900.0;
    const double b = 2.0 * pi / 410.0;
    const double y1 = 40.0 * a * std::cos(a * x) + 15.0 * b * std::cos(b * x);
    const double y2 = -40.0 * a * a * std::sin(a * x) - 15.0 * b * b * std::sin(b * x);
    return y2 / std::pow(1.0 + y1 * y1, 1.5);
}

// --- straight and arc ------------------------------------------------------------------------------------------------

TEST(DrawStraight, IsOneLine) {
    const Drawn d = drawn(Straight{{1.0, 2.0}, {301.0, 402.0}});
    ASSERT_EQ(d.path.segments.size(), 1U);
    EXPECT_EQ(d.bound_mm, 0.0);
    EXPECT_NEAR(geometry::length_mm(d.path), 500.0, 1e-12);
    EXPECT_FALSE(d.tightest_left || d.tightest_right);
    ASSERT_EQ(d.curvature.size(), 2U);
    EXPECT_EQ(d.curvature[1].at_mm, geometry::length_mm(d.path));
}

// Common practice: radius from rise and chord, R = c²/(8h) + h/2. A 1200 mm chord with 60 mm rise: R = 3030 mm.
TEST(DrawArc, RiseAndChordGiveTheRadius) {
    const Drawn d = drawn(Arc{{0.0, 0.0}, {1200.0, 0.0}, {}, 60.0});
    ASSERT_EQ(d.path.segments.size(), 1U);
    EXPECT_NEAR(d.path.segments[0].radius_mm, 3030.0, 1e-9);
    EXPECT_NEAR(geometry::bounding_box(d.path).high.y, 60.0, 1e-9);
    EXPECT_EQ(d.path.start(), (Point{0.0, 0.0}));
    EXPECT_EQ(d.path.end(), (Point{1200.0, 0.0}));
    // Bulging to the left of its way, it turns right.
    EXPECT_FALSE(d.tightest_left);
    ASSERT_TRUE(d.tightest_right);
    EXPECT_NEAR(d.tightest_right->radius_mm, 3030.0, 1e-9);
    EXPECT_NEAR(d.tightest_right->at.x, 600.0, 1e-6);
}

TEST(DrawArc, RadiusGoesTheShorterWay) {
    const Drawn left = drawn(Arc{{0.0, 0.0}, {1000.0, 0.0}, 1524.0, {}});
    EXPECT_EQ(left.path.segments[0].radius_mm, 1524.0) << "the maker's radius, to the last bit";
    EXPECT_LT(std::abs(left.path.segments[0].sweep_rad), pi);
    EXPECT_GT(geometry::bounding_box(left.path).high.y, 80.0);
    const Drawn right = drawn(Arc{{0.0, 0.0}, {1000.0, 0.0}, -1524.0, {}});
    EXPECT_LT(geometry::bounding_box(right.path).low.y, -80.0);
    const Drawn half = drawn(Arc{{0.0, 0.0}, {100.0, 0.0}, 50.0, {}});
    EXPECT_NEAR(geometry::bounding_box(half.path).high.y, 50.0, 1e-9);
    const Drawn long_way = drawn(Arc{{0.0, 0.0}, {100.0, 0.0}, {}, -90.0});
    EXPECT_NEAR(geometry::bounding_box(long_way.path).low.y, -90.0, 1e-9) << "a rise above half the chord";
}

TEST(DrawArc, RefusesWhatIsNoArc) {
    const auto short_radius = refused(Arc{{0.0, 0.0}, {1000.0, 0.0}, 499.0, {}});
    EXPECT_NE(short_radius.reason.find("499"), std::string::npos);
    EXPECT_NE(short_radius.remedy.find("500"), std::string::npos);
    EXPECT_NE(refused(Arc{{0.0, 0.0}, {1000.0, 0.0}, {}, 0.0}).reason.find("no rise"), std::string::npos);
    EXPECT_NE(refused(Arc{{0.0, 0.0}, {1000.0, 0.0}, 600.0, 60.0}).reason.find("both"), std::string::npos);
    EXPECT_NE(refused(Arc{{0.0, 0.0}, {1000.0, 0.0}, {}, {}}).reason.find("no radius"), std::string::npos);
    EXPECT_NE(refused(Arc{{5.0, 5.0}, {5.0, 5.0}, 600.0, {}}).reason.find("same point"), std::string::npos);
    EXPECT_NE(refused(Straight{{5.0, 5.0}, {5.0, 5.0}}).reason.find("same point"), std::string::npos);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_NE(refused(Straight{{nan, 5.0}, {5.0, 5.0}}).reason.find("number"), std::string::npos);
    EXPECT_NE(refused(Straight{{1e300, 5.0}, {5.0, 5.0}}).reason.find("number"), std::string::npos);
    EXPECT_NE(refused(Arc{{0.0, 0.0}, {1000.0, 0.0}, nan, {}}).reason.find("radius"), std::string::npos);
    EXPECT_NE(refused(Arc{{0.0, 0.0}, {1000.0, 0.0}, {}, HUGE_VAL}).reason.find("rise"), std::string::npos);
}

// --- wave ------------------------------------------------------------------------------------------------------------

// The bench's criterion: at most 255 pieces at 1 µm for the region, three of which are its straight sides.
TEST(DrawWave, BenchEdgeNeedsFewPieces) {
    const Drawn d = drawn(bench_wave(), 0.001);
    EXPECT_LE(d.path.segments.size() + 3, 255U);
    EXPECT_GE(d.path.segments.size(), 223U) << "fewer than the error formula allows: the bound cannot hold";
    EXPECT_LE(d.bound_mm, 0.001);
    const geometry::PathIndex index(d.path);
    double worst = 0.0;
    for (int i = 0; i <= 40000; ++i) {
        const double x = 2400.0 * i / 40000.0;
        worst = std::fmax(worst, index.distance_mm({x, bench_height(x)}));
    }
    EXPECT_LE(worst, d.bound_mm);
    EXPECT_GE(worst, 0.9 * d.bound_mm) << "the proof gives away too much";
}

TEST(DrawWave, TightestRadiiAreTheExtremesNotSamples) {
    const Drawn d = drawn(bench_wave());
    double left = 0.0;
    double right = 0.0;
    double left_x = 0.0;
    for (int i = 0; i <= 2400000; ++i) {
        const double k = bench_curvature(i * 1e-3);
        if (k > left) {
            left = k;
            left_x = i * 1e-3;
        }
        right = std::fmin(right, k);
    }
    ASSERT_TRUE(d.tightest_left && d.tightest_right);
    EXPECT_NEAR(d.tightest_left->radius_mm, 1.0 / left, 1e-7);
    EXPECT_LE(d.tightest_left->radius_mm, 1.0 / left * (1.0 + 1e-12)) << "no sample may be tighter";
    EXPECT_NEAR(d.tightest_right->radius_mm, -1.0 / right, 1e-7);
    EXPECT_NEAR(d.tightest_left->at.x, left_x, 0.01);
    EXPECT_TRUE(d.tightest_left->turns_left);
    EXPECT_FALSE(d.tightest_right->turns_left);
    const auto running = geometry::running_length_mm(d.path);
    const Point there = geometry::point_at(d.path, geometry::station_at(d.path, running, d.tightest_left->at_mm));
    EXPECT_LT(geometry::distance(there, d.tightest_left->at), 0.002);
}

TEST(DrawWave, CurvatureAndInflectionsAreTheCurvesOwn) {
    const Drawn d = drawn(bench_wave());
    const auto running = geometry::running_length_mm(d.path);
    ASSERT_GT(d.curvature.size(), 300U);
    EXPECT_EQ(d.curvature.front().at_mm, 0.0);
    EXPECT_EQ(d.curvature.back().at_mm, running.back());
    double before = 0.0;
    for (const CurvatureAt& c : d.curvature) {
        EXPECT_GE(c.at_mm, before);
        EXPECT_LT(c.at_mm - before, 2400.0 / 100.0) << "dense enough to draw";
        before = c.at_mm;
        const Point p = geometry::point_at(d.path, geometry::station_at(d.path, running, c.at_mm));
        EXPECT_NEAR(c.curvature, bench_curvature(p.x), 1e-7) << "at " << c.at_mm;
    }
    int changes = 0;
    for (int i = 0; i < 240000; ++i)
        if (bench_curvature(i * 0.01) * bench_curvature((i + 1) * 0.01) < 0.0) ++changes;
    ASSERT_EQ(static_cast<int>(d.inflections_mm.size()), changes);
    ASSERT_GT(changes, 5);
    for (const double at : d.inflections_mm) {
        const Point p = geometry::point_at(d.path, geometry::station_at(d.path, running, at));
        EXPECT_NEAR(bench_curvature(p.x), 0.0, 1e-7);
    }
}

// Law: whatever the wave, the bound is kept both ways, and path and pose do not matter.
RC_GTEST_PROP(DrawWave, BoundIsNeverBeaten, ()) {
    Wave wave;
    wave.from = {part(-500.0, 500.0), part(-500.0, 500.0)};
    wave.to = wave.from + part(300.0, 3000.0) * geometry::unit(part(-pi, pi));
    const int terms = *rc::gen::inRange(1, 5);
    for (int i = 0; i < terms; ++i) wave.terms.push_back({part(-50.0, 50.0), part(150.0, 2000.0), part(0.0, 1.0)});
    const double within = std::pow(10.0, part(-3.5, -1.5));
    const Drawn d = drawn(wave, within);
    RC_ASSERT(!d.path.empty());
    RC_ASSERT(d.bound_mm <= within);
    RC_ASSERT(geometry::largest_break_mm(d.path) == 0.0);
    RC_ASSERT(geometry::largest_corner_rad(d.path) < 1e-9);
    const double length = geometry::distance(wave.from, wave.to);
    const Point along = (wave.to - wave.from) / length;
    const auto height = [&](double x) {
        double y = 0.0;
        for (const auto& t : wave.terms) y += t.half_height_mm * std::sin(2.0 * pi * (x / t.length_mm + t.shift));
        return y;
    };
    const geometry::PathIndex index(d.path);
    for (int i = 0; i <= 3000; ++i) {
        const double x = length * i / 3000.0;
        RC_ASSERT(index.distance_mm(wave.from + x * along + height(x) * geometry::left_of(along)) <= d.bound_mm);
    }
    // The other way: the place of the curve at the same x is not nearest, but it is never nearer than the nearest.
    for (const auto& s : d.path.segments) {
        for (const double u : {0.2, 0.5, 0.8}) {
            const Point q = geometry::point_at(s, u);
            const double x0 = geometry::dot(q - wave.from, along);
            const double y0 = geometry::cross(along, q - wave.from);
            double best = HUGE_VAL;
            double x = x0;
            double step = 4.0 * within;
            for (int i = 0; i < 60; ++i) {
                for (const double t : {x - step, x, x + step}) {
                    const double off = std::hypot(t - x0, height(t) - y0);
                    if (off < best) {
                        best = off;
                        x = t;
                    }
                }
                step *= 0.7;
            }
            RC_ASSERT(best <= d.bound_mm);
        }
    }
}

// Law: reversed, mirrored, moved 10 m, scaled input gives the reversed, mirrored, ... curve, within both bounds.
TEST(DrawWave, PlaceSizeAndHandDoNotMatter) {
    const Wave wave = bench_wave();
    const Drawn base = drawn(wave);
    const auto agree = [&](const geometry::Path& wanted, const Drawn& other, double allowed) {
        EXPECT_LE(testing::sampled_distance(wanted, other.path), allowed);
        EXPECT_LE(testing::sampled_distance(other.path, wanted), allowed);
        EXPECT_EQ(base.inflections_mm.size(), other.inflections_mm.size());
    };
    const double both = 2.0 * 0.002;
    Wave other = wave;
    other.from = wave.from + Point{10000.0, -10000.0};
    other.to = wave.to + Point{10000.0, -10000.0};
    agree(geometry::moved(base.path, {10000.0, -10000.0}), drawn(other), both);
    other = wave;
    other.from = {0.0, -600.0};
    other.to = {2400.0, -600.0};
    for (auto& t : other.terms) t.half_height_mm = -t.half_height_mm;
    agree(geometry::mirrored(base.path), drawn(other), both);
    other = wave;
    std::swap(other.from, other.to);
    for (auto& t : other.terms) {
        // x' = L − x and left is right: −A sin(2π((L − x')/λ + s)) = A sin(2π(x'/λ − L/λ − s)).
        t.shift = -2400.0 / t.length_mm - t.shift;
    }
    const Drawn back = drawn(other);
    agree(geometry::reversed(base.path), back, both);
    EXPECT_NEAR(back.tightest_right->radius_mm, base.tightest_left->radius_mm, 1e-6);
    other = wave;
    other.from = 10.0 * wave.from;
    other.to = 10.0 * wave.to;
    for (auto& t : other.terms) t = {10.0 * t.half_height_mm, 10.0 * t.length_mm, t.shift};
    const Drawn large = drawn(other, 0.02);
    agree(geometry::scaled(base.path, 10.0), large, 0.04);
    EXPECT_NEAR(large.tightest_left->radius_mm, 10.0 * base.tightest_left->radius_mm, 1e-5);
}

TEST(DrawWave, RefusesWhatIsNoWave) {
    const Wave good = bench_wave();
    Wave bad = good;
    bad.terms[1].length_mm = 0.0;
    EXPECT_EQ(refused(bad).element, 1U);
    bad = good;
    bad.terms[1].length_mm = 0.1;
    EXPECT_EQ(refused(bad).element, 1U);
    bad = good;
    bad.terms[0].half_height_mm = std::nan("");
    EXPECT_EQ(refused(bad).element, 0U);
    bad = good;
    bad.terms.clear();
    EXPECT_NE(refused(bad).reason.find("0 sines"), std::string::npos);
    bad = good;
    bad.terms.resize(17, good.terms[0]);
    EXPECT_NE(refused(bad).reason.find("17 sines"), std::string::npos);
    bad = good;
    bad.to = bad.from;
    EXPECT_NE(refused(bad).reason.find("same point"), std::string::npos);
    // Crests of 0.04 mm radius: λ²/(4π² A).
    bad = good;
    bad.terms.push_back({30.0, 7.0, 0.0});
    const auto hairpin = refused(bad);
    EXPECT_EQ(hairpin.element, 2U);
    EXPECT_NE(hairpin.reason.find("corner"), std::string::npos);
    EXPECT_TRUE(hairpin.at);
}

TEST(DrawWave, AFlatWaveIsStraight) {
    Wave flat = bench_wave();
    for (auto& t : flat.terms) t.half_height_mm = 0.0;
    const Drawn d = drawn(flat);
    EXPECT_EQ(d.path.segments.size(), 1U);
    EXPECT_FALSE(d.tightest_left || d.tightest_right);
    EXPECT_TRUE(d.inflections_mm.empty());
}

// --- oval ------------------------------------------------------------------------------------------------------------

TEST(DrawOval, CircleIsExact) {
    const Drawn d = drawn(Oval{{100.0, 50.0}, 800.0, 800.0, 0.7});
    EXPECT_EQ(d.path.segments.size(), 2U);
    EXPECT_TRUE(d.path.closed);
    EXPECT_EQ(d.bound_mm, 0.0);
    EXPECT_NEAR(geometry::area_mm2(d.path), pi * 400.0 * 400.0, 1e-6);
    EXPECT_NEAR(d.tightest_left->radius_mm, 400.0, 1e-12);
}

// Law: the bound is never beaten; the ends of an ellipse turn on b²/a (analytic); its area is πab.
RC_GTEST_PROP(DrawOval, BoundIsNeverBeaten, ()) {
    const Oval oval{
        {part(-3000.0, 3000.0), part(-3000.0, 3000.0)}, part(50.0, 2000.0), part(50.0, 2000.0), part(-4.0, 4.0)};
    const double within = std::pow(10.0, part(-3.5, -1.5));
    const Drawn d = drawn(oval, within);
    const double a = 0.5 * oval.length_mm;
    const double b = 0.5 * oval.width_mm;
    RC_ASSERT(d.path.closed);
    RC_ASSERT(d.path.start() == d.path.end());
    RC_ASSERT(d.bound_mm <= within);
    RC_ASSERT(geometry::largest_corner_rad(d.path) < 1e-9);
    const double perimeter = geometry::length_mm(d.path);
    RC_ASSERT(std::abs(geometry::area_mm2(d.path) - pi * a * b) <= perimeter * d.bound_mm);
    const double tightest = std::fmin(a, b) * std::fmin(a, b) / std::fmax(a, b);
    RC_ASSERT(std::abs(d.tightest_left->radius_mm / tightest - 1.0) < 1e-9);
    RC_ASSERT(!d.tightest_right);
    RC_ASSERT(d.inflections_mm.empty());
    const geometry::PathIndex index(d.path);
    for (int i = 0; i < 3000; ++i) {
        const double t = 2.0 * pi * i / 3000.0;
        const Point p{a * std::cos(t), b * std::sin(t)};
        const Point turned{std::cos(oval.turn_rad) * p.x - std::sin(oval.turn_rad) * p.y,
                           std::sin(oval.turn_rad) * p.x + std::cos(oval.turn_rad) * p.y};
        // A circle is exact, that is, to rounding of coordinates of a few metres.
        RC_ASSERT(index.distance_mm(oval.centre + turned) <= d.bound_mm + 1e-11);
    }
}

TEST(DrawOval, RefusesWhatIsNoOval) {
    EXPECT_NE(refused(Oval{{0.0, 0.0}, 0.0, 100.0, 0.0}).reason.find("0 mm long"), std::string::npos);
    EXPECT_NE(refused(Oval{{0.0, 0.0}, 100.0, -5.0, 0.0}).reason.find("-5 mm"), std::string::npos);
    EXPECT_NE(refused(Oval{{0.0, 0.0}, 2000.0, 5.0, 0.0}).reason.find("slim"), std::string::npos);
    EXPECT_NE(refused(Oval{{0.0, std::nan("")}, 100.0, 50.0, 0.0}).reason.find("number"), std::string::npos);
    EXPECT_NE(refused(Oval{{0.0, 0.0}, HUGE_VAL, 50.0, 0.0}).remedy, "");
}

// --- pins ------------------------------------------------------------------------------------------------------------

TEST(DrawPins, PassesThePinsWithinTheBound) {
    const std::vector<Point> points{{0.0, 0.0}, {400.0, 60.0}, {900.0, -20.0}, {1500.0, 80.0}, {2000.0, 10.0}};
    const Drawn d = drawn(Pins{points, false, {}, {}});
    const geometry::PathIndex index(d.path);
    for (const Point p : points) EXPECT_LE(index.distance_mm(p), d.bound_mm);
    EXPECT_EQ(d.path.start(), points.front());
    EXPECT_LT(geometry::distance(d.path.end(), points.back()), 1e-9);
    EXPECT_EQ(d.inflections_mm.size(), 2U);
    ASSERT_TRUE(d.tightest_left && d.tightest_right);
    // Curvature is linear between pins, so no place is tighter than the tightest pin.
    const auto spline = euler_spline(points, false);
    ASSERT_TRUE(spline);
    double left = 0.0;
    double right = 0.0;
    for (const Clothoid& span : spline->spans) {
        left = std::fmax(left, std::fmax(span.curvature0, span.curvature1));
        right = std::fmin(right, std::fmin(span.curvature0, span.curvature1));
    }
    EXPECT_NEAR(d.tightest_left->radius_mm * left, 1.0, 1e-8);
    EXPECT_NEAR(d.tightest_right->radius_mm * right, -1.0, 1e-8);
}

TEST(DrawPins, PinsOnACircleGiveTwoHalves) {
    std::vector<Point> points;
    for (int i = 0; i < 7; ++i) points.push_back(500.0 * geometry::unit(0.9 * i));
    const Drawn d = drawn(Pins{points, true, {}, {}});
    EXPECT_LE(d.path.segments.size(), 4U) << "a circle, not a string of biarcs";
    EXPECT_NEAR(geometry::area_mm2(d.path), pi * 250000.0, 1e-5);
    EXPECT_EQ(d.path.start(), d.path.end());
}

TEST(DrawPins, RefusesPinsWithoutAFairCurve) {
    EXPECT_NE(refused(Pins{{{0.0, 0.0}}, false, {}, {}}).reason.find("1 pins"), std::string::npos);
    EXPECT_NE(refused(Pins{{{0.0, 0.0}, {1.0, 0.0}}, true, {}, {}}).remedy.find("at least 3"), std::string::npos);
    const auto twice = refused(Pins{{{0.0, 0.0}, {100.0, 0.0}, {100.0, 0.0}, {200.0, 50.0}}, false, {}, {}});
    EXPECT_EQ(twice.element, 2U);
    const auto all_one = refused(Pins{{{5.0, 5.0}, {5.0, 5.0}}, false, {}, {}});
    EXPECT_EQ(all_one.element, 1U);
    const auto back = refused(Pins{{{0.0, 0.0}, {100.0, 0.0}, {50.0, 0.0}, {150.0, 0.0}}, false, {}, {}});
    EXPECT_TRUE(back.element == 1U || back.element == 2U);
    const auto wrong = refused(Pins{{{0.0, 0.0}, {100.0, std::nan("")}, {150.0, 0.0}}, false, {}, {}});
    EXPECT_EQ(wrong.element, 1U);
    const auto closing = refused(Pins{{{0.0, 0.0}, {100.0, 0.0}, {50.0, 80.0}, {0.0, 0.0}}, true, {}, {}});
    EXPECT_EQ(closing.element, 0U);
    EXPECT_NE(refused(Pins{{{0.0, 0.0}, {100.0, 0.0}, {50.0, 80.0}}, true, 0.5, {}}).reason.find("no ends"),
              std::string::npos);
}

// --- imported --------------------------------------------------------------------------------------------------------

TEST(DrawImported, IsDescribedAsItIs) {
    Imported imported;
    imported.path.segments = {geometry::line({0.0, 0.0}, {100.0, 0.0}),
                              geometry::arc_about({100.0, 50.0}, {100.0, 0.0}, 0.5 * pi)};
    imported.bound_mm = 0.001;
    const Drawn d = drawn(imported);
    EXPECT_EQ(d.path, imported.path);
    EXPECT_EQ(d.bound_mm, 0.001);
    ASSERT_TRUE(d.tightest_left);
    EXPECT_EQ(d.tightest_left->radius_mm, 50.0);
    EXPECT_NEAR(d.tightest_left->at_mm, 100.0 + 12.5 * pi, 1e-9);
    EXPECT_FALSE(d.tightest_right);
    EXPECT_NE(refused(Imported{}).reason.find("empty"), std::string::npos);
}

TEST(Draw, BoundMustBeALength) {
    EXPECT_THROW(draw(bench_wave(), 0.0), std::invalid_argument);
    EXPECT_THROW(draw(bench_wave(), std::nan("")), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::curves
