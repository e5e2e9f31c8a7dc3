#include "wood/strength.h"

#include <gtest/gtest.h>

#include "wood/elastic.h"

namespace seamwright::wood {
namespace {

constexpr double degree = 3.14159265358979323846 / 180.0;

// Wood Handbook, FPL-GTR-190, page 10-18 (read): an edge joint comes close to the wood, an end-grain butt joint to a
// quarter of the wood's tension along the grain at best.
TEST(JointStrength, ItsEndsAreTheHandbooks) {
    const auto edge = joint_strength("cherry", 0.0), end = joint_strength("cherry", 90.0 * degree);
    ASSERT_TRUE(edge && end);
    EXPECT_NEAR(edge->wood_tension_mpa, 3.86, 0.05);  // 560 psi or 3,900 kPa, tension across
    EXPECT_NEAR(edge->joint_tension_mpa, 0.9 * edge->wood_tension_mpa, 1e-9);
    EXPECT_EQ(edge->grain, SeamGrain::long_grain);
    EXPECT_NEAR(end->joint_tension_mpa, 0.25 * end->wood_tension_mpa, 1e-9);
    EXPECT_NEAR(end->wood_tension_mpa, 84.8, 0.1);  // the modulus of rupture, 12,300 psi
    EXPECT_EQ(end->grain, SeamGrain::end_grain);
    // Glued at 90° to the load, a third of the shear along the grain (FPL report 1522, a rule of its day).
    EXPECT_NEAR(end->joint_shear_mpa, edge->joint_shear_mpa / 3.0, 1e-9);
}

TEST(JointStrength, AnyTurnOfTheSameAngle) {
    const auto one = joint_strength("white oak", 35.0 * degree), other = joint_strength("white oak", -215.0 * degree);
    ASSERT_TRUE(one && other);
    EXPECT_NEAR(one->joint_tension_mpa, other->joint_tension_mpa, 1e-9);
    EXPECT_EQ(one->grain, SeamGrain::run_out);
    EXPECT_EQ(seam_grain(10.0 * degree), SeamGrain::long_grain);
    EXPECT_EQ(seam_grain(61.0 * degree), SeamGrain::end_grain);
    double before = 1e9;
    for (double angle = 0.0; angle <= 90.0; angle += 10.0) {
        const double shear = joint_strength("white oak", angle * degree)->joint_shear_mpa;
        EXPECT_LT(shear, before);
        before = shear;
    }
    EXPECT_FALSE(joint_strength("no such wood", 0.0));
}

}  // namespace
}  // namespace seamwright::wood
