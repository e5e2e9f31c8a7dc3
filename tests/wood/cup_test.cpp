#include "wood/cup.h"

#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "check_values.h"

namespace seamwright::wood {
namespace {

// check_values.csv, "bimaterial_strip" (Timoshenko 1925).
TEST(TwoLayers, TableOfTimoshenko) {
    int rows = 0;
    for (const auto& row : testing::check_values("bimaterial_strip", "kappa")) {
        // The table writes 0.333 for a third.
        const double given = testing::input(row, "m=t1/t2"), m = given == 0.333 ? 1.0 / 3.0 : given;
        const double n = testing::input(row, "n=E1/E2");
        EXPECT_NEAR(two_layer_curvature(m / (1.0 + m), 1.0 / (1.0 + m), n, 1.0, 1.0), row.value, 1e-9) << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 5);
}

// movement_examples.md, rows 15 to 17: published examples, recomputed there.
TEST(TwoLayers, PublishedExamples) {
    // Cantilever 3000 mm, 300 mm deep, equal layers, 5e-6 and 10e-6 per K, 50 K: tip 5.625 mm.
    EXPECT_NEAR(two_layer_curvature(150, 150, 1, 1, 5e-6 * 50) * 3000.0 * 3000.0 / 2.0, 5.625, 1e-9);
    // Two layers 0.05 in, 10 in long, 14.5e-6 and 2.5e-6 per °F, 400 °F: rise at midspan 0.90 in.
    EXPECT_NEAR(two_layer_curvature(0.05, 0.05, 1e7, 1e7, 12e-6 * 400) * 100.0 / 8.0, 0.90, 1e-9);
    // Copper on invar, 1 mm each, 137 and 130 GPa, 20.0e-6 and 1.2e-6, 100 K: 1.40976 per metre.
    EXPECT_NEAR(1000.0 * two_layer_curvature(1, 1, 137, 130, 18.8e-6 * 100), 1.40976, 5e-6);
}

TEST(TwoLayers, OtherWayRoundBendsTheOtherWay) {
    EXPECT_NEAR(two_layer_curvature(3, 8, 5, 2, 0.01), -two_layer_curvature(8, 3, 2, 5, -0.01), 1e-15);
    EXPECT_THROW(two_layer_curvature(0, 1, 1, 1, 0.01), std::invalid_argument);
}

// Half the thickness dried by 0.01: 1.5 e/h, 1.5 · 0.01 / 25 · 200²/8 = 3 mm, the dry face hollow.
TEST(OneFaceCup, HalfTheThickness) {
    EXPECT_NEAR(one_face_cup_mm(200, 25, 12.5, -0.01), -3.0, 1e-12);
    EXPECT_THROW(one_face_cup_mm(200, 25, 25, -0.01), std::invalid_argument);
}

// Pocket calculator: red oak 200 × 25 mm, pith 75 mm under it, 4 % drier: e_T = −0.01476, e_R = −0.00632;
// −(e_T − e_R)·(w/2)·atan(w/2 / 100) = 0.00844 · 100 · π/4 = 0.6629 mm in small strains.
TEST(RingCup, DryingMakesTheBarkSideHollow) {
    const Cup cup = ring_cup({200, 25, 75}, -0.00632, -0.01476);
    EXPECT_NEAR(cup.rise_mm, 0.6629, 0.02 * 0.6629);
    EXPECT_NEAR(cup.curvature_per_mm, 2.0 * 0.00844 / 100.0, 1e-12);
    // Its width shrinks by less than a board whose rings lie flat throughout, more than one with standing rings.
    EXPECT_LT(cup.width_change_mm, -0.00632 * 200);
    EXPECT_GT(cup.width_change_mm, -0.01476 * 200);
}

TEST(RingCup, IsTheLimitOfSmallStrains) {
    const double small = 1e-7;
    const Cup cup = ring_cup({200, 25, 75}, 0.4 * small, small);
    EXPECT_NEAR(cup.rise_mm / small, -0.6 * 100.0 * std::atan(1.0), 1e-4);
    // ∫ of the transverse strain e_T − (e_T − e_R) sin²θ along the face.
    double integral = 0.0;
    for (int i = 0; i < 2000; ++i) {
        const double x = -100.0 + 0.1 * (i + 0.5), sine2 = x * x / (x * x + 1e4);
        integral += 0.1 * (1.0 - 0.6 * sine2);
    }
    EXPECT_NEAR(cup.width_change_mm / small, integral, 1e-3);
}

TEST(RingCup, EqualBothWaysStaysFlat) {
    const Cup cup = ring_cup({300, 30, 40}, -0.01, -0.01);
    EXPECT_NEAR(cup.rise_mm, 0.0, 1e-12);
    EXPECT_NEAR(cup.width_change_mm, -3.0, 1e-12);
    EXPECT_THROW(ring_cup({300, 30, 0}, 0.0, 0.0), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::wood
