#include "process/gluing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <stdexcept>

namespace seamwright::process {
namespace {

using testing::HasSubstr;

GlueWish seam(double length_mm) {
    GlueWish wish;
    wish.length_mm = length_mm;
    wish.thickness_mm = 34.0;
    return wish;
}

// data/gluing.csv (typical product data, from memory): PVA is open 5 to 10 minutes, 120 to 200 g/m².
TEST(Adhesives, TheTableIsWhole) {
    std::set<std::string> ids;
    for (const Adhesive& adhesive : adhesives()) {
        SCOPED_TRACE(adhesive.id);
        EXPECT_TRUE(ids.insert(adhesive.id).second);
        EXPECT_GT(adhesive.open_min.low, 0.0);
        EXPECT_LE(adhesive.open_min.low, adhesive.open_min.high);
        EXPECT_GE(adhesive.clamp_min.low, 30.0);
        EXPECT_GT(adhesive.spread_g_m2.low, 50.0);
        EXPECT_TRUE(adhesive.from_memory);
        EXPECT_EQ(find_adhesive(adhesive.id), &adhesive);
    }
    EXPECT_EQ(find_adhesive("pva")->open_min.low, 5.0);
    EXPECT_EQ(find_adhesive("pva")->spread_g_m2.high, 200.0);
    EXPECT_EQ(find_adhesive("urea")->least_temperature_c, 18.0);
    EXPECT_EQ(find_adhesive("flour paste"), nullptr);
}

// Wood Handbook, chapter 10 (from memory): 700 kPa for light woods, 1,700 kPa for the densest.
TEST(GluingPressure, ByDensity) {
    EXPECT_NEAR(gluing_pressure_mpa(300.0), 0.7, 1e-12);
    EXPECT_NEAR(gluing_pressure_mpa(900.0), 1.7, 1e-12);
    EXPECT_NEAR(gluing_pressure_mpa(550.0), 1.2, 1e-12);
    EXPECT_NEAR(gluing_pressure_mpa(900.0, 2.4), 0.8, 1e-12) << "the softer one is not to be crushed";
    EXPECT_THROW(gluing_pressure_mpa(0.0), std::invalid_argument);
}

// Pocket calculator: 2400 × 34 mm = 0.0816 m²; 200 g/m² is 16.3 g, a fifth more 19.6: 20 g.
TEST(PlanGluing, AmountByArea) {
    const auto plan = plan_gluing(*find_adhesive("pva"), seam(2400.0));
    EXPECT_NEAR(plan.area_m2, 0.0816, 1e-12);
    EXPECT_NEAR(plan.grams.high, 16.32, 1e-9);
    EXPECT_EQ(plan.to_mix_g, 20.0);
    EXPECT_TRUE(plan.in_time);
    EXPECT_TRUE(plan.must.empty());
    // 0.1 mm of gap all along is 8.2 ml more, 9 g.
    GlueWish gapped = seam(2400.0);
    gapped.mean_gap_mm = 0.1;
    EXPECT_NEAR(plan_gluing(*find_adhesive("pva"), gapped).grams.high - plan.grams.high, 8.976, 1e-9);
}

TEST(PlanGluing, TooMuchAtOnceIsSplit) {
    GlueWish wish = seam(9.0 * 2400.0);
    wish.clamps = 40;
    const auto alone = plan_gluing(*find_adhesive("pva"), wish);
    EXPECT_FALSE(alone.in_time);
    EXPECT_LT(alone.part_that_fits, 0.5);
    ASSERT_FALSE(alone.must.empty());
    EXPECT_THAT(alone.must.back(), HasSubstr("second"));
    wish.people = 2;
    const auto two = plan_gluing(*find_adhesive("pva"), wish);
    EXPECT_NEAR(two.press_min, 0.5 * alone.press_min, 1e-12);
    EXPECT_TRUE(plan_gluing(*find_adhesive("epoxy"), wish).in_time);
}

TEST(PlanGluing, ColdWetAndOutdoorsAreRefused) {
    GlueWish wish = seam(1000.0);
    wish.temperature_c = 8.0;
    wish.moisture_left = 14.0;
    wish.moisture_right = 9.0;
    wish.exposure = Exposure::d4;
    wish.largest_gap_mm = 0.4;
    const auto plan = plan_gluing(*find_adhesive("pva"), wish);
    ASSERT_EQ(plan.must.size(), 5u);
    EXPECT_THAT(plan.must[0], HasSubstr("D4"));
    EXPECT_THAT(plan.must[1], HasSubstr("10 °C"));
    EXPECT_THAT(plan.must[2], HasSubstr("ease the edge"));
    EXPECT_THAT(plan.must[3], HasSubstr("14.0 %"));
    EXPECT_THAT(plan.must[4], HasSubstr("5.0 points"));
    EXPECT_THROW(plan_gluing(*find_adhesive("pva"), seam(0.0)), std::invalid_argument);
}

TEST(Adhesives, StandWhatTheirClassSays) {
    using process::Exposure;
    const auto& pva = *find_adhesive("pva");
    EXPECT_TRUE(stands(pva, Exposure::d3));
    EXPECT_FALSE(stands(pva, Exposure::d4));
    EXPECT_TRUE(stands(pva, Exposure::type_2));
    EXPECT_FALSE(stands(pva, Exposure::type_1));
    EXPECT_TRUE(stands(*find_adhesive("epoxy"), Exposure::type_1));
    EXPECT_FALSE(stands(*find_adhesive("hide"), Exposure::type_2));
    for (const ExposureName& name : exposures()) {
        EXPECT_EQ(exposure_named(name.id), name.exposure);
        EXPECT_NE(std::string(name.says).find(name.id), std::string::npos);
    }
    EXPECT_EQ(exposures().size(), 6U);
    EXPECT_FALSE(exposure_named("D5"));
}

}  // namespace
}  // namespace seamwright::process
