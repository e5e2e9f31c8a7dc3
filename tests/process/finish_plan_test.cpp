#include "process/finish_plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

#include "process/film.h"

namespace seamwright::process {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

FinishWish table_top() {
    FinishWish wish;
    wish.area = {2.0, 2.0, 0.5};
    return wish;
}

// Pocket calculator: 4.5 m² at 75 to 125 µm wet is 0.3375 to 0.5625 L a coat on the wood; by brush 97 to 90 % stays
// there: 0.348 to 0.625 L; three coats and a tenth more 1.148 to 2.0625 L.
TEST(FinishAmounts, ByArea) {
    const auto plan = finish_amounts(*find_finish("oil-varnish"), table_top());
    ASSERT_EQ(plan.coats.size(), 3u);
    EXPECT_NEAR(plan.coats[0].area_m2, 4.5, 1e-12);
    EXPECT_NEAR(plan.coats[0].on_wood_l.low, 0.3375, 1e-12);
    EXPECT_NEAR(plan.coats[0].on_wood_l.high, 0.5625, 1e-12);
    EXPECT_NEAR(plan.coats[0].from_can_l.high, 0.625, 1e-12);
    EXPECT_NEAR(plan.litres.low, 3 * 1.1 * 0.3375 / 0.97, 1e-12);
    EXPECT_NEAR(plan.litres.high, 2.0625, 1e-12);
    // 2.0625 L: three cans of 0.75 L are 2.25 L, one of 2.5 L is more.
    ASSERT_EQ(plan.cans.size(), 1u);
    EXPECT_EQ(plan.cans[0].count, 3);
    EXPECT_EQ(plan.cans[0].size.litres, 0.75);
    // 3 × 75 × 0.35 to 3 × 125 × 0.5.
    ASSERT_TRUE(plan.dry_um);
    EXPECT_NEAR(plan.dry_um->low, 78.75, 1e-9);
    EXPECT_NEAR(plan.dry_um->high, 187.5, 1e-9);
    EXPECT_EQ(plan.most_coats_within, 2) << "150 / 62.5 µm";
}

TEST(FinishAmounts, TheSprayGunTakesThreeTimesAsMuch) {
    FinishWish wish = table_top();
    const double brushed = finish_amounts(*find_finish("oil-varnish"), wish).litres.high;
    wish.way = Way::spray;
    EXPECT_NEAR(finish_amounts(*find_finish("oil-varnish"), wish).litres.high, brushed * 0.90 / 0.25, 1e-9);
}

// The product sheet goes before the table: 65 % solids and 5 mil dry cover 208.5 ft²/gal (reference, read).
TEST(FinishAmounts, FiguresOfTheProductSheet) {
    FinishWish wish;
    wish.area.top_m2 = 208.5 * m2_per_ft2;
    wish.coats = 1;
    wish.waste = 0.0;
    wish.solids_percent = Range{65.0, 65.0};
    wish.wet_um = Range{5.0 * um_per_mil / 0.65, 5.0 * um_per_mil / 0.65};
    wish.unit = units::Unit::inch;
    const auto plan = finish_amounts(*find_finish("oil-varnish"), wish);
    EXPECT_NEAR(plan.coats[0].on_wood_l.low / litres_per_us_gallon, 1.0, 1e-3);
    EXPECT_NEAR(plan.dry_um->low / um_per_mil, 5.0, 1e-9);
    ASSERT_EQ(plan.cans.size(), 2u) << "a gallon, and for what stays in the brush a pint";
    EXPECT_EQ(plan.cans[0].size.name, "gallon");
    EXPECT_EQ(plan.cans[1].size.name, "pint");
}

TEST(FinishAmounts, TooThickIsTold) {
    FinishWish wish = table_top();
    wish.way = Way::spray;
    wish.coats = 12;
    const auto plan = finish_amounts(*find_finish("nitrocellulose-lacquer"), wish);
    ASSERT_EQ(plan.must.size(), 1u);
    EXPECT_THAT(plan.must[0], HasSubstr("108 to 330 µm"));
    EXPECT_THAT(plan.must[0], HasSubstr("75 to 100 µm"));
    wish.unit = units::Unit::inch;
    EXPECT_THAT(finish_amounts(*find_finish("nitrocellulose-lacquer"), wish).must[0], HasSubstr("3.0 to 3.9 mil"));
    wish.coats = 3;
    EXPECT_THAT(finish_amounts(*find_finish("nitrocellulose-lacquer"), wish).must, IsEmpty());
    // Oil builds no film, however often.
    wish.way = Way::wipe;
    wish.coats = 12;
    const auto oil = finish_amounts(*find_finish("drying-oil"), wish);
    EXPECT_FALSE(oil.dry_um);
    EXPECT_THAT(oil.must, IsEmpty());
}

TEST(FinishAmounts, OneSideOnlyCups) {
    FinishWish wish = table_top();
    wish.underside_coats = 0;
    const auto plan = finish_amounts(*find_finish("oil-varnish"), wish);
    EXPECT_NEAR(plan.coats[0].area_m2, 2.5, 1e-12);
    EXPECT_THAT(plan.mind, Contains(HasSubstr("cup")));
}

TEST(FinishAmounts, UnusualWayIsTold) {
    FinishWish wish = table_top();
    wish.way = Way::brush;
    EXPECT_THAT(finish_amounts(*find_finish("conversion-varnish"), wish).must, Contains(HasSubstr("by brush")));
}

TEST(FinishAmounts, RefusesWhatIsNone) {
    const FinishSystem& varnish = *find_finish("oil-varnish");
    FinishWish wish;
    EXPECT_THROW(finish_amounts(varnish, wish), std::invalid_argument);
    wish = table_top();
    wish.coats = 0;
    EXPECT_THROW(finish_amounts(varnish, wish), std::invalid_argument);
    wish = table_top();
    wish.area.edge_m2 = -1.0;
    EXPECT_THROW(coat_schedule(varnish, wish), std::invalid_argument);
    wish = table_top();
    wish.solids_percent = Range{60.0, 50.0};
    EXPECT_THROW(finish_amounts(varnish, wish), std::invalid_argument);
    wish.area = {0.0, 1.0, 0.0};
    wish.solids_percent = std::nullopt;
    wish.underside_coats = 0;
    EXPECT_THROW(coat_schedule(varnish, wish), std::invalid_argument) << "nothing is coated";
}

RC_GTEST_PROP(FinishAmounts, GrowWithArea, ()) {
    const auto& all = finish_systems();
    const FinishSystem& system = all[*rc::gen::inRange<std::size_t>(0, all.size())];
    FinishWish wish;
    wish.way = system.ways.front();
    wish.area = {0.01 * *rc::gen::inRange(1, 1000), 0.01 * *rc::gen::inRange(0, 1000),
                 0.01 * *rc::gen::inRange(0, 100)};
    wish.coats = *rc::gen::inRange(1, 8);
    const auto one = finish_amounts(system, wish);
    double sum = 0.0;
    for (const CoatAmount& coat : one.coats) sum += coat.from_can_l.high;
    RC_ASSERT(std::abs(1.1 * sum - one.litres.high) < 1e-9 * sum);
    RC_ASSERT(one.litres.low < one.litres.high);
    RC_ASSERT(one.bought_l >= one.litres.high - 1e-9);
    wish.area = {3.0 * wish.area.top_m2, 3.0 * wish.area.underside_m2, 3.0 * wish.area.edge_m2};
    RC_ASSERT(std::abs(finish_amounts(system, wish).litres.high - 3.0 * one.litres.high) < 1e-9 * one.litres.high);
}

// Against trying every number of every can.
RC_GTEST_PROP(BuyCans, LeastOfFewCans, ()) {
    const double litres = 0.01 * *rc::gen::inRange(0, 700);
    const auto& sizes = *rc::gen::arbitrary<bool>() ? metric_cans() : us_cans();
    const auto bought = buy_cans(litres, sizes);
    const double have = litres_in(bought);
    RC_ASSERT(have >= litres - 1e-9);
    const double largest = sizes.back().litres;
    const double whole = std::floor((litres + 1e-9) / largest);
    const double rest = litres - whole * largest;
    double best = rest > 1e-9 ? largest : 0.0;
    for (int a = 0; a <= most_small_cans; ++a) {
        for (int b = 0; a + b <= most_small_cans; ++b) {
            for (int c = 0; a + b + c <= most_small_cans; ++c) {
                const double sum = a * sizes[0].litres + b * sizes[1].litres + c * sizes[2].litres;
                if (sum >= rest - 1e-9) best = std::min(best, sum);
            }
        }
    }
    RC_ASSERT(std::abs(have - whole * largest - best) < 1e-9);
}

TEST(BuyCans, FewestOfEqualLitres) {
    const auto two = buy_cans(0.75, metric_cans());
    ASSERT_EQ(two.size(), 1u);
    EXPECT_EQ(two[0].count, 1) << "one of 0.75 L, not two of 0.375 L";
    EXPECT_TRUE(buy_cans(0.0, us_cans()).empty());
    EXPECT_EQ(buy_cans(10.0, metric_cans())[0].count, 2);
    EXPECT_THROW(buy_cans(1.0, {}), std::invalid_argument);
    EXPECT_THROW(buy_cans(1.0, {{"empty", 0.0}}), std::invalid_argument);
    EXPECT_NEAR(litres_per_us_quart, 0.946353, 1e-6);  // NIST Handbook 44, from memory
}

// Three coats, 6 to 24 h between them, light use 48 to 72 h after the last (data/finishing.csv).
TEST(CoatSchedule, WaitsAndWork) {
    FinishWish wish = table_top();
    wish.both_sides_at_once = true;
    const auto plan = coat_schedule(*find_finish("oil-varnish"), wish);
    ASSERT_EQ(plan.steps.size(), 5u) << "three coats, sanded before the second and the third";
    EXPECT_EQ(plan.steps[1].kind, CoatStep::Kind::sand);
    EXPECT_THAT(plan.steps[1].text, HasSubstr("P320"));
    // By brush 10 min to set up and clean and 6 min/m²; sanding 4 min/m².
    EXPECT_NEAR(plan.steps[0].hands_on_min, 10.0 + 6.0 * 4.5, 1e-9);
    EXPECT_NEAR(plan.steps[1].hands_on_min, 4.0 * 4.5, 1e-9);
    const double work_h = (3 * 37.0 + 2 * 18.0) / 60.0;
    EXPECT_NEAR(plan.last_coat_after_h.low, 12.0 + work_h, 1e-9);
    EXPECT_NEAR(plan.last_coat_after_h.high, 48.0 + work_h, 1e-9);
    EXPECT_NEAR(plan.light_use_after_h.low, 60.0 + work_h, 1e-9);
    EXPECT_NEAR(plan.cured_after_d.high, 30.0 + (48.0 + work_h) / 24.0, 1e-9);
    EXPECT_EQ(plan.steps[0].most_h, 24.0);
    EXPECT_FALSE(plan.steps.back().most_h) << "no coat follows the last";
    EXPECT_EQ(plan.steps.back().wait_h.high, 72.0);
    EXPECT_THAT(plan.must, IsEmpty());
}

TEST(CoatSchedule, OneSideAfterTheOther) {
    FinishWish wish = table_top();
    const auto plan = coat_schedule(*find_finish("hardwax-oil"), wish);
    ASSERT_EQ(plan.steps.size(), 4u);
    EXPECT_EQ(plan.steps[0].face, CoatStep::Face::underside);
    EXPECT_EQ(plan.steps[1].face, CoatStep::Face::top_and_edges);
    wish.both_sides_at_once = true;
    const auto at_once = coat_schedule(*find_finish("hardwax-oil"), wish);
    EXPECT_EQ(at_once.steps.size(), 2u);
    EXPECT_GT(plan.last_coat_after_h.low, 2.5 * at_once.last_coat_after_h.low);
}

// Drying takes twice as long for each 10 °C colder (rule of thumb, from memory).
TEST(CoatSchedule, ColdIsSlowAndToldWhereTooCold) {
    FinishWish wish = table_top();
    wish.both_sides_at_once = true;
    wish.temperature_c = 11.0;
    const auto cold = coat_schedule(*find_finish("oil-varnish"), wish);
    EXPECT_NEAR(cold.slower, 2.0, 1e-12);
    EXPECT_NEAR(cold.steps[0].wait_h.low, 12.0, 1e-12);
    ASSERT_THAT(cold.must, Contains(HasSubstr("15 to 30 °C")));
    wish.temperature_c = 25.0;
    wish.humidity_percent = 85.0;
    const auto damp = coat_schedule(*find_finish("oil-varnish"), wish);
    EXPECT_EQ(damp.slower, 1.0);
    EXPECT_THAT(damp.must, Contains(HasSubstr("30 to 70 % humidity")));
}

// So cold that the next coat comes when the one below must be sanded, although this finish is not sanded otherwise.
TEST(CoatSchedule, PastTheWindowIsSanded) {
    FinishWish wish = table_top();
    wish.both_sides_at_once = true;
    wish.temperature_c = -9.0;
    const auto plan = coat_schedule(*find_finish("hardwax-oil"), wish);
    ASSERT_EQ(plan.steps.size(), 3u);
    EXPECT_EQ(plan.steps[1].kind, CoatStep::Kind::sand);
}

}  // namespace
}  // namespace seamwright::process
