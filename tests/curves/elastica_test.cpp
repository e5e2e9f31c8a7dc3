#include "curves/elastica.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <limits>
#include <stdexcept>

#include "check_values.h"
#include "curves/bending.h"
#include "geometry/path_index.h"

namespace seamwright::curves {
namespace {

using geometry::pi;
using testing::check_values;
using testing::input;

double part(double low, double high) {
    return low + (high - low) * *rc::gen::inRange(0, 1000001) / 1e6;
}

SprungStick sprung(const SprungWish& wish) {
    const auto result = sprung_stick(wish);
    if (const auto* problem = std::get_if<CurveProblem>(&result)) throw std::runtime_error(problem->reason);
    return std::get<SprungStick>(result);
}

std::string refused(const SprungWish& wish) {
    const auto result = sprung_stick(wish);
    const auto* problem = std::get_if<CurveProblem>(&result);
    if (problem == nullptr) return "sprung after all";
    EXPECT_FALSE(problem->remedy.empty());
    return problem->reason;
}

/// The number after "(printed " in the inputs of a row.
double printed(const testing::CheckValue& row) {
    const std::size_t at = row.inputs.find("(printed ");
    if (at == std::string::npos) throw std::runtime_error("nothing printed in " + row.inputs);
    return std::stod(row.inputs.substr(at + 9));
}

// --- published tables -----------------------------------------------------------------------------------------------

// check_values.csv: Timoshenko & Gere, Theory of Elastic Stability, table of the buckled column (from memory, verified
// numerically; printed to three decimals).
TEST(ElasticaArch, TableOfTheBuckledColumn) {
    int rows = 0;
    for (const auto& row : check_values("elastica_pinned_strip")) {
        if (row.inputs.find("alpha=") == std::string::npos) continue;
        const ElasticaArch arch = elastica_arch(std::sin(0.5 * input(row, "alpha") / geometry::degrees_per_radian));
        EXPECT_NEAR(arch.end_slope_rad * geometry::degrees_per_radian, input(row, "alpha"), 1e-12);
        double value = 0.0;
        if (row.quantity == "P/Pcr") {
            value = arch.force;
        } else if (row.quantity.rfind("chord", 0) == 0) {
            value = arch.chord;
        } else {
            value = 2.0 * arch.rise;  // of the half of the strip, clamped at the crest
        }
        EXPECT_NEAR(value, row.value, 1e-11) << row.quantity << " at " << row.inputs;
        EXPECT_NEAR(value, printed(row), 0.0016) << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 27);
}

// check_values.csv: chord/L = 2E/K − 1, sag/L = k/K, κL = 4kK (Euler 1744; Love).
TEST(SprungStick, TableByChordOverLength) {
    int rows = 0;
    for (const auto& row : check_values("elastica_pinned_strip")) {
        if (row.inputs.rfind("chord/L=", 0) != 0) continue;
        const SprungStick s = sprung({1500.0 * input(row, "chord/L"), 1500.0, {}});
        const double value =
            row.quantity.rfind("sag", 0) == 0 ? s.rise_mm / s.length_mm : s.largest_curvature * s.length_mm;
        EXPECT_NEAR(value, row.value, 1e-11) << row.quantity << " at " << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 10);
}

// check_values.csv: Bisshopp & Drucker, Quart. Appl. Math. 3 (1945) 272: √(PL²/EI) = K(k) − F(k, φ), where the beam,
// clamped square to the load, is the stretch of the elastica from there to its free end; 5-digit table Mattiasson,
// IJNME 17 (1981) 145 (from memory, verified numerically).
TEST(ElasticaPlace, CantileverUnderADeadLoad) {
    int rows = 0;
    for (const auto& row : check_values("elastica_cantilever")) {
        const double wanted = std::sqrt(input(row, "PL^2/EI"));
        const auto clamp = [](double k) {
            double low = 0.0;
            double high = elastica_arch(k).quarter_period;
            for (int i = 0; i < 100; ++i) {
                const double middle = 0.5 * (low + high);
                (elastica_place(k, middle).heading_rad < 0.5 * pi ? low : high) = middle;
            }
            return 0.5 * (low + high);
        };
        double low = std::sqrt(0.5);
        double high = 1.0 - 1e-12;
        for (int i = 0; i < 100; ++i) {
            const double middle = 0.5 * (low + high);
            (elastica_arch(middle).quarter_period - clamp(middle) < wanted ? low : high) = middle;
        }
        const double k = 0.5 * (low + high);
        const ElasticaPlace foot = elastica_place(k, clamp(k));
        const ElasticaPlace tip = elastica_place(k, elastica_arch(k).quarter_period);
        double value = 0.0;
        if (row.quantity.find("deflection") != std::string::npos) {
            value = (foot.along - tip.along) / wanted;
        } else if (row.quantity.find("shortening") != std::string::npos) {
            value = 1.0 - (tip.across - foot.across) / wanted;
        } else {
            value = tip.heading_rad - 0.5 * pi;
        }
        EXPECT_NEAR(value, row.value, 1e-9) << row.quantity << " at " << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 30);
}

// θ'' = −sin θ, by the classic Runge-Kutta rule in long double.
TEST(ElasticaPlace, ObeysItsDifferentialEquation) {
    for (const double k : {0.0, 1e-9, 0.1, 0.5, 0.7071, 0.9, 0.999}) {
        struct State {
            long double th, w, x, y;
        };
        const auto by = [](const State& s) { return State{s.w, -std::sin(s.th), std::cos(s.th), std::sin(s.th)}; };
        const auto plus = [](const State& s, long double h, const State& d) {
            return State{s.th + h * d.th, s.w + h * d.w, s.x + h * d.x, s.y + h * d.y};
        };
        State s{0.0L, 2.0L * static_cast<long double>(k), 0.0L, 0.0L};
        constexpr long double h = 0.001L;
        for (int i = 0; i <= 6000; ++i) {
            if (i % 500 == 0) {
                for (const double side : {1.0, -1.0}) {
                    const ElasticaPlace at = elastica_place(k, side * i * 0.001);
                    EXPECT_NEAR(at.along, side * static_cast<double>(s.x), 1e-11) << k << " " << i;
                    EXPECT_NEAR(at.across, static_cast<double>(s.y), 1e-11) << k << " " << i;
                    EXPECT_NEAR(at.heading_rad, side * static_cast<double>(s.th), 1e-11) << k << " " << i;
                    EXPECT_NEAR(at.curvature, static_cast<double>(s.w), 1e-11) << k << " " << i;
                }
            }
            const State a = by(s);
            const State b = by(plus(s, h / 2, a));
            const State c = by(plus(s, h / 2, b));
            const State d = by(plus(s, h, c));
            s = plus(plus(plus(plus(s, h / 6, a), h / 3, b), h / 3, c), h / 6, d);
        }
    }
}

// --- two of three ---------------------------------------------------------------------------------------------------

RC_GTEST_PROP(SprungStick, AnyTwoGiveTheThird, ()) {
    const double length = part(50.0, 4000.0);
    const SprungStick s = sprung({length * part(0.2, 0.9999), length, {}});
    const SprungStick by_rise = sprung({s.chord_mm, {}, s.rise_mm});
    RC_ASSERT(std::abs(by_rise.length_mm - length) <= 1e-10 * length);
    RC_ASSERT(std::abs(by_rise.end_slope_rad - s.end_slope_rad) <= 1e-9);
    // Length and rise leave two; the flatter one is taken (chord above 0.28 of the length: where k/K is greatest).
    if (s.chord_mm > 0.3 * length) {
        const SprungStick by_length = sprung({{}, length, s.rise_mm});
        RC_ASSERT(std::abs(by_length.chord_mm - s.chord_mm) <= 1e-7 * length);
    }
    RC_ASSERT(s.force_share > 1.0);
    RC_ASSERT(std::abs(s.largest_curvature * s.tightest_radius_mm - 1.0) <= 1e-12);
}

// A shallow stick is half a sine wave: L − c = π² h²/4c, R = c²/π²h (Euler's buckled column; common to all texts).
TEST(SprungStick, ShallowIsHalfASine) {
    const SprungStick s = sprung({1200.0, {}, 6.0});
    EXPECT_NEAR(s.length_mm - 1200.0, pi * pi * 36.0 / (4.0 * 1200.0), 1e-5);
    EXPECT_NEAR(s.tightest_radius_mm, 1200.0 * 1200.0 / (pi * pi * 6.0), 2.5);
    EXPECT_NEAR(s.force_share, 1.0, 1e-4);
}

TEST(SprungStick, RefusesWhatCannotBe) {
    EXPECT_NE(refused({1200.0, 1200.0, {}}).find("cannot bow"), std::string::npos);
    EXPECT_NE(refused({1200.0, 1100.0, {}}).find("1100"), std::string::npos);
    EXPECT_NE(refused({1200.0, {}, {}}).find("two of"), std::string::npos);
    EXPECT_NE(refused({1200.0, 1300.0, 100.0}).find("two of"), std::string::npos);
    EXPECT_NE(refused({1.0, 1300.0, {}}).find("apart"), std::string::npos);
    // k/K is at most 0.40314 (found by the same formula as the table of the buckled column; its printed maximum is
    // 0.803/2 at 120°).
    EXPECT_NE(refused({{}, 1000.0, 404.0}).find("403.1"), std::string::npos);
    EXPECT_NE(refused({1000.0, {}, 1e6}).find("ends meet"), std::string::npos);
    EXPECT_NE(refused({1000.0, {}, 1e-5}).find("too small"), std::string::npos);
    EXPECT_NE(refused({{}, 1000.0, 1e-5}).find("too small"), std::string::npos);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_NE(refused({nan, 1200.0, {}}).find("chord"), std::string::npos);
    EXPECT_NE(refused({1000.0, -1.0, {}}).find("length"), std::string::npos);
    EXPECT_NE(refused({1000.0, {}, 1e300}).find("rise"), std::string::npos);
    EXPECT_THROW(elastica_arch(1.0), std::invalid_argument);
    EXPECT_THROW(elastica_place(-0.1, 0.0), std::invalid_argument);
    EXPECT_THROW(elastica_place(nan, 0.0), std::invalid_argument);
}

// --- drawn out ------------------------------------------------------------------------------------------------------

RC_GTEST_PROP(DrawSprung, KeepsItsPinsLengthRiseAndBound, ()) {
    const Point from{part(-500.0, 500.0), part(-500.0, 500.0)};
    const Point along = geometry::unit(part(-pi, pi));
    const double chord = part(200.0, 2400.0);
    const bool left = *rc::gen::arbitrary<bool>();
    const double rise = chord * part(0.01, 1.2);
    const auto result = draw_sprung({from, from + chord * along, {}, left ? rise : -rise});
    RC_ASSERT(std::holds_alternative<Drawn>(result));
    const Drawn& d = std::get<Drawn>(result);
    RC_ASSERT(d.bound_mm <= 0.002);
    const SprungStick s = sprung({chord, {}, rise});
    RC_ASSERT(geometry::distance(d.path.start(), from) <= 1e-9 * chord);
    RC_ASSERT(geometry::distance(d.path.end(), from + chord * along) <= 1e-9 * chord);
    RC_ASSERT(std::abs(geometry::length_mm(d.path) - s.length_mm) <= 1e-3);
    const Point up = left ? geometry::left_of(along) : -geometry::left_of(along);
    const auto top = geometry::farthest(d.path, up);
    RC_ASSERT(std::abs(dot(top.point - from, up) - rise) <= 0.0021);
    const auto& tightest = left ? d.tightest_right : d.tightest_left;
    RC_ASSERT(tightest.has_value());
    RC_ASSERT(std::abs(tightest->radius_mm / s.tightest_radius_mm - 1.0) <= 1e-9);
    RC_ASSERT(!(left ? d.tightest_left : d.tightest_right));
    const auto curve = s.curve(from, geometry::heading(along), left);
    const geometry::PathIndex index(d.path);
    for (int i = 0; i <= 300; ++i)
        RC_ASSERT(index.distance_mm(curve.point(s.length_mm * i / 300.0)) <= d.bound_mm + 1e-9);
    RC_ASSERT(std::abs(geometry::wrap_pi(curve.heading_rad(0.0) - geometry::heading(along)) -
                       (left ? s.end_slope_rad : -s.end_slope_rad)) <= 1e-9);
}

// One of the kinds of curve that draw() knows.
TEST(DrawSprung, AsACurve) {
    const Curve curve = Sprung{{0.0, 0.0}, {950.0, 0.0}, 1000.0, {}};
    const auto result = draw(curve);
    ASSERT_TRUE(std::holds_alternative<Drawn>(result));
    // check_values.csv, elastica_pinned_strip by chord/length: 0.95 rises by 0.1401106 of the length.
    const double rise_mm = geometry::bounding_box(std::get<Drawn>(result).path).high.y;
    EXPECT_NEAR(rise_mm, 140.1106, 0.0021);
}

RC_GTEST_PROP(SprungRiseThrough, ThePlaceLiesOnTheStick, ()) {
    const Point from{part(-500.0, 500.0), part(-500.0, 500.0)};
    const Point along = geometry::unit(part(-pi, pi));
    const double chord = part(200.0, 2400.0);
    const Point to = from + chord * along;
    const double rise = chord * part(0.005, 1.1) * (*rc::gen::arbitrary<bool>() ? 1.0 : -1.0);
    const SprungStick s = sprung({chord, {}, std::abs(rise)});
    const auto curve = s.curve(from, geometry::heading(along), rise > 0.0);
    const Point place = curve.point(s.length_mm * part(0.1, 0.9));
    // Where the stick overhangs its ends, a place beside it has no stick that lies above it.
    RC_PRE(dot(place - from, along) > 0.02 * chord);
    RC_PRE(dot(place - from, along) < 0.98 * chord);
    RC_ASSERT(std::abs(sprung_rise_through(from, to, place) - rise) <= 1e-7 * chord);
}

TEST(SprungRiseThrough, OnTheChordAndFarAway) {
    EXPECT_EQ(sprung_rise_through({0.0, 0.0}, {1000.0, 0.0}, {300.0, 0.0}), 0.0);
    EXPECT_NEAR(sprung_rise_through({0.0, 0.0}, {1000.0, 0.0}, {500.0, -9000.0}), -1000.0 * most_sprung_rise, 1e-6);
    EXPECT_NEAR(sprung_rise_through({0.0, 0.0}, {1000.0, 0.0}, {500.0, 80.0}), 80.0, 1e-9);
    EXPECT_THROW(sprung_rise_through({1.0, 1.0}, {1.0, 1.0}, {2.0, 2.0}), std::invalid_argument);
}

TEST(DrawSprung, ByLengthAndRefusals) {
    const auto result = draw_sprung({{0.0, 0.0}, {1000.0, 0.0}, -1100.0, {}});
    ASSERT_TRUE(std::holds_alternative<Drawn>(result));
    EXPECT_NEAR(geometry::length_mm(std::get<Drawn>(result).path), 1100.0, 1e-3);
    EXPECT_LT(geometry::bounding_box(std::get<Drawn>(result).path).low.y, -150.0);
    const auto why = [](const Sprung& s) {
        const auto r = draw_sprung(s);
        const auto* problem = std::get_if<CurveProblem>(&r);
        return problem == nullptr ? std::string("drawn after all") : problem->reason;
    };
    EXPECT_NE(why({{0.0, 0.0}, {0.0, 0.0}, 100.0, {}}).find("same place"), std::string::npos);
    EXPECT_NE(why({{0.0, 0.0}, {100.0, 0.0}, {}, {}}).find("length or by its rise"), std::string::npos);
    EXPECT_NE(why({{0.0, 0.0}, {100.0, 0.0}, 120.0, 10.0}).find("length or by its rise"), std::string::npos);
    EXPECT_NE(why({{0.0, 0.0}, {1e300, 0.0}, 120.0, {}}).find("usable"), std::string::npos);
    EXPECT_NE(why({{0.0, 0.0}, {100.0, 0.0}, 90.0, {}}).find("no longer"), std::string::npos);
}

// --- thickness and radius -------------------------------------------------------------------------------------------

TEST(Bending, ThicknessAndRadius) {
    // A 6 mm stick allowed 0.4 %: 750 mm.
    EXPECT_NEAR(smallest_radius_mm(6.0, 0.004), 750.0, 1e-10);
    EXPECT_NEAR(greatest_thickness_mm(750.0, 0.004), 6.0, 1e-12);
    EXPECT_NEAR(skin_strain(6.0, 750.0), 0.004, 1e-15);
    EXPECT_EQ(skin_strain(6.0, HUGE_VAL), 0.0);
    for (const double bad : {0.0, -1.0, std::numeric_limits<double>::quiet_NaN()}) {
        EXPECT_THROW(smallest_radius_mm(bad, 0.004), std::invalid_argument);
        EXPECT_THROW(smallest_radius_mm(6.0, bad), std::invalid_argument);
        EXPECT_THROW(greatest_thickness_mm(bad, 0.004), std::invalid_argument);
        EXPECT_THROW(greatest_thickness_mm(750.0, bad), std::invalid_argument);
        EXPECT_THROW(skin_strain(bad, 750.0), std::invalid_argument);
        EXPECT_THROW(skin_strain(6.0, bad), std::invalid_argument);
    }
}

}  // namespace
}  // namespace seamwright::curves
