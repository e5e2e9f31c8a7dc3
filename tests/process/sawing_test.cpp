#include "process/sawing.h"

#include <gtest/gtest.h>

#include <cmath>

namespace seamwright::process {
namespace {

// The chart of the trade (common practice, from memory): a 1/4 in blade turns 5/8 in, a 1/2 in blade 2 1/2 in.
TEST(Sawing, BladesAsInTheChart) {
    EXPECT_NEAR(widest_blade(20.0)->width_mm, 6.0, 1e-12);
    EXPECT_NEAR(widest_blade(64.0)->width_mm, 13.0, 1e-12);
    EXPECT_NEAR(widest_blade(HUGE_VAL)->width_mm, 25.0, 1e-12);
    EXPECT_FALSE(widest_blade(3.0));
    for (std::size_t i = 1; i < band_blades().size(); ++i) {
        EXPECT_GT(band_blades()[i].width_mm, band_blades()[i - 1].width_mm);
        EXPECT_GT(band_blades()[i].least_radius_mm, band_blades()[i - 1].least_radius_mm);
    }
}

// A blade of 160 mm, 30 mm deep, stands in the wood over 124.9 mm; with 0.3 mm free its chord rises by that on a circle
// of L²/8f (the sagitta of an arc).
TEST(Sawing, ACircularSawBendsAsItsSetAllows) {
    const double r = circular_saw_radius_mm(80.0, 30.0, 0.3);
    const double half = std::sqrt(80.0 * 80.0 - 50.0 * 50.0);
    EXPECT_NEAR(r - std::sqrt(r * r - half * half), 0.3, 1e-4);
    EXPECT_THROW(circular_saw_radius_mm(30.0, 30.0, 0.3), std::invalid_argument);
}

TEST(Sawing, ThickWoodAsksForWiderBends) {
    EXPECT_EQ(jigsaw_radius_mm(12.0), 25.0);
    EXPECT_EQ(jigsaw_radius_mm(40.0), 35.0);
}

}  // namespace
}  // namespace seamwright::process
