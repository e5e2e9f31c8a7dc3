#include "curves/stick.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <functional>
#include <limits>
#include <stdexcept>

#include "check_values.h"
#include "curves/clothoid.h"
#include "geometry/path_index.h"

namespace seamwright::curves {
namespace {

using geometry::pi;
using testing::check_values;
using testing::input;

double part(double low, double high) {
    return low + (high - low) * *rc::gen::inRange(0, 1000001) / 1e6;
}

Stick held(const std::variant<Stick, StickEscape>& result) {
    if (const auto* escape = std::get_if<StickEscape>(&result))
        throw std::runtime_error("escapes at span " + std::to_string(escape->span));
    return std::get<Stick>(result);
}

std::vector<Point> around(int n, double radius_mm) {
    std::vector<Point> pins;
    for (int i = 0; i < n; ++i) pins.push_back(radius_mm * geometry::unit(2.0 * pi * i / n));
    return pins;
}

/// Pins as a maker sets them: a row that wanders, one step after the other.
std::vector<Point> a_row(int least = 3, int most = 20) {
    const int n = *rc::gen::inRange(least, most + 1);
    std::vector<Point> pins;
    for (int i = 0; i < n; ++i) pins.push_back({150.0 * i + part(-50.0, 50.0), part(-70.0, 70.0)});
    return pins;
}

/// A closed row about a middle, by which the stick surely goes once around.
std::vector<Point> a_ring(int least = 6, int most = 14) {
    const int n = *rc::gen::inRange(least, most + 1);
    std::vector<Point> pins;
    for (int i = 0; i < n; ++i)
        pins.push_back(part(450.0, 550.0) * geometry::unit(2.0 * pi * (i + part(-0.15, 0.15)) / n));
    return pins;
}

/// What must hold of any stick at rest.
void expect_at_rest(const std::vector<Point>& pins, const Stick& s) {
    const std::size_t n = pins.size();
    double length = s.length_mm();
    for (std::size_t i = 0; i < s.spans.size(); ++i) {
        const StickSpan& span = s.spans[i];
        const Point next_pin = pins[(i + 1) % n];
        RC_ASSERT(geometry::distance(span.start, pins[i]) == 0.0);
        RC_ASSERT(geometry::distance(span.point(span.length_mm), next_pin) <= 1e-11 * length);
        RC_ASSERT(std::abs(span.curvature(span.length_mm) - span.curvature1) * length <= 1e-9);
        if (i + 1 == s.spans.size() && !s.closed) continue;
        const StickSpan& next = s.spans[(i + 1) % s.spans.size()];
        const double turn = geometry::wrap_pi(next.heading_rad - span.heading(span.length_mm));
        RC_ASSERT(std::abs(turn) <= 1e-10);
        RC_ASSERT(std::abs(next.curvature0 - span.curvature1) * length <= 1e-8);
    }
}

// --- published values -----------------------------------------------------------------------------------------------

// check_values.csv, mec_circle_defect: rectangular-elastica stretches with chord angle π/N.
TEST(Stick, MissesTheCircleByWhatItMust) {
    int rows = 0;
    for (const auto& row : check_values("mec_circle_defect")) {
        if (row.inputs.rfind("N=", 0) != 0) continue;
        const Stick s = held(stick(around(static_cast<int>(input(row, "N")), 600.0), true));
        for (const StickSpan& span : s.spans) {
            const Point middle = span.point(0.5 * span.length_mm);
            EXPECT_NEAR(geometry::norm(middle) / 600.0 - 1.0, row.value, 1e-12) << row.inputs;
        }
        ++rows;
    }
    EXPECT_EQ(rows, 5);
}

double constant(const std::string& quantity) {
    return check_values("elastica_rectangular", quantity).at(0).value;
}

// check_values.csv, elastica_rectangular (Euler 1744; lemniscate constants of Gauss): a stick free at both ends over
// three pins set to the proportions of the full arch is that arch, straight at the outer pins and square to their
// chord.
TEST(Stick, IsTheRectangularElastica) {
    const double depth = 500.0;
    const double chord = constant("chord / depth") * depth;
    const Stick s = held(stick({{0.0, 0.0}, {0.5 * chord, -depth}, {chord, 0.0}}, false));
    EXPECT_NEAR(s.length_mm() / chord, constant("arc length / chord"), 1e-10);
    EXPECT_NEAR(s.bending_per_mm * chord, constant("bending energy int kappa^2 ds times chord"), 1e-10);
    EXPECT_NEAR(s.bending_per_mm * chord / (2.0 * pi), constant("energy ratio to semicircle"), 1e-10);
    ASSERT_TRUE(s.tightest);
    EXPECT_NEAR(chord / s.tightest->radius_mm, constant("max curvature times chord"), 1e-10);
    EXPECT_NEAR(s.tightest->at.x, 0.5 * chord, 1e-6);
    EXPECT_TRUE(s.tightest->turns_left);
    EXPECT_NEAR(s.spans[0].heading_rad, -0.5 * pi, 1e-10);
    EXPECT_NEAR(s.spans[0].curvature0 * chord, 0.0, 1e-10);
    EXPECT_NEAR(s.spans[0].length_mm / depth, constant("half-arch length / depth"), 1e-10);
    EXPECT_NEAR(s.spans[0].point(s.spans[0].length_mm).x / depth, constant("half-arch half-chord / depth"), 1e-10);
}

// Between two pins the stick lets go when both directions leave the chord square to it (the rectangular elastica has
// its tangents perpendicular to the chord there: check_values.csv, elastica_rectangular).
TEST(Stick, LetsGoBeyondTheRectangularElastica) {
    const std::vector<Point> pins{{0.0, 0.0}, {300.0, 0.0}};
    const auto with = [&](double degrees) {
        const double a = degrees / geometry::degrees_per_radian;
        return stick(pins, false, a, -a);
    };
    EXPECT_NEAR(held(with(89.9999)).length_mm() / 300.0, constant("arc length / chord"), 3e-3);
    ASSERT_TRUE(std::holds_alternative<StickEscape>(with(90.5)));
    const auto escape = std::get<StickEscape>(with(120.0));
    EXPECT_EQ(escape.span, 0U);
    EXPECT_NEAR(std::abs(escape.turn_rad) * geometry::degrees_per_radian, 120.0, 1e-9);
    // An S holds a little further, to 99.6° (found numerically).
    const auto s_shape = [&](double degrees) {
        const double a = degrees / geometry::degrees_per_radian;
        return std::holds_alternative<Stick>(stick(pins, false, a, a));
    };
    EXPECT_TRUE(s_shape(99.0));
    EXPECT_FALSE(s_shape(100.5));
}

// Against the differential equation κ'' = −½ κ³, by the classic Runge-Kutta rule in long double.
TEST(StickSpan, ObeysItsDifferentialEquation) {
    struct Bent {
        double length, curvature, slope;
    };
    for (const Bent& bent : {Bent{1.0, 0.5, 2.0}, Bent{1.0, 3.0, -5.0}, Bent{1.0, 1e-9, 1e-9}, Bent{1.0, 0.0, 6.0},
                             Bent{1.0, 2.6, 0.0}, Bent{1.0, -5.2, 3.0}, Bent{1.0, 0.0, 0.0}, Bent{1.0, 0.0, -25.0}}) {
        const StickSpan span{{}, 0.0, bent.length, bent.curvature, bent.slope, 0.0};
        struct State {
            long double k, g, th, x, y;
        };
        const auto by = [](const State& s) {
            return State{s.g, -0.5L * s.k * s.k * s.k, s.k, std::cos(s.th), std::sin(s.th)};
        };
        const auto plus = [](const State& s, long double h, const State& d) {
            return State{s.k + h * d.k, s.g + h * d.g, s.th + h * d.th, s.x + h * d.x, s.y + h * d.y};
        };
        State s{static_cast<long double>(bent.curvature), static_cast<long double>(bent.slope), 0, 0, 0};
        constexpr int steps = 4000;
        const long double h = static_cast<long double>(bent.length) / steps;
        for (int i = 0; i <= steps; ++i) {
            const double at = bent.length * i / steps;
            if (i % 500 == 0) {
                EXPECT_NEAR(span.curvature(at), static_cast<double>(s.k), 1e-11);
                EXPECT_NEAR(span.heading(at), static_cast<double>(s.th), 1e-11);
                EXPECT_NEAR(span.point(at).x, static_cast<double>(s.x), 1e-11);
                EXPECT_NEAR(span.point(at).y, static_cast<double>(s.y), 1e-11);
            }
            const State a = by(s);
            const State b = by(plus(s, h / 2, a));
            const State c = by(plus(s, h / 2, b));
            const State d = by(plus(s, h, c));
            s = plus(plus(plus(plus(s, h / 6, a), h / 3, b), h / 3, c), h / 6, d);
        }
    }
}

// --- what it is -----------------------------------------------------------------------------------------------------

TEST(Stick, LiesStraightThroughPinsInARow) {
    const Stick s = held(stick({{0.0, 0.0}, {300.0, 400.0}, {450.0, 600.0}, {1200.0, 1600.0}}, false));
    EXPECT_FALSE(s.tightest);
    EXPECT_NEAR(s.length_mm(), 2000.0, 1e-9);
    EXPECT_NEAR(s.bending_per_mm, 0.0, 1e-20);
    EXPECT_NEAR(held(stick({{5.0, 5.0}, {5.0, 105.0}}, false)).length_mm(), 100.0, 1e-12);
}

TEST(Stick, ALittleBendIsTheBeamOfTheHandbook) {
    // A simply supported beam pushed by f in the middle: κ = 12 f / L² there (f = P L³/48EI, M = PL/4; Wood Handbook,
    // FPL-GTR-282, chapter 9, deflection of beams; the case is common to all handbooks). At f/L = 1/4000 the large
    // deflection changes it by less than a millionth.
    const double length = 2000.0;
    const double f = 0.5;
    const Stick s = held(stick({{0.0, 0.0}, {0.5 * length, f}, {length, 0.0}}, false));
    ASSERT_TRUE(s.tightest);
    EXPECT_NEAR(1.0 / s.tightest->radius_mm, 12.0 * f / (length * length), 12.0 * f / (length * length) * 1e-6);
    EXPECT_NEAR(s.tightest->at_mm, 0.5 * length, 1e-3);
    EXPECT_FALSE(s.tightest->turns_left);
}

RC_GTEST_PROP(Stick, RestsFreeAtItsEnds, ()) {
    const auto pins = a_row();
    const Stick s = held(stick(pins, false));
    expect_at_rest(pins, s);
    RC_ASSERT(std::abs(s.spans.front().curvature0) * s.length_mm() <= 1e-9);
    RC_ASSERT(std::abs(s.spans.back().curvature1) * s.length_mm() <= 1e-9);
    RC_ASSERT(s.steps <= 12);
}

RC_GTEST_PROP(Stick, LeavesInGivenDirections, ()) {
    const auto pins = a_row();
    const double start = part(-1.6, 1.6);
    const double end = part(-1.2, 1.2);
    const auto result = stick(pins, false, start, end);
    RC_PRE(std::holds_alternative<Stick>(result));
    const Stick s = std::get<Stick>(result);
    expect_at_rest(pins, s);
    RC_ASSERT(std::abs(geometry::wrap_pi(s.spans.front().heading_rad - start)) <= 1e-12);
    const StickSpan& last = s.spans.back();
    RC_ASSERT(std::abs(geometry::wrap_pi(last.heading(last.length_mm) - end)) <= 1e-9);
}

RC_GTEST_PROP(Stick, ClosesOnItself, ()) {
    const auto pins = a_ring();
    const auto result = stick(pins, true);
    RC_PRE(std::holds_alternative<Stick>(result));
    expect_at_rest(pins, std::get<Stick>(result));
}

RC_GTEST_PROP(Stick, TightestIsTheTightest, ()) {
    const Stick s = held(stick(a_row(), false));
    if (!s.tightest) return;
    const auto curve = s.curve();
    double most = 0.0;
    for (int i = 0; i <= 3000; ++i) most = std::fmax(most, std::abs(curve.curvature(curve.t_end * i / 3000.0)));
    RC_ASSERT(most <= (1.0 + 1e-9) / s.tightest->radius_mm);
    RC_ASSERT(most >= (1.0 - 5e-3) / s.tightest->radius_mm);
    const double there = curve.curvature(s.tightest->at_mm);
    RC_ASSERT(std::abs(std::abs(there) * s.tightest->radius_mm - 1.0) <= 1e-9);
    RC_ASSERT((there > 0.0) == s.tightest->turns_left);
    RC_ASSERT(geometry::distance(curve.point(s.tightest->at_mm), s.tightest->at) <= 1e-8);
}

RC_GTEST_PROP(Stick, RangeOfCurvatureEnclosesIt, ()) {
    const auto curve = held(stick(a_row(), false)).curve();
    double a = part(0.0, curve.t_end);
    double b = part(0.0, curve.t_end);
    if (a > b) std::swap(a, b);
    const auto range = curve.curvature_range(a, b);
    for (int i = 0; i <= 50; ++i) {
        const double k = curve.curvature(a + (b - a) * i / 50.0);
        RC_ASSERT(k >= range.low - 1e-15);
        RC_ASSERT(k <= range.high + 1e-15);
    }
}

/// ∫ κ² ds of the stick shifted sideways by φ, its first and second derivative given, by Simpson's rule over a span.
double shifted_bending(const StickSpan& span, const std::function<void(double, double&, double&, double&)>& shift) {
    constexpr int parts = 400;
    double sum = 0.0;
    for (int i = 0; i <= parts; ++i) {
        const double s = span.length_mm * i / parts;
        double f = 0.0, f1 = 0.0, f2 = 0.0;
        shift(s, f, f1, f2);
        const double k = span.curvature(s);
        // κ' by the first integral's derivative is not needed: a central difference is exact enough for a product
        // with φ, which is small of first order already.
        const double h = 1e-4 * span.length_mm;
        const double k1 = (span.curvature(s + h) - span.curvature(s - h)) / (2.0 * h);
        const double t1 = 1.0 - k * f;
        const double n1 = f1;
        const double t2 = -k1 * f - 2.0 * k * f1;
        const double n2 = k * t1 + f2;
        const double speed2 = t1 * t1 + n1 * n1;
        const double cross = t1 * n2 - n1 * t2;
        const double weight = (i == 0 || i == parts ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0)) * span.length_mm / (3.0 * parts);
        sum += weight * cross * cross / (speed2 * speed2 * std::sqrt(speed2));
    }
    return sum;
}

// Any small displacement that keeps to the pins, smooth across them, raises the bending: with it goes the claim that
// this is where the stick rests.
RC_GTEST_PROP(Stick, AnySmallDisplacementRaisesTheBending, ()) {
    const bool closed = *rc::gen::arbitrary<bool>();
    const auto pins = closed ? a_ring() : a_row(3, 8);
    const auto result = stick(pins, closed);
    RC_PRE(std::holds_alternative<Stick>(result));
    const Stick s = std::get<Stick>(result);
    // Slopes at the pins, and two waves between each pair.
    std::vector<double> slope(pins.size());
    for (double& v : slope) v = part(-1.0, 1.0);
    std::vector<double> bump(2 * s.spans.size());
    for (double& v : bump) v = part(-1.0, 1.0);
    const auto bending = [&](double size) {
        double sum = 0.0;
        for (std::size_t i = 0; i < s.spans.size(); ++i) {
            const double length = s.spans[i].length_mm;
            const double a = size * slope[i] * length;
            const double b = size * slope[(i + 1) % pins.size()] * length;
            sum += shifted_bending(s.spans[i], [&](double at, double& f, double& f1, double& f2) {
                const double u = at / length;
                f = a * u * (1.0 - u) * (1.0 - u) - b * u * u * (1.0 - u);
                f1 = (a * (1.0 - u) * (1.0 - 3.0 * u) - b * u * (2.0 - 3.0 * u)) / length;
                f2 = (a * (6.0 * u - 4.0) - b * (2.0 - 6.0 * u)) / (length * length);
                for (int w = 1; w <= 2; ++w) {
                    const double c = size * bump[2 * i + static_cast<std::size_t>(w) - 1] * length;
                    const double q = pi * w / length;
                    f += c * std::sin(q * at) * std::sin(q * at);
                    f1 += c * q * std::sin(2.0 * q * at);
                    f2 += 2.0 * c * q * q * std::cos(2.0 * q * at);
                }
            });
        }
        return sum;
    };
    double moved = 0.0;
    for (const double v : slope) moved += std::abs(v);
    for (const double v : bump) moved += std::abs(v);
    RC_PRE(moved > 0.01);
    const double rest = bending(0.0);
    RC_ASSERT(std::abs(rest - s.bending_per_mm) <= 1e-6 * s.bending_per_mm + 1e-20);
    constexpr double small = 1e-3;
    const double up = bending(small);
    const double down = bending(-small);
    RC_ASSERT(up > rest);
    RC_ASSERT(down > rest);
    // No part of the change is of first order.
    RC_ASSERT(std::abs(up - down) <= 0.05 * (up + down - 2.0 * rest) + 1e-7 * rest);
}

// --- turned, mirrored, scaled, reversed ------------------------------------------------------------------------------

void expect_same(const Stick& a, const Stick& b, double scale, double sign, const std::function<Point(Point)>& place,
                 bool backwards) {
    RC_ASSERT(std::abs(b.length_mm() - scale * a.length_mm()) <= 1e-10 * scale * a.length_mm());
    RC_ASSERT(std::abs(b.bending_per_mm * scale - a.bending_per_mm) <= 1e-9 * a.bending_per_mm);
    const auto ca = a.curve();
    const auto cb = b.curve();
    for (int i = 0; i <= 40; ++i) {
        const double ta = ca.t_end * i / 40.0;
        const double tb = backwards ? cb.t_end * (40 - i) / 40.0 : cb.t_end * i / 40.0;
        RC_ASSERT(geometry::distance(place(ca.point(ta)), cb.point(tb)) <= 1e-9 * b.length_mm());
        RC_ASSERT(std::abs(cb.curvature(tb) * scale - sign * ca.curvature(ta)) * a.length_mm() <= 1e-7);
    }
}

RC_GTEST_PROP(Stick, GoesAlongWithItsPins, ()) {
    const auto pins = a_row();
    const Stick s = held(stick(pins, false));
    const double turn = part(-pi, pi);
    const double scale = std::exp(part(-3.0, 3.0));
    const auto moved = [&](bool mirror) {
        return [=](Point p) {
            const Point q{p.x, mirror ? -p.y : p.y};
            return Point{scale * (q.x * std::cos(turn) - q.y * std::sin(turn)) + 70.0,
                         scale * (q.x * std::sin(turn) + q.y * std::cos(turn)) - 30.0};
        };
    };
    for (const bool mirror : {false, true}) {
        const auto place = moved(mirror);
        std::vector<Point> there;
        for (const Point p : pins) there.push_back(place(p));
        expect_same(s, held(stick(there, false)), scale, mirror ? -1.0 : 1.0, place, false);
    }
    expect_same(s, held(stick({pins.rbegin(), pins.rend()}, false)), 1.0, -1.0, [](Point p) { return p; }, true);
}

RC_GTEST_PROP(Stick, ClosedStartsAnywhere, ()) {
    const auto pins = a_ring();
    const auto result = stick(pins, true);
    RC_PRE(std::holds_alternative<Stick>(result));
    const Stick& s = std::get<Stick>(result);
    const auto by = *rc::gen::inRange<std::size_t>(1, pins.size());
    std::vector<Point> there;
    for (std::size_t i = 0; i < pins.size(); ++i) there.push_back(pins[(i + by) % pins.size()]);
    const Stick t = held(stick(there, true));
    for (std::size_t i = 0; i < pins.size(); ++i) {
        const StickSpan& a = s.spans[(i + by) % pins.size()];
        RC_ASSERT(std::abs(t.spans[i].length_mm - a.length_mm) <= 1e-9 * a.length_mm);
        RC_ASSERT(std::abs(t.spans[i].curvature0 - a.curvature0) * s.length_mm() <= 1e-7);
    }
}

RC_GTEST_PROP(Stick, DraggedIsTheStickSetAnew, ()) {
    auto pins = a_row();
    const Stick before = held(stick(pins, false));
    const auto pin = *rc::gen::inRange<std::size_t>(0, pins.size());
    pins[pin] = pins[pin] + Point{part(-5.0, 5.0), part(-5.0, 5.0)};
    const Stick dragged = held(stick(pins, false, {}, {}, &before));
    const Stick anew = held(stick(pins, false));
    RC_ASSERT(dragged.steps <= 4);
    expect_same(anew, dragged, 1.0, 1.0, [](Point p) { return p; }, false);
}

// --- no rest --------------------------------------------------------------------------------------------------------

TEST(Stick, SaysWhichPinAndHowFar) {
    // The third pin asks for a turn of 157°.
    const std::vector<Point> pins{{0.0, 0.0}, {300.0, 20.0}, {600.0, 0.0}, {310.0, 120.0}, {0.0, 160.0}};
    const auto result = stick(pins, false);
    ASSERT_TRUE(std::holds_alternative<StickEscape>(result));
    const auto escape = std::get<StickEscape>(result);
    EXPECT_EQ(escape.pin, 2U);
    EXPECT_NEAR(escape.turn_rad * geometry::degrees_per_radian, 161.3, 0.1);
    const auto move = move_that_holds(pins, false, {}, {}, escape.pin);
    ASSERT_TRUE(move);
    EXPECT_GT(move->by_mm, 1.0);
    std::vector<Point> moved = pins;
    moved[2] = move->to;
    EXPECT_TRUE(std::holds_alternative<Stick>(stick(moved, false)));
    moved[2] = pins[2] + 0.9 * (move->to - pins[2]);
    EXPECT_FALSE(std::holds_alternative<Stick>(stick(moved, false))) << "a tenth less is not enough";

    const auto drawn = draw_stick({pins, false, {}, {}});
    const auto* problem = std::get_if<CurveProblem>(&drawn);
    ASSERT_NE(problem, nullptr);
    EXPECT_EQ(problem->element, 2U);
    EXPECT_NE(problem->reason.find("pin 3"), std::string::npos) << problem->reason;
    EXPECT_NE(problem->reason.find("161 degrees"), std::string::npos) << problem->reason;
    EXPECT_NE(problem->remedy.find("Move pin 3 about"), std::string::npos) << problem->remedy;
}

TEST(Stick, WhatNoMoveOfOnePinHelps) {
    EXPECT_FALSE(move_that_holds({{0.0, 0.0}, {300.0, 0.0}}, false, 2.0, -2.0, 0));
    EXPECT_FALSE(move_that_holds({{0.0, 0.0}, {300.0, 0.0}, {0.0, 0.0}}, false, {}, {}, 1));
}

RC_GTEST_PROP(Stick, WildPinsComeToAnEnd, ()) {
    const bool closed = *rc::gen::arbitrary<bool>();
    const int n = *rc::gen::inRange(closed ? 3 : 2, 61);
    std::vector<Point> pins;
    for (int i = 0; i < n; ++i) pins.push_back({part(-1000.0, 1000.0), part(-1000.0, 1000.0)});
    for (int i = 0; i < n; ++i)
        RC_PRE(geometry::distance(pins[static_cast<std::size_t>(i)], pins[static_cast<std::size_t>((i + 1) % n)]) >
               0.0);
    std::optional<double> start, end;
    if (!closed && *rc::gen::arbitrary<bool>()) start = part(-10.0, 10.0);
    if (!closed && *rc::gen::arbitrary<bool>()) end = part(-10.0, 10.0);
    const auto result = stick(pins, closed, start, end);
    if (const auto* s = std::get_if<Stick>(&result)) {
        expect_at_rest(pins, *s);
    } else {
        const auto& escape = std::get<StickEscape>(result);
        RC_ASSERT(escape.pin < pins.size());
        RC_ASSERT(escape.span < pins.size());
        RC_ASSERT(escape.pin == escape.span || escape.pin == (escape.span + 1) % pins.size());
    }
}

TEST(Stick, ExtremesComeToAnEnd) {
    for (const double far : {1e-6, 1.0, 1e6}) {
        for (const double near : {1e-6, 1.0}) {
            // Straight back, nearly straight back, a hair beside the line, a tiny step between long ones.
            for (const auto& pins :
                 std::vector<std::vector<Point>>{{{0.0, 0.0}, {far, 0.0}, {0.5 * far, 0.0}},
                                                 {{0.0, 0.0}, {far, 0.0}, {0.0, 1e-9 * far}},
                                                 {{0.0, 0.0}, {far, 1e-12 * far}, {2.0 * far, 0.0}},
                                                 {{0.0, 0.0}, {far, 0.0}, {far, near}, {0.0, near}}}) {
                for (const bool closed : {false, true}) {
                    const auto result = stick(pins, closed);
                    if (const auto* s = std::get_if<Stick>(&result)) {
                        EXPECT_TRUE(std::isfinite(s->length_mm()));
                    }
                }
            }
        }
    }
}

TEST(Stick, RefusesWhatIsNoRowOfPins) {
    EXPECT_THROW(stick({{0.0, 0.0}}, false), std::invalid_argument);
    EXPECT_THROW(stick({{0.0, 0.0}, {1.0, 0.0}}, true), std::invalid_argument);
    EXPECT_THROW(stick({{0.0, 0.0}, {0.0, 0.0}}, false), std::invalid_argument);
    EXPECT_THROW(stick(around(4, 100.0), true, 0.0), std::invalid_argument);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_THROW(stick({{0.0, 0.0}, {nan, 0.0}}, false), std::invalid_argument);
    EXPECT_THROW(stick({{0.0, 0.0}, {1.0, 0.0}}, false, nan), std::invalid_argument);
    const auto drawn = draw_stick({{{0.0, 0.0}, {0.0, 0.0}}, false, {}, {}});
    EXPECT_NE(std::get<CurveProblem>(drawn).reason.find("same place"), std::string::npos);
}

// --- drawn out ------------------------------------------------------------------------------------------------------

RC_GTEST_PROP(DrawStick, ArcsKeepWithinTwoMicrometres, ()) {
    const auto pins = a_row(3, 10);
    const Stick s = held(stick(pins, false));
    const auto result = draw_stick({pins, false, {}, {}});
    RC_ASSERT(std::holds_alternative<Drawn>(result));
    const Drawn& d = std::get<Drawn>(result);
    RC_ASSERT(d.bound_mm <= 0.002);
    RC_ASSERT(geometry::largest_corner_rad(d.path) <= 1e-6);
    const geometry::PathIndex index(d.path);
    const auto curve = s.curve();
    for (int i = 0; i <= 500; ++i)
        RC_ASSERT(index.distance_mm(curve.point(curve.t_end * i / 500.0)) <= d.bound_mm + 1e-9);
    // Curvature is judged on the curve itself.
    double most = 0.0;
    if (d.tightest_left) most = std::fmax(most, 1.0 / d.tightest_left->radius_mm);
    if (d.tightest_right) most = std::fmax(most, 1.0 / d.tightest_right->radius_mm);
    RC_ASSERT(s.tightest.has_value() == (most > 0.0));
    if (s.tightest) RC_ASSERT(std::abs(most * s.tightest->radius_mm - 1.0) <= 1e-9);
}

TEST(DrawStick, IsWhatAFreeBattenIsDrawnAs) {
    Pins pins{{{0.0, 0.0}, {400.0, 60.0}, {900.0, 20.0}, {1500.0, 90.0}}, false, {}, {}, Batten::free};
    const auto free = std::get<Drawn>(draw(pins));
    EXPECT_EQ(free.path, std::get<Drawn>(draw_stick(pins)).path);
    EXPECT_NEAR(free.curvature.front().curvature, 0.0, 1e-15) << "straight at a free end";
    pins.batten = Batten::even;
    EXPECT_GT(std::abs(std::get<Drawn>(draw(pins)).curvature.front().curvature), 1e-5) << "an arc";
}

TEST(DrawStick, ClosedRing) {
    const auto result = draw_stick({around(8, 600.0), true, {}, {}});
    ASSERT_TRUE(std::holds_alternative<Drawn>(result));
    const Drawn& d = std::get<Drawn>(result);
    EXPECT_TRUE(d.path.closed);
    EXPECT_TRUE(d.inflections_mm.empty());
    EXPECT_LE(geometry::largest_corner_rad(d.path), 1e-6);
    // 0.31 mm outside the circle, as methods.md says of 600 mm and 8 pins.
    EXPECT_NEAR(geometry::area_mm2(d.path), pi * 600.0 * 600.0, 2.0 * pi * 600.0 * 0.31);
    EXPECT_GT(geometry::area_mm2(d.path), pi * 600.0 * 600.0);
}

}  // namespace
}  // namespace seamwright::curves
