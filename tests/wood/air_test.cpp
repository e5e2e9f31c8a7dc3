#include "wood/air.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <fstream>
#include <iterator>

#include "shelf/table.h"
#include "source_folder.h"

namespace seamwright::wood {
namespace {

// Wood Handbook, FPL-GTR-190, table 4-2: all 209 entries and the further published values, as read
// (tests/data/emc_check.csv). The table is rounded to 0.1 and was worked out in degrees Fahrenheit.
TEST(Air, TheHandbooksTable) {
    std::ifstream in(source_folder() + "/tests/data/emc_check.csv", std::ios::binary);
    const shelf::Table table =
        shelf::built_in_table("emc_check.csv", std::string{std::istreambuf_iterator<char>(in), {}});
    const auto rows = table.rows_where("kind", "table_4_2");
    std::size_t compared = 0;
    for (const std::size_t row : rows) {
        const auto f = table.number(row, "temp_F"), rh = table.number(row, "RH_pct"),
                   said = table.number(row, "EMC_pct_published");
        ASSERT_TRUE(f && rh && said) << row;
        EXPECT_NEAR(moisture_at_rest((*f - 32.0) / 1.8, *rh), *said, 0.07) << *f << " F, " << *rh << " %";
        ++compared;
    }
    EXPECT_GE(compared, 209U);
}

TEST(Air, TheExamplesInPrint) {
    // Table 4-2: 70 °F with 30, 50, 65 and 80 %; 100 °F with 90 %. Eq 4-5: 20 °C with 65 % (all read).
    EXPECT_NEAR(moisture_at_rest(21.1, 30.0), 6.2, 0.05);
    EXPECT_NEAR(moisture_at_rest(21.1, 50.0), 9.2, 0.05);
    EXPECT_NEAR(moisture_at_rest(21.1, 65.0), 12.0, 0.05);
    EXPECT_NEAR(moisture_at_rest(21.1, 80.0), 16.0, 0.05);
    EXPECT_NEAR(moisture_at_rest(37.8, 90.0), 19.5, 0.05);
    EXPECT_NEAR(moisture_at_rest(20.0, 65.0), 12.0, 0.01);
    // Its inverse: 8 % at 20 °C is at rest in 41.8 %.
    EXPECT_NEAR(humidity_for(20.0, 8.0), 41.8, 0.1);
}

RC_GTEST_PROP(Air, DamperAirMakesDamperWoodAndBack, ()) {
    const double celsius = *rc::gen::inRange(-1, 54);
    const double low = *rc::gen::inRange(5, 94), high = low + 1.0;
    RC_ASSERT(moisture_at_rest(celsius, low) < moisture_at_rest(celsius, high));
    RC_ASSERT(std::abs(humidity_for(celsius, moisture_at_rest(celsius, low)) - low) < 1e-6);
}

}  // namespace
}  // namespace seamwright::wood
