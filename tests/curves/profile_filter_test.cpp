#include "curves/profile_filter.h"

#include <gtest/gtest.h>

#include <functional>
#include <stdexcept>

#include "check_values.h"
#include "geometry/point.h"

namespace seamwright::curves {
namespace {

using geometry::pi;
using testing::check_values;
using testing::input;

using Filter = std::function<std::vector<double>(const std::vector<double>&)>;

/// What a filter lets through of a wave, far from the ends of a long profile with 20 000 steps.
double transmission(double wave_mm, double step_mm, const Filter& filter) {
    std::vector<double> z;
    for (int i = 0; i <= 20000; ++i) z.push_back(std::sin(2.0 * pi * i * step_mm / wave_mm));
    const auto w = filter(z);
    double in_phase = 0.0;
    double norm = 0.0;
    for (std::size_t i = 8000; i <= 12000; ++i) {
        in_phase += w[i] * z[i];
        norm += z[i] * z[i];
    }
    return in_phase / norm;
}

// check_values.csv, gaussian_filter: ISO 16610-21 (equation from memory, 50 % at the cut-off read), verified
// numerically.
TEST(ProfileFilter, GaussianTransmission) {
    int rows = 0;
    for (const auto& row : check_values("gaussian_filter", "transmission")) {
        const double wave = 50.0 * input(row, "lambda/lc");
        const double got =
            transmission(wave, 0.5, [](const auto& z) { return gaussian_line(std::span(z), 0.5, 50.0); });
        EXPECT_NEAR(got, row.value, 1e-9) << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 4);
}

// check_values.csv: half the second moment of the kernel, ln 2 / (4 π²) = 0.0175576 (analytic, verified numerically).
TEST(ProfileFilter, GaussianMovesTheMeanLineOfABend) {
    const double shift = check_values("gaussian_filter", "mean line minus profile")[0].value;
    const double curvature = 1.0 / 1000.0;
    std::vector<double> z;
    for (int i = -2000; i <= 2000; ++i) z.push_back(0.5 * curvature * 0.25 * i * i);
    const auto w = gaussian_line(std::span<const double>(z), 0.5, 150.0);
    EXPECT_NEAR((w[2000] - z[2000]) / (curvature * 150.0 * 150.0), shift, 1e-9);
    EXPECT_NEAR(w[2000] - z[2000], 0.395, 0.001);
    // The order-6 smoother leaves parabolas where they are, to the ends.
    const auto v = third_order_line(z, 0.5, 25.0);
    for (std::size_t i = 0; i < z.size(); ++i) ASSERT_NEAR(v[i], z[i], 1e-6);
}

// check_values.csv, spline_filter and mvc_smoother: ISO 16610-22 in the limit of fine steps (formula from memory; β
// read in a NIST abstract), verified numerically. Fifty steps to the cut-off cost 3e-3 at half the cut-off; the formula
// of the discrete filter itself, with sines for wave numbers, is met to nine digits.
TEST(ProfileFilter, SplineAndThirdOrderTransmission) {
    int rows = 0;
    for (const auto& row : check_values("spline_filter", "transmission")) {
        const double part = input(row, "lambda/lc");
        const double tension = row.inputs.find("beta=") == std::string::npos ? 0.0 : input(row, "beta");
        const double got =
            transmission(50.0 * part, 1.0, [tension](const auto& z) { return spline_line(z, 1.0, 50.0, tension); });
        const double q = std::sin(pi / (50.0 * part)) / std::sin(pi / 50.0);
        EXPECT_NEAR(got, 1.0 / (1.0 + tension * q * q + (1.0 - tension) * q * q * q * q), 1e-9) << row.inputs;
        EXPECT_NEAR(got, row.value, 3e-3) << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 8);
    for (const auto& row : check_values("mvc_smoother")) {
        const double part = input(row, "lambda/lc");
        const double got = transmission(50.0 * part, 1.0, [](const auto& z) { return third_order_line(z, 1.0, 50.0); });
        const double q = std::sin(pi / (50.0 * part)) / std::sin(pi / 50.0);
        EXPECT_NEAR(got, 1.0 / (1.0 + std::pow(q, 6.0)), 1e-8) << row.inputs;
        EXPECT_NEAR(got, row.value, 3e-3) << row.inputs;
    }
}

// A straight slope passes every filter whole, ends included; uneven places too.
TEST(ProfileFilter, SlopesPassWhole) {
    std::vector<double> at;
    std::vector<double> z;
    double x = 0.0;
    for (int i = 0; i < 200; ++i) {
        at.push_back(x);
        z.push_back(3.0 - 0.02 * x);
        x += 1.0;
    }
    const auto a = gaussian_line(at, z, 20.0);
    const auto b = spline_line(z, 1.0, 20.0, 0.62524);
    for (const std::size_t i : {std::size_t{0}, std::size_t{1}, std::size_t{100}, std::size_t{199}}) {
        EXPECT_NEAR(a[i], z[i], 1e-12);
        EXPECT_NEAR(third_order_line(z, 1.0, 20.0)[i], z[i], 1e-9);
    }
    // β > 0 pulls the ends of a slope level (end effect, NIST abstract); in the middle it passes.
    EXPECT_NEAR(b[100], z[100], 1e-9);
    EXPECT_GT(std::abs(b[0] - z[0]), 1e-3);
    EXPECT_THROW(gaussian_line(at, z, 0.0), std::invalid_argument);
    EXPECT_THROW(spline_line(z, 1.0, 2.0, 0.0), std::invalid_argument);
    EXPECT_THROW(spline_line(z, 1.0, 20.0, 1.5), std::invalid_argument);
    EXPECT_EQ(third_order_line(std::vector<double>{1.0, 2.0}, 1.0, 20.0).size(), 2U);
}

// methods.md §3: derived figures, to be had with a pocket calculator.
TEST(ProfileFilter, ThresholdsByWaveLength) {
    EXPECT_NEAR(bridged_wave_mm(15.0, 0.1), 7.695, 1e-3);
    EXPECT_NEAR(felt_by_hand_mm(5.0), 0.052, 5e-4);
    EXPECT_NEAR(felt_by_hand_mm(10.0), 0.13, 5e-3);
    EXPECT_NEAR(felt_by_hand_mm(50.0), 1.0, 0.05);
    // check_values.csv, haptics: 8 mm at a width of 240 mm (Louw, Kappers & Koenderink 2000, abstract read).
    EXPECT_NEAR(felt_by_hand_mm(240.0), check_values("haptics", "detection threshold, broadest")[0].value, 1e-12);
    EXPECT_NEAR(closed_by_clamps_mm(50.0, 1.0, 738.0), 0.022, 5e-4);
    EXPECT_NEAR(closed_by_clamps_mm(200.0, 1.0, 738.0), 0.086, 5e-4);
    EXPECT_NEAR(curvature_scatter(0.05, 50.0), 4.9e-5, 1e-7);
    EXPECT_NEAR(three_point_reading_mm(1e-3, 50.0), 1.25, 1e-12);
}

}  // namespace
}  // namespace seamwright::curves
