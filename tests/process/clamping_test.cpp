#include "process/clamping.h"

#include <gtest/gtest.h>

#include <cmath>

#include "check_values.h"

namespace seamwright::process {
namespace {

using geometry::Point;

/// A seam along x; the left piece above it, the right one below, pushed up. `slope` turns it out of square.
std::vector<seam::SeamPlace> straight(double length, double slope = 0.0, int count = 400) {
    std::vector<seam::SeamPlace> out;
    const Point along = geometry::unit(slope);
    for (int i = 0; i <= count; ++i) {
        const double at = length * i / count;
        out.push_back({at, at * along, geometry::right_of(along)});
    }
    return out;
}
constexpr double up = 0.5 * geometry::pi;

// check_values.csv, "winkler_beam": rows of equal clamps (Hetényi's infinite beam, superposed).
TEST(RowPressure, TableOfEqualClamps) {
    int rows = 0;
    for (const auto& row : testing::check_values("winkler_beam")) {
        const auto at = row.inputs.find("lambda*a=");
        if (at == std::string::npos) continue;
        const RowPressure p = row_pressure(std::stod(row.inputs.substr(at + 9)));
        const bool under = row.quantity.find("under clamp / mean") != std::string::npos;
        EXPECT_NEAR(under ? p.under : p.midway / p.under, row.value, 1e-8) << row.quantity << ' ' << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 10);
    EXPECT_NEAR(row_pressure(2.0).midway / row_pressure(2.0).under, 0.8524490, 5e-8);
    EXPECT_NEAR(row_pressure(0.01).under, 1.0, 1e-6);
    EXPECT_TRUE(std::isfinite(row_pressure(5000.0).under));
}

// The same table, by the finite elements: long caul, one clamp in the middle: p = (Pλ/2) A(λx) until it lifts off.
TEST(SeamPressure, OneClampOnALongCaulIsHetenyis) {
    const Caul caul;
    const Behind behind{200.0, 900.0, 30.0};
    const double lambda = caul_lambda(caul, behind);
    const double length = 4.0 / lambda;  // it lifts off only at 3π/4 = 2.36 to either side
    const auto places = straight(length);
    const Clamp clamp{0.5 * length, 1000.0};
    const auto pressed = seam_pressure(places, up, caul, behind, std::span(&clamp, 1), 0.1, false);
    // Its ends are free, not far away: near the clamp that matters little.
    EXPECT_NEAR(pressed.pressure_mpa[200] * 30.0, 0.5 * 1000.0 * lambda, 0.12 * 0.5 * 1000.0 * lambda);
    double force = 0.0;
    for (std::size_t i = 1; i < places.size(); ++i)
        force += 0.5 * (pressed.pressure_mpa[i] + pressed.pressure_mpa[i - 1]) * 30.0 *
                 (places[i].at_mm - places[i - 1].at_mm);
    EXPECT_NEAR(force, 1000.0, 2.0);
    EXPECT_FALSE(pressed.slides);
    EXPECT_TRUE(pressed.steep.empty());
}

TEST(SeamPressure, ARowOfClampsAgreesWithTheClosedForm) {
    const Caul caul;
    const Behind behind{200.0, 900.0, 30.0};
    const double lambda = caul_lambda(caul, behind);
    for (const double z : {1.0, 2.0, 2.5}) {
        const int count = 9;
        const double spacing = z / lambda, length = spacing * count;
        std::vector<Clamp> clamps;
        for (int i = 0; i < count; ++i) clamps.push_back({spacing * (i + 0.5), 800.0});
        // 360 steps: the clamps and the middles between them are places.
        const auto pressed = seam_pressure(straight(length, 0.0, 360), up, caul, behind, clamps, 0.1, false);
        const double mean = 800.0 / spacing / 30.0;
        const RowPressure row = row_pressure(z);
        EXPECT_NEAR(pressed.pressure_mpa[180] / mean, row.under, 0.01) << z;
        EXPECT_NEAR(pressed.pressure_mpa[160] / mean, row.midway, 0.01) << z;
    }
}

TEST(SeamPressure, TheCaulLiftsOffAndNeverPulls) {
    const Caul caul{10000.0, 20.0, 30.0};
    const Behind behind{60.0, 900.0, 30.0};
    const double lambda = caul_lambda(caul, behind);
    const double length = 12.0 / lambda;
    const Clamp clamp{0.5 * length, 2000.0};
    const auto pressed = seam_pressure(straight(length), up, caul, behind, std::span(&clamp, 1), 0.1, false);
    ASSERT_FALSE(pressed.lifted.empty());
    for (const double p : pressed.pressure_mpa) EXPECT_GE(p, 0.0);
    // What is left under it is a beam with free ends that just do not sink: cos(λL/2) = 0 in the deflection of its end
    // (Hetényi, from memory).
    EXPECT_NEAR(0.5 * length - pressed.lifted.front().to_mm, 0.5 * geometry::pi / lambda, 0.1 / lambda);
    double force = 0.0;
    const auto places = straight(length);
    for (std::size_t i = 1; i < places.size(); ++i)
        force += 0.5 * (pressed.pressure_mpa[i] + pressed.pressure_mpa[i - 1]) * 30.0 *
                 (places[i].at_mm - places[i - 1].at_mm);
    EXPECT_NEAR(force, 2000.0, 20.0);
}

TEST(SeamPressure, TheWoodSpreadsIt) {
    const Caul caul{10000.0, 20.0, 30.0};
    const Behind behind{150.0, 900.0, 30.0};
    const std::vector<Clamp> clamps{{150.0, 1500.0}, {450.0, 1500.0}, {750.0, 1500.0}};
    const auto close = seam_pressure(straight(900.0), up, caul, behind, clamps, 0.1, false);
    const auto spread = seam_pressure(straight(900.0), up, caul, behind, clamps, 0.1, true);
    EXPECT_LT(spread.largest_mpa, close.largest_mpa);
    EXPECT_GT(spread.least_mpa, close.least_mpa);
    EXPECT_NEAR(spread.mean_mpa, close.mean_mpa, 0.01 * close.mean_mpa);
    EXPECT_NEAR(spread.mean_mpa, 4500.0 / 900.0 / 30.0, 0.01 * spread.mean_mpa);
}

// methods.md section 4: sideways force ∫ p sin θ ds; wet glue holds tan θ up to 0.1, 6°.
TEST(SeamPressure, ASlantedSeamSlides) {
    const Behind behind{100.0, 900.0, 30.0};
    for (const double degrees : {3.0, 20.0, -20.0}) {
        const double slope = degrees / geometry::degrees_per_radian;
        const auto places = straight(1000.0, slope);
        const double seen = 1000.0 * std::cos(slope);
        std::vector<Clamp> clamps;
        for (int i = 0; i < 6; ++i) clamps.push_back({seen * (i + 0.5) / 6.0, 1000.0});
        const auto pressed = seam_pressure(places, up, {}, behind, clamps);
        EXPECT_EQ(pressed.slides, std::abs(degrees) > 6.0);
        EXPECT_NEAR(std::abs(pressed.sideways_n), 6000.0 * std::abs(std::tan(slope)), 0.02 * 6000.0);
        // Rising to the right, the push up presses the right piece back along its normal: to the right.
        EXPECT_GT(pressed.sideways_n * (degrees > 0 ? -1.0 : 1.0), 0.0);
        EXPECT_EQ(pressed.steep.empty(), std::abs(degrees) < 6.0);
    }
}

TEST(ClampRow, StiffnessOrForceSetsTheSpacing) {
    const Caul caul;
    const Behind behind{100.0, 900.0, 30.0};
    const double lambda = caul_lambda(caul, behind);
    const ClampRow strong = clamp_row(2400.0, 1.0, caul, behind, 1e6);
    EXPECT_TRUE(strong.by_stiffness);
    EXPECT_LE(strong.spacing_mm, 2.0 / lambda + 1e-9);
    const ClampRow weak = clamp_row(2400.0, 1.0, caul, behind, 2000.0);
    EXPECT_FALSE(weak.by_stiffness);
    EXPECT_EQ(weak.count, 36u);  // 1 MPa on 30 × 2400 mm is 72 kN
    EXPECT_NEAR(weak.force_n, 2000.0, 1e-9);
    EXPECT_EQ(weak.clamps.size(), weak.count);
    EXPECT_EQ(clamp_row(50.0, 0.1, caul, behind, 1e6).count, 2u);
}

TEST(SeamPressure, RefusesHooksAndNoClamps) {
    EXPECT_THROW(seam_pressure(straight(500.0), up, {}, {}, {}), std::invalid_argument);
    const Clamp clamp{100.0, 500.0};
    EXPECT_THROW(seam_pressure(straight(500.0), 0.0, {}, {}, std::span(&clamp, 1)), std::invalid_argument);
    EXPECT_THROW(seam_pressure(straight(500.0), -up, {}, {}, std::span(&clamp, 1)), std::invalid_argument);
    const Clamp wrong{100.0, -1.0};
    EXPECT_THROW(seam_pressure(straight(500.0), up, {}, {}, std::span(&wrong, 1)), std::invalid_argument);
    EXPECT_THROW(caul_lambda({0.0, 1.0, 1.0}, {}), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
