#include "process/cutting_force.h"

#include <gtest/gtest.h>

#include <stdexcept>

#include "process/passes.h"

namespace seamwright::process {
namespace {

// methods.md section 6: 25 deep, 2 off the side, 3 m/min, 12.7 mm at 22 000/min (14.6 m/s), 30 N/mm²: 75 W, 5 N.
TEST(CuttingForce, WorkedExample) {
    const CuttingForce f = cutting_force({25.0, 2.0, 3000.0, 12.7, 22000.0}, 30.0);
    EXPECT_NEAR(f.rim_m_per_s, 14.6, 0.05);
    EXPECT_NEAR(f.power_w, 75.0, 1e-9);
    EXPECT_NEAR(f.mean_n, 5.0, 0.15);
}

// data/router.csv, computed rows: 31.9 m/s at 25.4 mm and 24,000 rpm; the same as beside the highest speed.
TEST(CuttingForce, RimSpeedAgreesWithTheTable) {
    const Speed speed = speed_for(25.4, 0.0);
    const CuttingForce f = cutting_force({10.0, 1.0, 1000.0, 25.4, speed.rpm}, 30.0);
    EXPECT_NEAR(f.rim_m_per_s, 31.9, 0.05);
    EXPECT_DOUBLE_EQ(f.rim_m_per_s, speed.rim_m_per_s);
}

// By hand: two flutes at 22,000/min that bite 1.1 mm run off at 48.4 m/min, 16 times the feed, and pull 16 times as
// hard: 2.6 to 6.8 N become 41 to 110 N.
TEST(ClimbPull, GrowsWithTheFeed) {
    const CutLoad load{25.0, 2.0, 3000.0, 12.7, 22000.0};
    const ClimbPull pull = climb_pull(load, 2);
    EXPECT_NEAR(pull.low_n, 2.56, 0.01);
    EXPECT_NEAR(pull.high_n, 6.84, 0.01);
    EXPECT_NEAR(pull.runaway_feed_mm_per_min, 48400.0, 1e-6);
    EXPECT_NEAR(pull.runaway_high_n / pull.high_n, 48400.0 / 3000.0, 1e-9);
    EXPECT_NEAR(pull.runaway_low_n, 41.4, 0.1);
    EXPECT_TRUE(pull.from_memory);
    EXPECT_FALSE(climb_pull(load, 2, 1.1, particleboard_energy).from_memory);
    // A skim pulls as much less as it takes off.
    CutLoad skim = load;
    skim.side_cut_mm = 0.5;
    EXPECT_NEAR(climb_pull(skim, 2).runaway_high_n, 0.25 * pull.runaway_high_n, 1e-9);
}

TEST(ClimbPull, Refuses) {
    EXPECT_THROW(cutting_force({0.0, 2.0, 3000.0, 12.7, 22000.0}, 30.0), std::invalid_argument);
    EXPECT_THROW(cutting_force({}, 0.0), std::invalid_argument);
    EXPECT_THROW(climb_pull({}, 0), std::invalid_argument);
    EXPECT_THROW(climb_pull({}, 2, 0.0), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
