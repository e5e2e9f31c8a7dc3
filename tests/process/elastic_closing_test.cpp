#include "process/elastic_closing.h"

#include <gtest/gtest.h>

#include <cmath>

#include "check_values.h"

namespace seamwright::process {
namespace {

using geometry::pi;

const wood::PlaneElastic usual{12000.0, 900.0, 900.0, 0.4, "", false, false};

std::vector<seam::GapAt> wavy(double length_mm, double wave_mm, double amplitude_mm) {
    std::vector<seam::GapAt> gap;
    for (double at = 0.0; at <= length_mm + 1e-9; at += length_mm / 512.0)
        gap.push_back({at, amplitude_mm * (1.0 - std::cos(2.0 * pi * at / wave_mm))});
    return gap;
}

// check_values.csv, "wavy_contact" and methods.md: D = p λ / (π E*), E* of both edges together (Westergaard 1939).
TEST(ElasticClosing, AWaveOnWidePanelsNeedsWestergaardsPressure) {
    const std::vector<PressedSide> sides{{usual, 0.0, HUGE_VAL}, {usual, 0.0, HUGE_VAL}};
    const double E = 0.5 * 1475.7457157491, D = 0.03, wave = 200.0;
    const double needed = pi * E * D / wave;
    EXPECT_NEAR(closing_per_pressure(wave, sides), wave / (pi * E), 1e-9);
    const auto closed = close_elastically(wavy(1600.0, wave, D), 30.0, needed * 1.01, sides);
    EXPECT_NEAR(closed.needed_mpa, needed, 1e-3 * needed);
    EXPECT_NEAR(closed.needed_n_per_mm, 30.0 * needed, 0.03 * needed);
    EXPECT_TRUE(closed.closes);
    EXPECT_LT(closed.left_mm, 1e-3 * D);
    EXPECT_NEAR(closed.touching_part, 1.0, 0.02);
}

// Below that pressure they meet over 2a of each wave, mean pressure = p* sin²(πa/λ) (Westergaard 1939; K. L. Johnson,
// Contact Mechanics, 13.2, from memory).
TEST(ElasticClosing, HalfClosedTheyMeetAsWestergaardSays) {
    const std::vector<PressedSide> sides{{usual, 0.0, HUGE_VAL}, {usual, 90.0 * pi / 180.0, HUGE_VAL}};
    const double E = 1.0 / (1.0 / 1475.7457157491 + 1.0 / 5388.661), D = 0.05, wave = 400.0;
    const double full = pi * E * D / wave;
    for (const double part : {0.3, 0.5, 0.8}) {
        const auto half = close_elastically(wavy(1600.0, wave, D), 30.0, part * full, sides);
        EXPECT_FALSE(half.closes);
        const double touching = 2.0 / pi * std::asin(std::sqrt(part));
        EXPECT_NEAR(half.touching_part, touching, 0.06) << part;
        // p(0) = 2 p̄ cos ψ √(sin²ψa − sin²ψ) / sin²ψa at ψ = 0.
        EXPECT_NEAR(half.highest_mpa, 2.0 * part * full / std::sin(0.5 * pi * touching), 0.04 * full) << part;
        EXPECT_GT(half.left_mm, 0.0);
        EXPECT_LT(half.left_mm, 2.0 * D);
        // The gaps lie where the gap was: half a wave from the touch.
        EXPECT_NEAR(std::remainder(half.left_at_mm - 0.5 * wave, wave), 0.0, 8.0);
    }
}

TEST(ElasticClosing, MorePressureLeavesLess) {
    const std::vector<PressedSide> sides{{usual, 0.3, 120.0}, {usual, 0.0, HUGE_VAL}};
    double before = HUGE_VAL;
    for (const double pressure : {0.05, 0.1, 0.3, 0.7, 1.5}) {
        const auto now = close_elastically(wavy(1200.0, 300.0, 0.08), 25.0, pressure, sides);
        EXPECT_LE(now.left_mm, before + 1e-6);
        before = now.left_mm;
        double mean = 0.0;
        for (const double p : now.pressed_mpa) {
            EXPECT_GE(p, 0.0);
            mean += p / static_cast<double>(now.pressed_mpa.size());
        }
        EXPECT_NEAR(mean, pressure, 1e-9);
    }
}

// check_values.csv, "strip_closing": a strip 50 mm wide bends 36 times more willingly than one of 300 mm is stiff
// (48EI/L³, w³). A bow over the whole length closes under the clamps of a strip and not of a panel.
TEST(ElasticClosing, AStripBendsAPanelDoesNot) {
    const auto bow = [&](double width) {
        const std::vector<PressedSide> sides{{usual, 0.0, width}, {usual, 0.0, HUGE_VAL}};
        return close_elastically(wavy(2000.0, 2000.0, 0.5), 30.0, 0.1, sides);
    };
    EXPECT_TRUE(bow(50.0).closes);
    EXPECT_FALSE(bow(600.0).closes);
    EXPECT_LT(bow(50.0).needed_mpa, 0.05 * bow(600.0).needed_mpa);
    // By beam theory alone: p = D E w³ k⁴ / 12, k = 2π/2000.
    const double k = 2.0 * pi / 2000.0;
    EXPECT_NEAR(bow(50.0).needed_mpa, 0.5 * 12000.0 * 50.0 * 50.0 * 50.0 * std::pow(k, 4.0) / 12.0,
                0.15 * bow(50.0).needed_mpa);
}

TEST(ElasticClosing, NothingToCloseNeedsNothing) {
    const std::vector<PressedSide> sides{{usual, 0.0, HUGE_VAL}};
    const std::vector<seam::GapAt> gap{{0.0, 0.02}, {500.0, 0.02}, {1000.0, 0.02}};
    const auto closed = close_elastically(gap, 30.0, 0.5, sides);
    EXPECT_NEAR(closed.needed_mpa, 0.0, 1e-9);
    EXPECT_NEAR(closed.left_mm, 0.0, 1e-9);
    EXPECT_NEAR(closed.highest_mpa, 0.5, 1e-6);
}

TEST(ElasticClosing, RefusesWhatIsNoSeam) {
    const std::vector<PressedSide> sides{{usual, 0.0, HUGE_VAL}};
    EXPECT_THROW(close_elastically({}, 30.0, 0.5, sides), std::invalid_argument);
    EXPECT_THROW(close_elastically(wavy(100.0, 50.0, 0.1), 0.0, 0.5, sides), std::invalid_argument);
    EXPECT_THROW(close_elastically(wavy(100.0, 50.0, 0.1), 30.0, 0.5, {}), std::invalid_argument);
    const std::vector<PressedSide> thin{{usual, 0.0, 0.0}};
    EXPECT_THROW(close_elastically(wavy(100.0, 50.0, 0.1), 30.0, 0.5, thin), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
