#include "curves/clothoid.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "both_ways.h"
#include "check_values.h"

namespace seamwright::curves {
namespace {

using geometry::pi;
using testing::check_values;
using testing::input;

double part(double low, double high) {
    return low + (high - low) * *rc::gen::inRange(0, 1000001) / 1e6;
}

// Abramowitz & Stegun, table 7.7, by way of check_values.csv (provenance there: memory, verified numerically).
// C(x) + i S(x) = ∫₀ˣ exp(½ iπ t²) dt is the clothoid that starts straight and whose curvature is π t.
TEST(Clothoid, FresnelIntegrals) {
    int rows = 0;
    for (const auto& row : check_values("fresnel")) {
        const double x = input(row, "x");
        const Clothoid spiral{{}, 0.0, x, 0.0, pi * x};
        const Point end = spiral.point(x);
        EXPECT_NEAR(row.quantity[0] == 'C' ? end.x : end.y, row.value, 1e-12) << row.quantity << " at " << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 12);
}

// check_values.csv, "clothoid": analytic, verified numerically.
TEST(Clothoid, UnitClothoid) {
    for (const auto& row : check_values("clothoid")) {
        const double s = input(row, "s");
        const Clothoid spiral{{}, 0.0, 10.0, 0.0, 10.0};
        const Point at = spiral.point(s);
        EXPECT_NEAR(row.quantity[0] == 'x' ? at.x : at.y, row.value, 1e-12) << row.quantity << " at " << row.inputs;
        EXPECT_NEAR(spiral.curvature(s), s, 1e-14);
        EXPECT_NEAR(spiral.heading(s), 0.5 * s * s, 1e-14);
    }
}

// Against Simpson's rule in long double with steps far too small to matter.
TEST(Clothoid, ChordIsRightToTheThirteenthDigit) {
    for (const double k0 : {0.0, 1e-8, 0.5, -3.0, 2.0 * pi, 17.0, -50.0}) {
        for (const double k1 : {0.0, 1e-8, -1.0, 6.0, -20.0, 50.0}) {
            constexpr int steps = 20000;
            long double x = 0.0L;
            long double y = 0.0L;
            for (int i = 0; i <= 2 * steps; ++i) {
                const long double t = -0.5L + static_cast<long double>(i) / (2 * steps);
                const long double phase = t * (static_cast<long double>(k0) + 0.5L * static_cast<long double>(k1) * t);
                const long double weight = (i == 0 || i == 2 * steps ? 1.0L : (i % 2 == 1 ? 4.0L : 2.0L)) / (6 * steps);
                x += weight * std::cos(phase);
                y += weight * std::sin(phase);
            }
            const Point chord = unit_clothoid_chord(k0, k1);
            EXPECT_NEAR(chord.x, static_cast<double>(x), 1e-13) << k0 << " " << k1;
            EXPECT_NEAR(chord.y, static_cast<double>(y), 1e-13) << k0 << " " << k1;
        }
    }
}

RC_GTEST_PROP(Clothoid, FitsBetweenTwoDirections, ()) {
    const Point from{part(-1000.0, 1000.0), part(-1000.0, 1000.0)};
    const Point to = from + part(1.0, 2000.0) * geometry::unit(part(-pi, pi));
    const double chord = geometry::heading(to - from);
    const double h0 = chord + part(-2.0, 2.0);
    const double h1 = chord + part(-2.0, 2.0);
    const auto spiral = clothoid_between(from, to, h0, h1);
    RC_ASSERT(spiral.has_value());
    const double size = geometry::distance(from, to);
    RC_ASSERT(geometry::distance(spiral->point(spiral->length_mm), to) <= 1e-12 * (size + 2000.0));
    RC_ASSERT(std::abs(geometry::wrap_pi(spiral->heading(0.0) - h0)) <= 1e-12);
    RC_ASSERT(std::abs(geometry::wrap_pi(spiral->heading(spiral->length_mm) - h1)) <= 1e-12);
    RC_ASSERT(spiral->length_mm >= size * (1.0 - 1e-12));
}

TEST(Clothoid, RefusesNoChordAndStraightBack) {
    EXPECT_FALSE(clothoid_between({1.0, 1.0}, {1.0, 1.0}, 0.0, 0.0));
    EXPECT_FALSE(clothoid_between({0.0, 0.0}, {1.0, 0.0}, pi, 0.0));
    EXPECT_FALSE(clothoid_between({0.0, 0.0}, {1.0, 0.0}, std::nan(""), 0.0));
}

// --- the fair curve through pins -------------------------------------------------------------------------------------

std::vector<Point> on_circle(Point centre, double radius, const std::vector<double>& angles) {
    std::vector<Point> pins;
    for (const double a : angles) pins.push_back(centre + radius * geometry::unit(a));
    return pins;
}

double worst_off_circle(const EulerSpline& spline, Point centre, double radius) {
    double worst = 0.0;
    for (const Clothoid& span : spline.spans)
        for (int i = 0; i <= 20; ++i)
            worst =
                std::fmax(worst, std::abs(geometry::distance(span.point(span.length_mm * i / 20.0), centre) - radius));
    return worst;
}

// check_values.csv, "circle_reproduction": deviation 0, tolerance 1e-10 of the radius (analytic).
TEST(EulerSpline, CircleInCircleOut) {
    const double wanted = check_values("circle_reproduction").front().value;
    const Point centre{700.0, -300.0};
    for (const double radius : {40.0, 600.0, 25000.0}) {
        for (int n = 3; n <= 12; ++n) {
            std::vector<double> angles;
            for (int i = 0; i < n; ++i) angles.push_back(2.0 * pi * i / n + 0.2 * std::sin(3.0 * i));
            const auto pins = on_circle(centre, radius, angles);
            const auto closed = euler_spline(pins, true);
            ASSERT_TRUE(closed) << n;
            EXPECT_NEAR(worst_off_circle(*closed, centre, radius) / radius, wanted, 1e-10) << n;
        }
        // Open, with natural ends, and with the circle's own directions given: still the circle.
        const std::vector<double> some{0.1, 0.9, 1.3, 2.4, 3.0};
        const auto pins = on_circle(centre, radius, some);
        const auto natural = euler_spline(pins, false);
        ASSERT_TRUE(natural);
        EXPECT_NEAR(worst_off_circle(*natural, centre, radius) / radius, wanted, 1e-10);
        const auto clamped = euler_spline(pins, false, some.front() + 0.5 * pi, some.back() + 0.5 * pi);
        ASSERT_TRUE(clamped);
        EXPECT_NEAR(worst_off_circle(*clamped, centre, radius) / radius, wanted, 1e-10);
        const auto three = on_circle(centre, radius, {1.0, 1.8, 2.1});
        const auto arc = euler_spline(three, false);
        ASSERT_TRUE(arc);
        EXPECT_NEAR(worst_off_circle(*arc, centre, radius) / radius, wanted, 1e-10);
    }
}

// The bent stick would miss the circle through 8 pins by 0.0515 % (check_values.csv, mec_circle_defect): the spiral
// spline must not, or we have built the wrong curve.
TEST(EulerSpline, IsNotTheBentStick) {
    std::vector<double> angles;
    for (int i = 0; i < 8; ++i) angles.push_back(2.0 * pi * i / 8);
    const auto spline = euler_spline(on_circle({}, 600.0, angles), true);
    ASSERT_TRUE(spline);
    EXPECT_LT(worst_off_circle(*spline, {}, 600.0), 1e-9);
    ASSERT_GT(std::abs(check_values("mec_circle_defect").front().value), 1e-5);
}

TEST(EulerSpline, StraightRowsStayStraight) {
    const auto two = euler_spline({{0.0, 0.0}, {300.0, 400.0}}, false);
    ASSERT_TRUE(two);
    EXPECT_NEAR(two->spans[0].length_mm, 500.0, 1e-10);
    EXPECT_NEAR(two->spans[0].curvature0, 0.0, 1e-15);
    const auto row = euler_spline({{0.0, 0.0}, {30.0, 40.0}, {300.0, 400.0}, {330.0, 440.0}}, false);
    ASSERT_TRUE(row);
    for (const Clothoid& span : row->spans) EXPECT_NEAR(span.curvature1 * span.length_mm, 0.0, 1e-12);
}

TEST(EulerSpline, TwoPinsWithOneDirectionGiveTheArc) {
    // Leaving (0,0) upwards and arriving at (100,0): the half circle of radius 50.
    const auto arc = euler_spline({{0.0, 0.0}, {100.0, 0.0}}, false, 0.5 * pi);
    ASSERT_TRUE(arc);
    EXPECT_NEAR(arc->spans[0].length_mm, 50.0 * pi, 1e-9);
    EXPECT_NEAR(arc->spans[0].curvature0, -0.02, 1e-14);
    const auto back = euler_spline({{0.0, 0.0}, {100.0, 0.0}}, false, {}, -0.5 * pi);
    ASSERT_TRUE(back);
    EXPECT_NEAR(back->spans[0].curvature1, -0.02, 1e-14);
}

std::vector<Point> random_pins(bool closed) {
    const int n = *rc::gen::inRange(closed ? 3 : 2, 16);
    std::vector<Point> pins;
    for (int i = 0; i < n; ++i) {
        if (closed) {
            pins.push_back(part(200.0, 320.0) * geometry::unit(2.0 * pi * (i + part(-0.3, 0.3)) / n));
        } else {
            pins.push_back({150.0 * i + part(-40.0, 40.0), part(-60.0, 60.0)});
        }
    }
    return pins;
}

// Law: through every pin; direction and curvature run on without a jump.
RC_GTEST_PROP(EulerSpline, PassesEveryPinSmoothly, ()) {
    const bool closed = *rc::gen::arbitrary<bool>();
    const auto pins = random_pins(closed);
    const auto spline = euler_spline(pins, closed);
    RC_ASSERT(spline.has_value());
    const std::size_t n = spline->spans.size();
    RC_ASSERT(n == (closed ? pins.size() : pins.size() - 1));
    for (std::size_t i = 0; i < n; ++i) {
        const Clothoid& span = spline->spans[i];
        RC_ASSERT(span.start == pins[i]);
        RC_ASSERT(geometry::distance(span.point(span.length_mm), pins[(i + 1) % pins.size()]) < 1e-9);
        if (!closed && i + 1 == n) break;
        const Clothoid& next = spline->spans[(i + 1) % n];
        RC_ASSERT(std::abs(geometry::wrap_pi(span.heading(span.length_mm) - next.heading_rad)) < 1e-11);
        RC_ASSERT(std::abs(span.curvature1 - next.curvature0) < 1e-11);
    }
    if (!closed) {  // the natural end
        RC_ASSERT(std::abs(spline->spans.front().curvature0 - spline->spans.front().curvature1) < 1e-10);
        RC_ASSERT(std::abs(spline->spans.back().curvature0 - spline->spans.back().curvature1) < 1e-10);
    }
}

// Law: the bound of the arcs is never beaten, in either direction; closed curves close.
RC_GTEST_PROP(EulerSpline, ArcsStayWithinTheBound, ()) {
    const bool closed = *rc::gen::arbitrary<bool>();
    const auto spline = euler_spline(random_pins(closed), closed);
    RC_ASSERT(spline.has_value());
    const auto curve = spline->curve();
    const double within = std::pow(10.0, part(-4.0, -2.0));
    const auto fit = geometry::fit_arcs(curve, within);
    const auto seen = testing::seen_both_ways(curve, fit, 12);
    RC_ASSERT(seen.places > 3);
    RC_ASSERT(fit.bound_mm <= within);
    RC_ASSERT(seen.worst() <= fit.bound_mm);
    RC_ASSERT(geometry::largest_break_mm(fit.path) == 0.0);
    RC_ASSERT(geometry::largest_corner_rad(fit.path) < 1e-9);
    RC_ASSERT(fit.path.closed == closed);
    if (closed) RC_ASSERT(fit.path.start() == fit.path.end());
}

// Law: reversed, mirrored, moved 10 m, scaled pins give the reversed, mirrored, ... curve.
RC_GTEST_PROP(EulerSpline, PlaceSizeAndHandDoNotMatter, ()) {
    const auto pins = random_pins(false);
    const auto spline = euler_spline(pins, false);
    RC_ASSERT(spline.has_value());
    const auto middles = [](const EulerSpline& s) {
        std::vector<Point> out;
        for (const Clothoid& span : s.spans) out.push_back(span.point(0.5 * span.length_mm));
        return out;
    };
    const auto base = middles(*spline);
    const auto compare = [&](auto map, bool turned_round) {
        std::vector<Point> moved;
        for (const Point p : pins) moved.push_back(map(p));
        if (turned_round) std::reverse(moved.begin(), moved.end());
        const auto other = euler_spline(moved, false);
        RC_ASSERT(other.has_value());
        auto found = middles(*other);
        if (turned_round) std::reverse(found.begin(), found.end());
        for (std::size_t i = 0; i < base.size(); ++i) RC_ASSERT(geometry::distance(found[i], map(base[i])) < 1e-7);
    };
    compare([](Point p) { return p; }, true);
    compare([](Point p) { return Point{p.x, -p.y}; }, false);
    compare([](Point p) { return p + Point{10000.0, -10000.0}; }, false);
    compare([](Point p) { return 10.0 * p; }, false);
}

TEST(EulerSpline, RefusesPinsThatDoubleBack) {
    EXPECT_FALSE(euler_spline({{0.0, 0.0}, {100.0, 0.0}, {0.0, 0.0}}, false));
    EXPECT_FALSE(euler_spline({{0.0, 0.0}, {100.0, 0.0}, {50.0, 0.0}, {150.0, 0.0}}, false));
    EXPECT_FALSE(euler_spline({{0.0, 0.0}, {0.0, 0.0}, {100.0, 0.0}}, false));
    EXPECT_FALSE(euler_spline({{0.0, 0.0}}, false));
    EXPECT_FALSE(euler_spline({{0.0, 0.0}, {1.0, 0.0}}, true));
}

}  // namespace
}  // namespace seamwright::curves
