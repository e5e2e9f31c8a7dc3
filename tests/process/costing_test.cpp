#include "process/costing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using testing::ElementsAre;
using Kind = CostLine::Kind;

TEST(Money, ReadAndShown) {
    EXPECT_EQ(money(12.5).hundredths, 1250);
    EXPECT_EQ(money(1.005).hundredths, 101) << "as written, not as 1.00499…";
    EXPECT_EQ(money(-1.005).hundredths, -101);
    EXPECT_EQ(show(money(1234.5), "EUR"), "1234.50 EUR");
    EXPECT_EQ(show(Money{-7}, ""), "-0.07");
    EXPECT_THROW(money(2e9), std::invalid_argument);
    EXPECT_THROW(money(std::nan("")), std::invalid_argument);
    EXPECT_EQ(show_quantity(12500), "12.5");
    EXPECT_EQ(show_quantity(85), "0.085");
    EXPECT_EQ(show_quantity(20000), "20");
    EXPECT_EQ(show_quantity(0), "0");
}

// Pocket calculator: 2.345 × 9.90 = 23.2155 is 23.22; 0.005 × 1.00 is half a hundredth, up.
TEST(CostLine, OneMultiplicationRoundedOnce) {
    EXPECT_EQ(cost_line(Kind::other, "glue", 2.345, "kg", money(9.90), "").amount, money(23.22));
    EXPECT_EQ(cost_line(Kind::other, "glue", 0.005, "kg", money(1.0), "").amount->hundredths, 1);
    EXPECT_EQ(cost_line(Kind::other, "rebate", 0.005, "kg", money(-1.0), "").amount->hundredths, -1);
    EXPECT_EQ(cost_line(Kind::other, "glue", 0.00049, "kg", money(1000.0), "").amount->hundredths, 0);
    EXPECT_FALSE(cost_line(Kind::other, "glue", 1.0, "kg", std::nullopt, "").amount);
    EXPECT_THROW(cost_line(Kind::other, "glue", -1.0, "kg", std::nullopt, ""), std::invalid_argument);
    EXPECT_EQ(cost_line(Kind::other, "gold", 1e6, "kg", money(1e9), "").amount->hundredths, 100'000'000'000'000'000);
}

TEST(CostLine, WoodByTheFootAndByTheMetre) {
    // 3 m² is 32.292 ft²; a quarter more 40.365; 26 mm planed is 5/4, 1.25 in: 50.456 board feet.
    const auto feet = board_feet_line("Walnut", 3.0, 26.0, 0.25, money(12.0));
    EXPECT_EQ(feet.thousandths, 50456);
    EXPECT_EQ(feet.how, "5/4, 25 % more for waste");
    EXPECT_EQ(feet.amount, money(605.47));
    const auto metres = cubic_line("Walnut", 3.0, 32.0, 0.25, money(2400.0));
    EXPECT_EQ(metres.thousandths, 120);
    EXPECT_EQ(metres.amount, money(288.0));
    EXPECT_EQ(metres.how, "32 mm rough, 25 % more for waste");
    // Two boards of 4-1/2 ft²: one up, one down.
    const auto pile = boards_line("Ash", {{1.0, 6.0, 9.0}, {1.0, 6.0, 9.0}}, money(5.0));
    EXPECT_EQ(pile.thousandths, 9000);
    EXPECT_EQ(pile.amount, money(45.0));
    EXPECT_THROW(board_feet_line("Walnut", 3.0, 120.0, 0.25, {}), std::invalid_argument);
    EXPECT_THROW(cubic_line("Walnut", 3.0, 32.0, -0.25, {}), std::invalid_argument);
}

TEST(CostLine, TheRestOfTheShop) {
    EXPECT_EQ(sheets_line("MDF", 3.0, 0.1, 3.125, money(28.0)).amount, money(56.0)) << "3.3 m² of 3.125 m² sheets";
    EXPECT_EQ(sheets_line("MDF", 6.25, 0.0, 3.125, money(28.0)).amount, money(56.0)) << "two exactly";
    EXPECT_EQ(adhesive_line("PVA", 240.0, money(9.5)).amount, money(2.28));
    EXPECT_EQ(litres_line("Oil", 0.42, money(38.0)).amount, money(15.96));
    EXPECT_EQ(cans_line("Oil", {{"0.75 L", 0.75}, 2}, money(31.0)).amount, money(62.0));
    EXPECT_EQ(abrasives_line("Discs P120", 7, money(0.65)).amount, money(4.55));
    const auto cutter = cutter_line("12.7 mm cutter", 51.0, 600.0, money(45.0));
    EXPECT_EQ(cutter.thousandths, 85);
    EXPECT_EQ(cutter.amount, money(3.83)) << "0.085 × 45 = 3.825";
    EXPECT_EQ(cutter.how, "51.0 m of 600 m until it is dull");
    EXPECT_EQ(labour_line("Routing", 95.0, money(60.0)).amount, money(94.98)) << "1.583 h as shown";
    EXPECT_EQ(share_line("Overhead", 12.5, money(200.10)).amount, money(25.01));
    EXPECT_THROW(cutter_line("cutter", 1.0, 0.0, {}), std::invalid_argument);
}

TEST(CostSheet, ToldWhereAPriceIsMissing) {
    const auto sheet = cost_sheet({labour_line("Routing", 60.0, money(60.0)), adhesive_line("PVA", 240.0, std::nullopt),
                                   litres_line("Oil", 0.42, money(38.0)), abrasives_line("Discs", 3, std::nullopt)},
                                  "EUR");
    EXPECT_FALSE(sheet.complete);
    EXPECT_THAT(sheet.missing, ElementsAre("PVA", "Discs"));
    EXPECT_EQ(sheet.sum, money(75.96));
    EXPECT_EQ(sheet.says, "So far 75.96 EUR. Incomplete: no price for PVA; Discs.");
    EXPECT_EQ(sum_of(sheet, Kind::labour), money(60.0));
    EXPECT_EQ(sum_of(sheet, Kind::abrasive), Money{});
    const auto whole = cost_sheet({labour_line("Routing", 60.0, money(60.0))}, "EUR");
    EXPECT_TRUE(whole.complete);
    EXPECT_EQ(whole.says, "Together 60.00 EUR.");
    EXPECT_FALSE(whole.rounding.empty());
}

// C1: the sum is the sum of the lines, to the last hundredth. C2: each amount is within half a hundredth of what long
// arithmetic gives. C3: the order of lines does not matter.
RC_GTEST_PROP(CostSheet, AddsUp, ()) {
    const int n = *rc::gen::inRange(0, 40);
    std::vector<CostLine> lines;
    std::int64_t sum = 0;
    for (int i = 0; i < n; ++i) {
        const int quantity = *rc::gen::inRange(0, 10'000'000), price = *rc::gen::inRange(-100'000, 100'000);
        const auto line = cost_line(Kind::other, "line", 1e-3 * quantity, "pieces", Money{price}, "");
        RC_ASSERT(line.thousandths == quantity);
        const long double exact = static_cast<long double>(quantity) * price / 1000.0L;
        RC_ASSERT(std::fabs(static_cast<long double>(line.amount->hundredths) - exact) <= 0.5L);
        sum += line.amount->hundredths;
        lines.push_back(line);
    }
    std::vector<CostLine> turned(lines.rbegin(), lines.rend());
    const auto sheet = cost_sheet(lines, "");
    RC_ASSERT(sheet.sum.hundredths == sum);
    RC_ASSERT(sheet.complete);
    RC_ASSERT(sum_of(sheet, Kind::other) == sheet.sum);
    RC_ASSERT(cost_sheet(turned, "").sum == sheet.sum);
}

TEST(CostSheet, RefusesWhatNobodyPays) {
    const auto line = cost_line(Kind::other, "gold", 1.0, "kg", money(1e9), "");
    EXPECT_THROW(cost_sheet({line, line}, ""), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
