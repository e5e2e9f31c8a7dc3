#include "seam/closing.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <random>

#include "check_values.h"
#include "curves/drawn.h"
#include "geometry/path_index.h"
#include "seams.h"

namespace seamwright::seam {
namespace {

using geometry::pi;

Path shifted(const Path& path, Point by) {
    return RigidMotion{{}, 0.0, by}.moved(path);
}

// Derived in methods.md, section 4: a uniform mismatch e over normals that span 2Δ closes to e (1 − cos Δ). The values
// stand in check_values.csv, where a generic linear programme has reproduced them.
TEST(CloseSeam, AUniformMismatchOnAnArcClosesToOneLessCosine) {
    for (const auto& [degrees, expected] : std::vector<std::pair<double, double>>{{10.0, 0.015192246987792},
                                                                                  {20.0, 0.060307379214092},
                                                                                  {30.0, 0.13397459621556},
                                                                                  {45.0, 0.29289321881345},
                                                                                  {60.0, 0.5}}) {
        const double half_span = degrees / geometry::degrees_per_radian, e = 0.05;
        const Path left = arc(800.0, half_span);
        const Closing closing = close_seam(left, parallel(left, e));
        ASSERT_TRUE(closing.found);
        // The closed form is of the first order; the edge is 800 mm round.
        EXPECT_NEAR(closing.largest_gap_mm / e, expected, 5e-5) << degrees;
        EXPECT_GE(closing.least_gap_mm, -1e-6);
        EXPECT_NEAR(uniform_mismatch_part(2.0 * half_span), expected, 1e-12);
        // Along the mean normal, which is square to the chord here.
        const Point middle = closing.motion.moved({0.0, 0.0});
        EXPECT_NEAR(middle.x, 0.0, 0.02 * e);
        EXPECT_NEAR(middle.y, e, 0.6 * e);
    }
}

TEST(CloseSeam, TheSameOnAWaveAndHalfOfIt) {
    // check_values.csv: a sine of 60 mm half height and 1200 mm length, 0.045971783621535 e over a whole wave.
    const Path left = wave(60.0, 1200.0, 1200.0);
    const double e = 0.02;
    const Closing whole = close_seam(left, parallel(left, e));
    ASSERT_TRUE(whole.found);
    EXPECT_NEAR(whole.largest_gap_mm / e, 0.045971783621535, 1e-4);
    EXPECT_GE(whole.least_gap_mm, -1e-6);
    // From crest to trough it turns through half of that: pushed along its own mean normal it closes four times better.
    const Path half = geometry::part(left, 0.25 * geometry::length_mm(left), 0.75 * geometry::length_mm(left));
    const Closing quarter = close_seam(half, parallel(half, e));
    ASSERT_TRUE(quarter.found);
    const double span = assembly(half).normals_span_rad;
    EXPECT_NEAR(quarter.largest_gap_mm / e, uniform_mismatch_part(span), 1e-4);
    EXPECT_NEAR(uniform_mismatch_part(span), 0.0115598, 1e-5);
}

TEST(CloseSeam, AShiftOfTheWholeEdgeClosesExactly) {
    // An eccentric guide with the router kept in one orientation shifts the whole edge (check_values.csv: residual 0).
    const Path left = wave(40.0, 900.0, 1500.0);
    for (const Point by : {Point{0.3, -0.4}, Point{-0.8, 0.1}, Point{0.0, 0.5}}) {
        const Closing closing = close_seam(left, shifted(left, by));
        ASSERT_TRUE(closing.found);
        EXPECT_LT(closing.largest_gap_mm, 1e-6);
        EXPECT_GE(closing.least_gap_mm, -1e-6);
        EXPECT_NEAR(closing.motion.shift.x, -by.x, 1e-4);
        EXPECT_NEAR(closing.motion.shift.y, -by.y, 1e-4);
        EXPECT_NEAR(closing.motion.turn_rad, 0.0, 1e-7);
    }
}

TEST(CloseSeam, AShiftAndATurnCloseExactly) {
    const Path left = wave(40.0, 900.0, 1500.0);
    const RigidMotion apart{{700.0, 20.0}, 0.004, {1.0, -3.0}};
    const Closing closing = close_seam(left, apart.moved(left));
    ASSERT_TRUE(closing.found);
    EXPECT_LT(closing.largest_gap_mm, 1e-6);
    EXPECT_NEAR(closing.motion.turn_rad, -0.004, 1e-7);
}

TEST(CloseSeam, StraightEdgesAreNotSlidAbout) {
    const Path left{{geometry::line({0, 0}, {1200, 0})}, false};
    const Closing closing = close_seam(left, shifted(left, {0.0, -0.7}));
    ASSERT_TRUE(closing.found);
    EXPECT_LT(closing.largest_gap_mm, 1e-7);
    EXPECT_NEAR(closing.motion.shift.x, 0.0, 1e-6);
    EXPECT_NEAR(closing.motion.shift.y, 0.7, 1e-6);
}

TEST(CloseSeam, ABumpHoldsTheEdgesApart) {
    // A proud bump of 0.2 mm in the middle of a straight edge: nothing but its own height is left, half at each side
    // when the edges may lean on it; they lie against each other at an end and on the bump.
    std::vector<Point> points;
    for (int i = 0; i <= 1000; ++i) {
        const double x = i, bump = std::abs(x - 500.0) < 30.0 ? 0.1 * (1.0 + std::cos(pi * (x - 500.0) / 30.0)) : 0.0;
        points.push_back({x, bump});
    }
    const Path right = geometry::polyline(points);
    const Path left{{geometry::line({0, 0}, {1000, 0})}, false};
    // The right piece lies below; its bump reaches up into the left one by 0.2 mm.
    const Closing closing = close_seam(left, right);
    ASSERT_TRUE(closing.found);
    EXPECT_NEAR(closing.largest_gap_mm, 0.2, 1e-3);
    EXPECT_GE(closing.least_gap_mm, -1e-6);
    EXPECT_FALSE(closing.touches_mm.empty());
}

TEST(CloseSeam, NothingThatIsNoPairIsClosed) {
    const Path left{{geometry::line({0, 0}, {1000, 0})}, false};
    EXPECT_FALSE(close_seam(left, {}).found);
    EXPECT_FALSE(close_seam(left, geometry::reversed(left)).found);
    EXPECT_FALSE(close_seam(left, shifted(left, {0.0, -300.0})).found);
    EXPECT_THROW(close_seam(left, left, 0.0), std::invalid_argument);
}

/// The best largest gap over a fine search of shifts and turns, with first-order gaps: brute force.
double by_search(const std::vector<double>& gap, const std::vector<Point>& normal, const std::vector<Point>& at,
                 double reach) {
    // For a turn and a shift along x, the best shift along y follows from the limits it sets; all three are searched.
    const auto worst = [&](double vx, double vy, double turn) {
        double low = 1e9, high = -1e9;
        for (std::size_t i = 0; i < gap.size(); ++i) {
            const double g = gap[i] + geometry::dot(normal[i], Point{vx, vy} + turn * geometry::left_of(at[i]));
            low = std::fmin(low, g);
            high = std::fmax(high, g);
        }
        return low < 0.0 ? 1e6 - low : high;
    };
    double best = 1e9, bx = 0.0, by = 0.0, bt = 0.0, span = reach;
    for (int round = 0; round < 60; ++round) {
        double nx = bx, ny = by, nt = bt;
        constexpr int steps = 4;
        for (int i = -steps; i <= steps; ++i)
            for (int j = -steps; j <= steps; ++j)
                for (int k = -steps; k <= steps; ++k) {
                    const double x = bx + span * i / steps, y = by + span * j / steps,
                                 t = bt + span * k / steps / 300.0;
                    const double value = worst(x, y, t);
                    if (value < best) {
                        best = value;
                        nx = x;
                        ny = y;
                        nt = t;
                    }
                }
        const bool moved = nx != bx || ny != by || nt != bt;
        bx = nx;
        by = ny;
        bt = nt;
        if (!moved) span *= 0.6;
    }
    return best;
}

RC_GTEST_PROP(CloseSeam, IsNoWorseThanASearchAndLetsNothingIn, ()) {
    const auto seed = *rc::gen::arbitrary<std::uint32_t>();
    std::mt19937 random(seed);
    const auto between = [&](double a, double b) { return a + (b - a) * static_cast<double>(random()) / 4294967296.0; };
    curves::Pins pins;
    const int count = 3 + static_cast<int>(random() % 4);
    for (int i = 0; i < count; ++i) pins.points.push_back({600.0 * i / (count - 1), between(-50.0, 50.0)});
    const auto drawn = curves::draw(pins);
    RC_PRE(std::holds_alternative<curves::Drawn>(drawn));
    const auto& line = std::get<curves::Drawn>(drawn);
    RC_PRE(!line.tightest_left || line.tightest_left->radius_mm > 60.0);
    RC_PRE(!line.tightest_right || line.tightest_right->radius_mm > 60.0);
    const Path& left = line.path;
    // The other edge: a parallel, shifted and turned a little, as worn cutters and eccentric guides leave it.
    const RigidMotion apart{{300.0, 0.0}, between(-2e-4, 2e-4), {between(-0.1, 0.1), between(-0.1, 0.1)}};
    const Path right = apart.moved(parallel(left, between(-0.15, 0.15)));
    const Closing closing = close_seam(left, right, 4.0);
    RC_ASSERT(closing.found);
    RC_ASSERT(closing.least_gap_mm >= -1e-6);
    RC_ASSERT(closing.largest_gap_mm >= 0.0);

    const Path moved = geometry::extended(closing.motion.moved(right), 40.0, 40.0);
    const geometry::PathIndex index(moved);
    const auto running = geometry::running_length_mm(left);
    // No penetration anywhere, at places that the method did not use.
    for (int i = 0; i <= 400; ++i) {
        const auto s = geometry::station_at(left, running, running.back() * i / 400.0);
        const Point p = geometry::point_at(left, s);
        const auto near = index.nearest(p);
        const double gap = std::copysign(
            near.distance_mm, geometry::dot(near.point - p, geometry::right_of(geometry::tangent_at(moved, near.at))));
        RC_ASSERT(gap >= -1.5e-6);
        RC_ASSERT(gap <= closing.largest_gap_mm + 1e-5);
    }
    // A search by brute force about the answer finds nothing better. Places on both edges, each against the other one
    // run on straight: the ends do not lie abreast of each other.
    std::vector<double> gap;
    std::vector<Point> normal, at;
    const auto compare = [&](double gap_mm, Point n, Point on_right) {
        gap.push_back(gap_mm);
        normal.push_back(n);
        at.push_back(on_right - Point{300.0, 0.0});
    };
    const Path right_there = closing.motion.moved(right), left_on = geometry::extended(left, 40.0, 40.0);
    const geometry::PathIndex left_index(left_on);
    const auto right_running = geometry::running_length_mm(right_there);
    for (int i = 0; i <= 100; ++i) {
        const Point l = geometry::point_at(left, geometry::station_at(left, running, running.back() * i / 100.0));
        const auto to_right = index.nearest(l);
        const Point n = geometry::right_of(geometry::tangent_at(moved, to_right.at));
        compare(geometry::dot(to_right.point - l, n), n, to_right.point);
        const Point r = geometry::point_at(
            right_there, geometry::station_at(right_there, right_running, right_running.back() * i / 100.0));
        const auto to_left = left_index.nearest(r);
        const Point m = geometry::right_of(geometry::tangent_at(left_on, to_left.at));
        compare(geometry::dot(r - to_left.point, m), m, r);
    }
    const double searched = by_search(gap, normal, at, 0.05);
    RC_ASSERT(closing.largest_gap_mm <= searched + 2e-4 + 0.02 * searched);
}

TEST(Assembly, AGentleSeamSlidesHomeAlongItsMeanNormal) {
    const double half_span = 30.0 / geometry::degrees_per_radian;
    const Assembly way = assembly(arc(500.0, half_span));
    ASSERT_TRUE(way.possible);
    EXPECT_NEAR(way.normals_span_rad, 2.0 * half_span, 1e-9);
    // The left piece lies above the arc, so the right one comes from below, straight up.
    EXPECT_NEAR(std::remainder(way.best_rad - 0.5 * pi, 2.0 * pi), 0.0, 1e-9);
    EXPECT_NEAR(way.to_rad - way.from_rad, pi - 2.0 * half_span, 1e-9);
    EXPECT_TRUE(way.hooks.empty());
    const double jam = 20.0 / geometry::degrees_per_radian;
    EXPECT_NEAR(assembly(arc(500.0, half_span), jam).to_rad - assembly(arc(500.0, half_span), jam).from_rad,
                pi - 2.0 * half_span - 2.0 * jam, 1e-9);
}

TEST(Assembly, ASeamThatTurnsTooFarHooks) {
    const double half_span = 100.0 / geometry::degrees_per_radian;
    const Path seam = arc(100.0, half_span);
    const Assembly way = assembly(seam);
    EXPECT_FALSE(way.possible);
    ASSERT_EQ(way.hooks.size(), 2u);
    for (const auto& hook : way.hooks) {
        EXPECT_NEAR(hook.by_rad, 10.0 / geometry::degrees_per_radian, 1e-9);
        EXPECT_NEAR(hook.to_mm - hook.from_mm, 100.0 * 10.0 / geometry::degrees_per_radian, 1e-6);
    }
    EXPECT_NEAR(way.hooks[0].from_mm, 0.0, 1e-9);
    EXPECT_NEAR(way.hooks[1].to_mm, geometry::length_mm(seam), 1e-6);
}

TEST(Assembly, AnInlayGoesInFromAboveOnly) {
    curves::Oval oval;
    oval.length_mm = 300.0;
    oval.width_mm = 200.0;
    const Path path = std::get<curves::Drawn>(curves::draw(oval)).path;
    EXPECT_FALSE(assembly(path).possible);
    // A ring and the opening cut for it with a little play close to that play.
    const Closing closing = close_seam(path, parallel(path, 0.1));
    ASSERT_TRUE(closing.found);
    EXPECT_NEAR(closing.largest_gap_mm, 0.1, 1e-3);
}

}  // namespace
}  // namespace seamwright::seam
