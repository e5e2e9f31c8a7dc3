#include "process/film.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

// Worked examples read in public pages (rows "arithmetic" of data/finishing.csv, addresses there).
TEST(Film, CoverageAsInTheWorkedExamples) {
    EXPECT_NEAR(ft2_per_gallon_mil, 1604.17, 0.005);
    EXPECT_NEAR(area_covered_ft2(1.0, 0.65, 1.0, 5.0), 208.52, 0.03) << "the page reckons with 1604";
    EXPECT_NEAR(area_covered_ft2(1.0, 1.0, 1.0, 10.0), 160.417, 0.0005);
    EXPECT_NEAR(area_covered_ft2(1.0, 0.88, 1.0, 12.0), 117.63, 0.02);
    EXPECT_NEAR(area_covered_ft2(1.0, 0.52, 0.35, 1.5), 194.6, 0.05);
    EXPECT_NEAR(area_covered_m2(1.0, 0.65, 1.0, 125.0), 5.2, 1e-12);
    EXPECT_NEAR(area_covered_m2(1.0, 1.0, 1.0, 100.0), 10.0, 1e-12);
}

// 80 mil wet at 88 % is 70.4; 4 wet mil of 25 % is 1.0 and of 33 % about 1.33 (read; addresses in data/finishing.csv).
TEST(Film, DryFromWet) {
    EXPECT_NEAR(dry_film_um(80.0 * um_per_mil, 0.88) / um_per_mil, 70.4, 1e-9);
    EXPECT_NEAR(dry_film_um(4.0 * um_per_mil, 0.25) / um_per_mil, 1.0, 1e-12);
    EXPECT_NEAR(dry_film_um(4.0 * um_per_mil, 0.33) / um_per_mil, 1.33, 0.011);
    EXPECT_NEAR(wet_film_um(25.0, 0.25), 100.0, 1e-12);
}

RC_GTEST_PROP(Film, BothWaysAndBothUnits, ()) {
    const double litres = 0.01 * *rc::gen::inRange(1, 10000), solids = 0.01 * *rc::gen::inRange(1, 101);
    const double share = 0.01 * *rc::gen::inRange(1, 101), um = 0.5 * *rc::gen::inRange(1, 2000);
    const double m2 = area_covered_m2(litres, solids, share, um);
    RC_ASSERT(std::abs(litres_needed(m2, solids, share, um) - litres) < 1e-12 * litres);
    RC_ASSERT(std::abs(area_covered_m2(2.0 * litres, solids, share, um) - 2.0 * m2) < 1e-12 * m2);
    RC_ASSERT(std::abs(area_covered_m2(litres, solids, share, 2.0 * um) - 0.5 * m2) < 1e-12 * m2);
    const double ft2 = area_covered_ft2(litres / litres_per_us_gallon, solids, share, um / um_per_mil);
    RC_ASSERT(std::abs(ft2 * m2_per_ft2 - m2) < 1e-9 * m2);
}

TEST(Film, RefusesWhatIsNone) {
    EXPECT_THROW(dry_film_um(100.0, 0.0), std::invalid_argument);
    EXPECT_THROW(area_covered_m2(1.0, 65.0, 1.0, 125.0), std::invalid_argument) << "percent for a share";
    EXPECT_THROW(area_covered_ft2(1.0, 0.5, 1.0, 0.0), std::invalid_argument);
    EXPECT_THROW(litres_needed(0.0, 0.5, 1.0, 10.0), std::invalid_argument);
}

TEST(Film, IsShownInTheMakersUnits) {
    EXPECT_EQ(show_film(127.0, units::Unit::millimetre), "127 µm");
    EXPECT_EQ(show_film(127.0, units::Unit::inch), "5.0 mil");
    EXPECT_EQ(show_films(26.25, 62.5, units::Unit::inch), "1.0 to 2.5 mil");
    EXPECT_EQ(show_films(50.1, 50.2, units::Unit::millimetre), "50 µm");
}

}  // namespace
}  // namespace seamwright::process
