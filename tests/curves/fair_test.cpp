#include "curves/fair.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "both_ways.h"
#include "check_values.h"
#include "traces.h"

namespace seamwright::curves {
namespace {

using geometry::pi;
using testing::check_values;
using testing::edge_slope;
using testing::edge_trace;
using testing::edge_y;
using testing::input;

FairCurve fitted(const std::vector<Point>& trace, const FairSettings& settings) {
    auto result = fit_fair(trace, settings);
    if (auto* problem = std::get_if<FairProblem>(&result)) {
        ADD_FAILURE() << problem->reason << " " << problem->widen_mm;
        return {};
    }
    return std::get<FairCurve>(std::move(result));
}

FairProblem refused(const std::vector<Point>& trace, const FairSettings& settings) {
    auto result = fit_fair(trace, settings);
    if (std::holds_alternative<FairCurve>(result)) {
        ADD_FAILURE() << "was not refused";
        return {};
    }
    return std::get<FairProblem>(std::move(result));
}

double rms_from_truth(const FairCurve& curve, double clear_mm) {
    double sum = 0.0;
    int count = 0;
    for (const Clothoid& span : curve.spans) {
        const Point p = span.start;
        if (p.x < clear_mm || p.x > 2400.0 - clear_mm) continue;
        const double off = (p.y - edge_y(p.x)) / std::hypot(1.0, edge_slope(p.x));
        sum += off * off;
        ++count;
    }
    EXPECT_GT(count, 100);
    return std::sqrt(sum / count);
}

double tightest(const FairCurve& curve) {
    double k = 0.0;
    for (const Clothoid& s : curve.spans) k = std::fmax(k, std::fmax(std::abs(s.curvature0), std::abs(s.curvature1)));
    return k;
}

// check_values.csv, circle_reproduction: constant curvature costs nothing (R. Levien, "From Spiral to Spline", 2009).
TEST(Fair, CircleInCircleOut) {
    for (const double radius : {60.0, 600.0, 5000.0}) {
        for (const double turn : {0.4, 2.0, 5.0}) {
            std::vector<Point> trace;
            for (int i = 0; i <= 400; ++i) trace.push_back(radius * geometry::unit(turn * i / 400.0));
            FairSettings settings;
            settings.wave_mm = 0.25 * radius * turn;
            const FairCurve curve = fitted(trace, settings);
            EXPECT_NEAR(curve.length_mm, radius * turn, 1e-9 * radius);
            for (const Clothoid& s : curve.spans) {
                EXPECT_NEAR(s.curvature0 * radius, 1.0, 1e-6);
                EXPECT_NEAR(geometry::norm(s.start), radius, 1e-9 * radius);
            }
        }
    }
}

// Points on a straight line stay a straight line, also where they are few and unevenly spaced.
TEST(Fair, LineInLineOut) {
    const std::vector<Point> trace{{0, 0}, {30, 15}, {80, 40}, {400, 200}, {410, 205}, {1000, 500}};
    const FairCurve curve = fitted(trace, {});
    EXPECT_NEAR(curve.length_mm, std::hypot(1000.0, 500.0), 1e-8);
    EXPECT_LT(tightest(curve), 1e-12);
}

// check_values.csv, mvc_smoother: 1 / (1 + (λc/λ)⁶) in the limit of fine steps, Fourier symbol of the order-6 smoother
// (analytic, verified numerically). Ripples upon a straight edge; forty steps to the wave cost 1e-4 at λ = λc/2.
TEST(Fair, RipplesComeThroughAsTheFormulaSays) {
    int rows = 0;
    for (const auto& row : check_values("mvc_smoother")) {
        const double wave = 150.0 * input(row, "lambda/lc");
        const double height = 0.02;
        std::vector<Point> trace;
        for (int i = 0; i <= 6000; ++i) trace.push_back({0.5 * i, height * std::sin(2.0 * pi * 0.5 * i / wave)});
        const FairCurve curve = fitted(trace, {});
        double in_phase = 0.0;
        double norm = 0.0;
        for (const Clothoid& s : curve.spans) {
            if (s.start.x < 600.0 || s.start.x > 2400.0) continue;
            const double sine = std::sin(2.0 * pi * s.start.x / wave);
            in_phase += s.start.y * sine;
            norm += sine * sine;
        }
        EXPECT_NEAR(in_phase / norm / height, row.value, 2e-3) << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 4);
}

// methods.md §1(d): 2.4 m edge, σ = 0.05 mm, λc = 150 mm; the fair curve lies within 0.02 mm rms of the truth, ends
// excluded. The bound is ours; the experiment it repeats found 0.008 to 0.011 mm.
TEST(Fair, NoisyEdgeComesBack) {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const FairCurve curve = fitted(edge_trace(0.5, 0.05, seed), {});
        EXPECT_LT(rms_from_truth(curve, 75.0), 0.02) << seed;
        EXPECT_NEAR(curve.rms_off_mm, 0.05, 0.005) << seed;
    }
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        const FairCurve curve = fitted(edge_trace(3.0, 0.05, seed), {});
        EXPECT_LT(rms_from_truth(curve, 75.0), 0.02) << seed;
    }
}

// An active bound on the curvature is met to nine digits (methods.md §1(d)) and nowhere overstepped.
TEST(Fair, TightestRadiusIsReachedAndKept) {
    FairSettings settings;
    settings.band_left_mm = settings.band_right_mm = 5.0;
    settings.least_radius_left_mm = 800.0;
    settings.least_radius_right_mm = 700.0;
    const FairCurve curve = fitted(edge_trace(0.5, 0.05, 3), settings);
    double left = 0.0;
    double right = 0.0;
    for (const Clothoid& s : curve.spans) {
        left = std::fmax(left, s.curvature0);
        right = std::fmax(right, -s.curvature0);
    }
    EXPECT_NEAR(left * 800.0, 1.0, 1e-9);
    EXPECT_NEAR(right * 700.0, 1.0, 1e-9);
    EXPECT_LE(left * 800.0, 1.0);
    EXPECT_LE(right * 700.0, 1.0);
    const auto drawn = curve.drawn();
    ASSERT_TRUE(std::holds_alternative<Drawn>(drawn));
    EXPECT_LE(std::get<Drawn>(drawn).bound_mm, 0.002);
    EXPECT_NEAR(std::get<Drawn>(drawn).tightest_left->radius_mm, 800.0, 1e-3);
    EXPECT_LE(testing::seen_both_ways(curve.curve(), geometry::fit_arcs(curve.curve(), 0.002), 10).worst(), 0.002);
}

TEST(Fair, EndsAndPinsAreHeld) {
    FairSettings settings;
    settings.start = {true, 0.0, std::nullopt};
    settings.end = {true, 0.3, std::nullopt};
    settings.pins = {{{600.0, edge_y(600.0) + 0.4}, 0.0}, {{1300.0, edge_y(1300.0) - 1.0}, 0.25}};
    const auto trace = edge_trace(1.0, 0.05, 5);
    const FairCurve curve = fitted(trace, settings);
    const auto path = curve.curve();
    EXPECT_LT(geometry::distance(path.point(path.t_begin), trace.front()), 1e-4);
    EXPECT_LT(geometry::distance(path.point(path.t_end), trace.back()), 1e-4);
    EXPECT_NEAR(path.heading_rad(path.t_begin), 0.0, 1e-5);
    EXPECT_NEAR(path.heading_rad(path.t_end), 0.3, 1e-5);
    EXPECT_LT(testing::distance_to_curve(path, settings.pins[0].at, 500.0, 750.0), 1e-4);
    EXPECT_NEAR(testing::distance_to_curve(path, settings.pins[1].at, 1200.0, 1450.0), 0.25, 1e-4);
}

// The stated widening is the smallest: a little more works, a little less does not.
TEST(Fair, SmallestBandThatWorks) {
    const auto trace = edge_trace(2.0, 0.0, 1);
    FairSettings settings;
    settings.averaged = false;
    settings.band_left_mm = settings.band_right_mm = 0.1;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 700.0;
    const FairProblem problem = refused(trace, settings);
    EXPECT_GT(problem.widen_mm, 0.1);
    ASSERT_FALSE(problem.blocks.empty());
    double shares = 0.0;
    for (const FairBlock& block : problem.blocks) {
        shares += block.share;
        EXPECT_NEAR(geometry::norm(block.move), problem.widen_mm, 1e-9);
        EXPECT_LE(block.from_mm, block.to_mm);
    }
    EXPECT_NEAR(shares, 1.0, 0.05);
    // The tightest bend of the edge, R = 530 mm turning right at its crest near x = 1480, is what stands in the way.
    EXPECT_NEAR(problem.blocks.front().at.x, 1480.0, 20.0);
    EXPECT_LT(problem.blocks.front().move.y, 0.0);
    for (const double part : {1.002, 0.998}) {
        FairSettings again = settings;
        again.band_left_mm = again.band_right_mm = 0.1 + part * problem.widen_mm;
        EXPECT_EQ(std::holds_alternative<FairCurve>(fit_fair(trace, again)), part > 1.0) << part;
    }
}

// Pins that ask for more than the radius gives are named, with the way to move them.
TEST(Fair, BlockingPinIsNamed) {
    std::vector<Point> trace;
    for (int i = 0; i <= 1000; ++i) trace.push_back({1.0 * i, 0.0});
    FairSettings settings;
    settings.band_left_mm = settings.band_right_mm = 6.0;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 2000.0;
    settings.pins = {{{100.0, 0.0}, 0.5}, {{500.0, 5.0}, 0.1}, {{530.0, -5.0}, 0.1}, {{900.0, 0.0}, 0.5}};
    const FairProblem problem = refused(trace, settings);
    ASSERT_GE(problem.blocks.size(), 2U);
    bool second = false;
    bool third = false;
    for (const FairBlock& block : problem.blocks) {
        if (block.pin == 1U) {
            second = true;
            EXPECT_LT(block.move.y, 0.0);
        }
        if (block.pin == 2U) {
            third = true;
            EXPECT_GT(block.move.y, 0.0);
        }
    }
    EXPECT_TRUE(second);
    EXPECT_TRUE(third);
}

TEST(Fair, BadInputIsRefusedWithAReason) {
    const std::vector<Point> good{{0, 0}, {100, 1}, {200, 0}};
    EXPECT_FALSE(refused({{0, 0}, {1, 0}}, {}).remedy.empty());
    EXPECT_NE(refused({{0, 0}, {NAN, 0}, {1, 0}}, {}).reason.find("Point 2"), std::string::npos);
    EXPECT_FALSE(refused({{5, 5}, {5, 5}, {5, 5}}, {}).reason.empty());
    FairSettings s;
    s.wave_mm = 0.0;
    EXPECT_FALSE(refused(good, s).reason.empty());
    s = {};
    s.least_radius_left_mm = -3.0;
    EXPECT_NE(refused(good, s).reason.find("-3"), std::string::npos);
    s = {};
    s.band_left_mm = NAN;
    EXPECT_FALSE(refused(good, s).reason.empty());
    s = {};
    s.pins = {{{1, NAN}, 0.0}};
    EXPECT_FALSE(refused(good, s).reason.empty());
    // A zigzag without any order: some reason, and no crash.
    std::vector<Point> wild;
    testing::Scatter scatter(9);
    for (int i = 0; i < 500; ++i) wild.push_back({1000.0 * scatter.uniform(), 1000.0 * scatter.uniform()});
    const auto result = fit_fair(wild, {});
    if (const auto* problem = std::get_if<FairProblem>(&result)) {
        EXPECT_FALSE(problem->reason.empty());
    }
}

/// A gentle trace of random waves with scatter.
std::vector<Point> any_trace() {
    const auto seed = *rc::gen::inRange<std::uint64_t>(1, 1000000);
    testing::Scatter scatter(seed);
    const double a = 30.0 * scatter.uniform();
    const double l = 500.0 + 700.0 * scatter.uniform();
    const double shift = 6.0 * scatter.uniform();
    std::vector<Point> out;
    for (double x = 0.0; x <= 1500.0; x += 1.0 + 3.0 * scatter.uniform())
        out.push_back({x, a * std::sin(2.0 * pi * x / l + shift) + 0.05 * scatter.normal()});
    return out;
}

std::vector<FairSettings> several_settings() {
    FairSettings plain;
    FairSettings band;
    band.band_left_mm = 0.4;
    band.band_right_mm = 0.3;
    FairSettings radius = band;
    radius.band_left_mm = radius.band_right_mm = 8.0;
    radius.least_radius_left_mm = 900.0;
    radius.least_radius_right_mm = 1100.0;
    return {plain, band, radius};
}

RC_GTEST_PROP(Fair, MovedTurnedAndScaledTheSame, ()) {
    const auto trace = any_trace();
    const double angle = *rc::gen::inRange(-314, 314) / 100.0;
    const double factor = *rc::gen::inRange(1, 50) / 10.0;
    const Point by{1.0 * *rc::gen::inRange(-3000, 3000), 1.0 * *rc::gen::inRange(-3000, 3000)};
    int fits = 0;
    for (FairSettings settings : several_settings()) {
        const auto one = fit_fair(trace, settings);
        std::vector<Point> moved;
        const Point e = geometry::unit(angle);
        for (const Point p : trace) moved.push_back(factor * (p.x * e + p.y * geometry::left_of(e)) + by);
        settings.wave_mm *= factor;
        settings.band_left_mm *= factor;
        settings.band_right_mm *= factor;
        if (settings.least_radius_left_mm) *settings.least_radius_left_mm *= factor;
        if (settings.least_radius_right_mm) *settings.least_radius_right_mm *= factor;
        const auto two = fit_fair(moved, settings);
        RC_ASSERT(one.index() == two.index());
        if (one.index() != 0) continue;
        const auto& a = std::get<FairCurve>(one);
        const auto& b = std::get<FairCurve>(two);
        RC_ASSERT(std::abs(b.length_mm / factor - a.length_mm) < 1e-4);
        for (std::size_t i = 0; i < a.offsets.size(); ++i)
            RC_ASSERT(std::abs(b.offsets[i].off_mm / factor - a.offsets[i].off_mm) < 2e-5);
        ++fits;
    }
    RC_ASSERT(fits >= 2);
}

RC_GTEST_PROP(Fair, MirroredAndReversedTheSame, ()) {
    const auto trace = any_trace();
    int fits = 0;
    for (const FairSettings& settings : several_settings()) {
        const auto one = fit_fair(trace, settings);
        FairSettings other = settings;
        std::swap(other.band_left_mm, other.band_right_mm);
        std::swap(other.least_radius_left_mm, other.least_radius_right_mm);
        std::vector<Point> mirrored;
        for (const Point p : trace) mirrored.push_back({p.x, -p.y});
        const auto two = fit_fair(mirrored, other);
        const auto three = fit_fair(std::vector<Point>(trace.rbegin(), trace.rend()), other);
        RC_ASSERT(one.index() == two.index());
        RC_ASSERT(one.index() == three.index());
        if (one.index() != 0) continue;
        const auto& a = std::get<FairCurve>(one).offsets;
        const auto& b = std::get<FairCurve>(two).offsets;
        const auto& c = std::get<FairCurve>(three).offsets;
        for (std::size_t i = 0; i < a.size(); ++i) {
            RC_ASSERT(std::abs(b[i].off_mm + a[i].off_mm) < 1e-6);
            // Reversed, the nodes stand elsewhere, and so do the averages.
            RC_ASSERT(std::abs(c[a.size() - 1 - i].off_mm + a[i].off_mm) < 0.02);
        }
        ++fits;
    }
    RC_ASSERT(fits >= 2);
}

RC_GTEST_PROP(Fair, TheBandIsKeptAtEveryPoint, ()) {
    const auto trace = any_trace();
    FairSettings settings;
    settings.averaged = false;
    settings.band_left_mm = *rc::gen::inRange(20, 200) / 100.0;
    settings.band_right_mm = *rc::gen::inRange(20, 200) / 100.0;
    settings.wave_mm = 300.0;
    const auto result = fit_fair(trace, settings);
    RC_ASSERT(result.index() == 0U);
    for (const TraceOffset& o : std::get<FairCurve>(result).offsets) {
        RC_ASSERT(-o.off_mm <= settings.band_left_mm + 1e-4);
        RC_ASSERT(o.off_mm <= settings.band_right_mm + 1e-4);
    }
}

TEST(Fair, SameBytesEveryTime) {
    FairSettings settings;
    settings.band_left_mm = settings.band_right_mm = 5.0;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 750.0;
    const auto trace = edge_trace(0.5, 0.05, 7);
    const FairCurve a = fitted(trace, settings);
    const FairCurve b = fitted(trace, settings);
    ASSERT_EQ(a.spans.size(), b.spans.size());
    for (std::size_t i = 0; i < a.spans.size(); ++i) {
        EXPECT_EQ(a.spans[i].start, b.spans[i].start);
        EXPECT_EQ(a.spans[i].curvature0, b.spans[i].curvature0);
    }
}

// What the wave smooths off an exact trace is the same whether slips are looked for or not.
TEST(Fair, ATraceWithoutScatterHasNoSlips) {
    std::vector<Point> trace;
    for (int i = 0; i < 900; ++i) {
        const double a = 2.0 * geometry::pi * i / 900.0;
        const double r = 400.0 + 30.0 * std::cos(2.0 * a);
        trace.push_back({r * std::cos(a), r * std::sin(a)});
    }
    FairSettings settings;
    const double plain = std::get<FairCurve>(fit_fair(trace, settings)).largest_off_mm;
    settings.robust = true;
    EXPECT_NEAR(std::get<FairCurve>(fit_fair(trace, settings)).largest_off_mm, plain, 0.1 * plain);
}

}  // namespace
}  // namespace seamwright::curves
