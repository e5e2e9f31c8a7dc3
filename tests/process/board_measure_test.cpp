#include "process/board_measure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using testing::ElementsAre;

// Examples of the American Hardwood Export Council and other public pages (read; addresses in data/lumber.csv):
// 2 in × 6-1/4 in × 8 ft is 8 board feet; surface measures of 6-1/2 in × 8 ft, 8 in × 12 ft and 10 in × 13 ft.
TEST(Tally, AsInTheTradesExamples) {
    const auto pile = tally({{2.0, 6.25, 8.0}, {1.0, 6.5, 8.0}, {1.0, 8.0, 12.0}, {1.0, 10.0, 13.0}});
    EXPECT_THAT(pile.surface_ft2, ElementsAre(4, 4, 8, 11));
    EXPECT_THAT(pile.board_feet, ElementsAre(8.0, 4.0, 8.0, 11.0));
    EXPECT_EQ(pile.total, 31.0);
}

// "Exactly x.5: round up one time and down the next; always rounding up is wrong under the rules" (read).
TEST(Tally, HalvesGoUpAndDownInTurn) {
    // 6 in × 9 ft and 9 in × 6 ft are 4-1/2 ft².
    const auto pile = tally({{1.0, 6.0, 9.0}, {1.0, 7.0, 9.0}, {1.0, 9.0, 6.0}, {1.0, 6.0, 9.0}});
    EXPECT_THAT(pile.surface_ft2, ElementsAre(5, 5, 4, 5));
    const auto thirds = tally({{1.0, 54.0 / 7.0, 7.0}, {1.0, 54.0 / 7.0, 7.0}});
    EXPECT_THAT(thirds.surface_ft2, ElementsAre(5, 4)) << "half a foot in spite of rounding";
}

TEST(BoardFeet, DefinitionAndThinBoards) {
    EXPECT_NEAR(board_feet({1.0, 12.0, 1.0}), 1.0, 1e-12);
    EXPECT_NEAR(board_feet({0.75, 12.0, 10.0}), 10.0, 1e-12) << "counted as 1 in (from memory)";
    EXPECT_NEAR(m3_per_board_foot, 0.00235974, 5e-9);  // data/lumber.csv, computed
    EXPECT_NEAR(1.0 / m3_per_board_foot, 423.776, 5e-4);
    EXPECT_THROW(board_feet({1.0, 0.0, 8.0}), std::invalid_argument);
    EXPECT_THROW(tally({{1.0, 6.0, -8.0}}), std::invalid_argument);
}

// Public chart (read): 4/4 planes to 13/16 in (20.64 mm), 5/4 to 1-1/16 in (26.99 mm), 8/4 to 1-3/4 in (44.45 mm).
TEST(ThicknessClass, AsInTheChart) {
    EXPECT_EQ(class_for_planed(20.0)->name, "4/4");
    EXPECT_EQ(class_for_planed(20.64)->name, "4/4");
    EXPECT_EQ(class_for_planed(20.8)->name, "5/4");
    EXPECT_EQ(class_for_planed(27.0)->name, "5/4") << "26.99 mm";
    EXPECT_EQ(class_for_planed(35.0)->name, "8/4");
    EXPECT_EQ(class_for_planed(14.0)->name, "3/4 in");
    EXPECT_EQ(class_for_planed(96.0), nullptr);
    EXPECT_EQ(class_for_rough(25.4)->name, "4/4");
    EXPECT_EQ(class_for_rough(26.0)->name, "5/4");
    EXPECT_EQ(class_for_planed(14.0)->counted_in(), 1.0);
    EXPECT_EQ(class_for_planed(50.0)->from, Provenance::memory) << "10/4";
    EXPECT_EQ(class_for_planed(20.0)->from, Provenance::read);
    EXPECT_THROW(class_for_planed(0.0), std::invalid_argument);
    for (std::size_t i = 1; i < thickness_classes().size(); ++i) {
        EXPECT_GT(thickness_classes()[i].rough_in, thickness_classes()[i - 1].rough_in);
        EXPECT_GT(thickness_classes()[i].planed_in, thickness_classes()[i - 1].planed_in);
        EXPECT_LT(thickness_classes()[i].planed_in, thickness_classes()[i].rough_in);
    }
}

TEST(Waste, GrowsWithTheTrouble) {
    EXPECT_NEAR(waste(Parts::rectangular_clear).low, 0.15, 1e-12);
    EXPECT_NEAR(waste(Parts::curved_matched).high, 0.60, 1e-12);
    EXPECT_GT(waste(Parts::rectangular_common).low, waste(Parts::rectangular_clear).high);
    EXPECT_NEAR(cubic_metres(2.0, 27.0), 0.054, 1e-12);
}

// No board is off by more than half a foot, and a pile of halves not by more than one of them.
RC_GTEST_PROP(Tally, HardlyOff, ()) {
    const auto sizes = *rc::gen::container<std::vector<std::pair<int, int>>>(
        rc::gen::pair(rc::gen::inRange(12, 80), rc::gen::inRange(3, 17)));
    std::vector<YardBoard> boards;
    double off_halves = 0.0;
    for (const auto& [quarters, feet] : sizes) boards.push_back({1.0, 0.25 * quarters, double(feet)});
    const auto pile = tally(boards);
    for (std::size_t i = 0; i < boards.size(); ++i) {
        const double off = pile.board_feet[i] - board_feet(boards[i]);
        RC_ASSERT(std::abs(off) <= 0.5 + 1e-9);
        if (std::abs(std::abs(off) - 0.5) < 1e-9) off_halves += off;
    }
    RC_ASSERT(off_halves > -1e-9);
    RC_ASSERT(off_halves < 0.5 + 1e-9);
}

}  // namespace
}  // namespace seamwright::process
