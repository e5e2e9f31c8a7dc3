#include "wood/elastic.h"

#include <gtest/gtest.h>

#include <cmath>

#include "check_values.h"
#include "shelf/mechanical.h"

namespace seamwright::wood {
namespace {

constexpr double degree = 3.14159265358979323846 / 180.0;
const PlaneElastic usual{12000.0, 900.0, 900.0, 0.4, "", false, false};

// check_values.csv, "wavy_contact": the closed form for fibres along and across the edge, held there against a direct
// Fourier solution.
TEST(EdgeModulus, FibresAlongAndAcrossTheEdge) {
    EXPECT_NEAR(edge_modulus(usual, 0.0), 1475.7457157491, 1e-6);
    EXPECT_NEAR(edge_modulus(usual, 90.0 * degree), 5388.661, 1e-3);
    int rows = 0;
    for (const auto& row : testing::check_values("wavy_contact")) {
        if (row.quantity.find("one orthotropic half-plane, fibres along") == std::string::npos) continue;
        EXPECT_NEAR(edge_modulus(usual, 0.0), row.value, 1e-6);
        ++rows;
    }
    EXPECT_EQ(rows, 1);
}

TEST(EdgeModulus, OfAMaterialThatIsTheSameAllRoundIsYoungs) {
    // Equal to rounding would be a double root; a hair off keeps the two apart.
    const double E = 3000.0, nu = 0.3;
    const PlaneElastic same{E * (1.0 + 1e-7), E, E / (2.0 * (1.0 + nu)), nu, "", false, false};
    for (const double angle : {0.0, 20.0, 45.0, 77.0, 90.0}) EXPECT_NEAR(edge_modulus(same, angle * degree), E, 0.01);
}

TEST(EdgeModulus, AtAnyAngleLiesBetweenAndIsSymmetric) {
    double before = edge_modulus(usual, 0.0);
    for (double angle = 5.0; angle <= 90.0; angle += 5.0) {
        const double now = edge_modulus(usual, angle * degree);
        EXPECT_GT(now, before) << angle;
        EXPECT_NEAR(edge_modulus(usual, -angle * degree), now, 1e-9 * now);
        EXPECT_NEAR(edge_modulus(usual, (180.0 - angle) * degree), now, 1e-9 * now);
        before = now;
    }
}

TEST(ModulusAt, AlongAcrossAndAtAnAngle) {
    EXPECT_NEAR(modulus_at(usual, 0.0), 12000.0, 1e-9);
    EXPECT_NEAR(modulus_at(usual, 90.0 * degree), 900.0, 1e-9);
    // Pocket calculator: ¼/12000 + ¼/900 + ¼(1/900 − 0.8/12000) = 5.5972e-4.
    EXPECT_NEAR(modulus_at(usual, 45.0 * degree), 1.0 / (0.25 / 12000 + 0.25 / 900 + 0.25 * (1.0 / 900 - 0.8 / 12000)),
                1e-9);
}

// check_values.csv, "offaxis_modulus" (Lekhnitskii; Jones; from memory, verified numerically there).
TEST(ModulusAt, TableOfOffAxisModuli) {
    int rows = 0;
    for (const auto& row : testing::check_values("offaxis_modulus")) {
        if (row.quantity != "Ex") continue;
        const double angle = std::stod(row.inputs.substr(row.inputs.find("theta=") + 6));
        EXPECT_NEAR(modulus_at(usual, angle * degree), row.value, 1e-5) << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 4);
}

// hankinson.md: white oak in compression, 51.3 and 7.4 MPa (both read in FPL-GTR-282, table 5-3a).
TEST(Hankinson, WhiteOakByPocketCalculator) {
    const double table[][3] = {{0, 51.300, 51.300},  {15, 36.711, 44.484}, {30, 20.660, 26.671},
                               {45, 12.934, 15.381}, {60, 9.414, 10.229},  {90, 7.400, 7.400}};
    for (const auto& row : table) {
        EXPECT_NEAR(hankinson(51.3, 7.4, row[0] * degree, 2.0), row[1], 6e-4);
        EXPECT_NEAR(hankinson(51.3, 7.4, row[0] * degree, 2.5), row[2], 6e-4);
    }
    EXPECT_NEAR(hankinson(51.3, 7.4, 45.0 * degree), 2.0 * 51.3 * 7.4 / (51.3 + 7.4), 1e-12);
    EXPECT_THROW(hankinson(0.0, 1.0, 0.3), std::invalid_argument);
}

// hankinson.md: slope of grain against modulus of rupture (Wood Handbook chapter 5, from memory): 96, 93, 89, 81, 55 %
// at 1 in 25, 20, 15, 10, 5. n = 1.75 and Q/P = 0.07 give it within 1.
TEST(Hankinson, SlopeOfGrainOfTheHandbook) {
    const double table[][2] = {{25, 96}, {20, 93}, {15, 89}, {10, 81}, {5, 55}};
    for (const auto& row : table) EXPECT_NEAR(hankinson(100.0, 7.0, std::atan(1.0 / row[0]), 1.75), row[1], 1.0);
}

// Wood Handbook, table 5-1, sugar maple (read): E_T/E_L 0.065, E_R/E_L 0.132, G_LT/E_L 0.063.
TEST(PlaneElastic, SugarMaple) {
    const auto flat = plane_elastic("hard maple");
    ASSERT_TRUE(flat);
    EXPECT_NEAR(flat->along_mpa, 1.1 * 12600.0, 1e-6);
    EXPECT_NEAR(flat->across_mpa / flat->along_mpa, 0.065, 1e-12);
    EXPECT_NEAR(flat->shear_mpa / flat->along_mpa, 0.063, 1e-12);
    EXPECT_FALSE(flat->from_memory);
    EXPECT_FALSE(flat->of_group);
    EXPECT_NEAR(plane_elastic("hard maple", Rings::quarter)->across_mpa / flat->along_mpa, 0.132, 1e-12);
}

TEST(PlaneElastic, WithoutItsOwnRatiosTheMeanOfItsGroup) {
    const auto beech = plane_elastic("Beech, American");
    ASSERT_TRUE(beech);
    EXPECT_TRUE(beech->of_group);
    EXPECT_GT(beech->across_mpa / beech->along_mpa, 0.03);
    EXPECT_LT(beech->across_mpa / beech->along_mpa, 0.10);
    EXPECT_FALSE(plane_elastic("oak"));
    EXPECT_FALSE(plane_elastic("no such wood"));
}

TEST(Mechanical, WhiteOakAsTheHandbookHasIt) {
    const auto oak = shelf::mechanical_of("white oak");
    ASSERT_TRUE(oak && oak->crushing && oak->crushing_across && oak->shear);
    EXPECT_NEAR(oak->crushing->mpa, 51.3, 0.2);
    EXPECT_NEAR(oak->crushing_across->mpa, 7.4, 0.1);
    EXPECT_TRUE(oak->hardwood);
}

}  // namespace
}  // namespace seamwright::wood
