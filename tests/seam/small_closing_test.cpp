#include "seam/small_closing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "check_values.h"
#include "seam/closing.h"
#include "seams.h"

namespace seamwright::seam {
namespace {

std::vector<double> everywhere(const SmallCloser& closer, double gap_mm) {
    return std::vector<double>(closer.places().size(), gap_mm);
}

// check_values.csv, "seam_closing": 1 − cos Δ (methods.md section 4), reproduced there by a generic linear programme.
TEST(SmallCloser, AUniformMismatchClosesToOneLessCosine) {
    int rows = 0;
    for (const auto& row : testing::check_values("seam_closing")) {
        const auto at = row.inputs.find("Delta=");
        if (at == std::string::npos) continue;
        const double half_span = std::stod(row.inputs.substr(at + 6)) / geometry::degrees_per_radian;
        SmallCloser closer(places_along(arc(800.0, half_span)));
        const SmallClosing closing = closer.close(everywhere(closer, 1.0));
        ASSERT_TRUE(closing.found);
        EXPECT_NEAR(closing.largest_gap_mm, row.value, 1e-8) << row.inputs;
        // Along the mean normal, straight up, by the whole mismatch.
        EXPECT_NEAR(closing.shift.y, 1.0, 1e-8);
        ++rows;
    }
    EXPECT_GE(rows, 6);
}

// The same table: one full wave of 60 mm over 1200 mm.
TEST(SmallCloser, AWaveClosesToOneLessTheCosineOfItsSteepest) {
    double expected = 0.0;
    for (const auto& row : testing::check_values("seam_closing"))
        if (row.quantity.find("same seam: minimax residual") == 0) expected = row.value;
    ASSERT_GT(expected, 0.0);
    // Coarse arcs turn a little farther than the wave itself.
    SmallCloser closer(places_along(wave(60.0, 1200.0, 1200.0, 1e-6)));
    EXPECT_NEAR(closer.close(everywhere(closer, 1.0)).largest_gap_mm, expected, 2e-7);
}

// The same table: "a rigid translation closes it exactly".
TEST(SmallCloser, AWayThatIsTheSameEverywhereClosesWhole) {
    SmallCloser closer(places_along(wave(60.0, 1200.0, 1700.0)));
    std::vector<double> gap;
    for (const SeamPlace& p : closer.places()) gap.push_back(geometry::dot(p.normal, {0.08, -0.11}));
    const SmallClosing closing = closer.close(gap);
    EXPECT_NEAR(closing.largest_gap_mm, 0.0, 1e-9);
}

TEST(SmallCloser, AgreesWithTheEdgesThemselves) {
    for (const double e : {0.06, -0.06}) {
        const Path left = wave(45.0, 900.0, 1500.0);
        SmallCloser closer(places_along(left));
        const SmallClosing small = closer.close(everywhere(closer, e));
        const Closing exact = close_seam(left, parallel(left, e));
        EXPECT_NEAR(small.largest_gap_mm, exact.largest_gap_mm, 2e-5) << e;
        EXPECT_EQ(small.overlap_mm, 0.0);
    }
}

/// Errors as the shop makes them: a bit of everything, of any sign.
std::vector<double> any_gap(const std::vector<SeamPlace>& places, std::mt19937& random) {
    const auto even = [&] { return static_cast<double>(random()) / 4294967296.0 - 0.5; };
    const Point w{0.2 * even(), 0.2 * even()};
    const double same = 0.2 * even(), wave_mm = 80.0 + 400.0 * (even() + 0.5), high = 0.1 * even();
    std::vector<double> gap;
    for (const SeamPlace& p : places)
        gap.push_back(same + geometry::dot(p.normal, w) + high * std::sin(6.283 * p.at_mm / wave_mm) + 0.02 * even());
    return gap;
}

// The issue's own demand: against a brute-force search on 1000 random seams, and nothing let in by more than 1 nm. The
// problem is convex, so an answer that no small step in any direction improves is the best of all.
TEST(SmallCloser, NoSearchFindsBetterOnAThousandSeams) {
    std::mt19937 random(11);
    const auto even = [&] { return static_cast<double>(random()) / 4294967296.0 - 0.5; };
    for (int seam = 0; seam < 1000; ++seam) {
        curves::Pins pins;
        const int count = 3 + static_cast<int>(random() % 4);
        for (int i = 0; i < count; ++i) pins.points.push_back({700.0 * i / (count - 1), 90.0 * even()});
        const auto drawn = std::get<curves::Drawn>(curves::draw(pins, 0.1));
        SmallCloser closer(places_along(drawn.path, 10.0, 48));
        const auto gap = any_gap(closer.places(), random);
        const SmallClosing best = closer.close(gap);
        ASSERT_TRUE(best.found) << seam;
        ASSERT_EQ(best.overlap_mm, 0.0) << seam;
        const auto after = closer.after(gap, best);
        ASSERT_GE(*std::min_element(after.begin(), after.end()), -1e-6) << seam;
        ASSERT_NEAR(*std::max_element(after.begin(), after.end()), best.largest_gap_mm, 1e-6) << seam;
        // A search downhill from elsewhere, with the overlap counted ten times.
        const auto cost = [&](const SmallClosing& c) {
            double least = 0.0, most = 0.0;
            for (const double g : closer.after(gap, c)) {
                least = std::fmin(least, g);
                most = std::fmax(most, g);
            }
            return most - 10.0 * least;
        };
        SmallClosing at;
        at.shift = {0.1 * even(), 0.1 * even()};
        double here = cost(at);
        for (double step = 0.1; step > 1e-5; step *= 0.7) {
            for (int i = 0; i < 24; ++i) {
                SmallClosing next = at;
                next.shift = next.shift + Point{step * 2.0 * even(), step * 2.0 * even()};
                next.turn_rad += step * 2.0 * even() / 350.0;
                const double there = cost(next);
                if (there < here) {
                    here = there;
                    at = next;
                }
            }
        }
        ASSERT_GE(here, best.largest_gap_mm - 1e-7) << seam;
    }
}

TEST(SmallCloser, AnInlayTooLargeSaysByHowMuch) {
    const Path ring = geometry::circle({100.0, 50.0}, 180.0);
    SmallCloser closer(places_along(ring));
    const SmallClosing tight = closer.close(everywhere(closer, -0.05));
    ASSERT_TRUE(tight.found);
    EXPECT_NEAR(tight.overlap_mm, 0.05, 1e-7);
    // One that is right in size but lies aside goes in.
    std::vector<double> aside;
    for (const SeamPlace& p : closer.places()) aside.push_back(geometry::dot(p.normal, {0.3, 0.1}) + 0.02);
    const SmallClosing moved = closer.close(aside);
    ASSERT_TRUE(moved.found);
    EXPECT_EQ(moved.overlap_mm, 0.0);
    EXPECT_NEAR(moved.largest_gap_mm, 0.02, 1e-7);
}

TEST(SmallCloser, RefusesWhatIsNoSeam) {
    EXPECT_THROW(SmallCloser({{}, {}}), std::invalid_argument);
    SmallCloser closer(places_along(arc(500.0, 0.3)));
    EXPECT_THROW(closer.close(std::vector<double>(3, 0.0)), std::invalid_argument);
    EXPECT_FALSE(closer.close(everywhere(closer, NAN)).found);
    EXPECT_THROW(places_along(arc(500.0, 0.3), 0.0), std::invalid_argument);
    EXPECT_TRUE(places_along({}).empty());
}

TEST(SmallCloser, PlacesLieEvenlyWithBothEnds) {
    const Path seam = wave(20.0, 700.0, 2400.0);
    const auto places = places_along(seam, 10.0, 100);
    // 98 spans, and six places where it turns over (the one in the middle is there already).
    ASSERT_GE(places.size(), 99u);
    ASSERT_LE(places.size(), 106u);
    EXPECT_EQ(places.front().at_mm, 0.0);
    EXPECT_NEAR(places.back().at_mm, geometry::length_mm(seam), 1e-9);
    EXPECT_NEAR(places[1].at_mm, geometry::length_mm(seam) / 98.0, 1e-9);
    EXPECT_NEAR(geometry::norm(places[40].normal), 1.0, 1e-12);
}

}  // namespace
}  // namespace seamwright::seam
