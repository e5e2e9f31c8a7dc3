#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "seam/chain.h"
#include "seam/shelves.h"
#include "shelf/data_table.h"

namespace seamwright::seam {
namespace {

using testing::HasSubstr;

Pair only_pair(const shelf::Shelf& shelf) {
    const Pairs found = pairs(shelf);
    EXPECT_EQ(found.usable.size(), 1u);
    return found.usable.at(0);
}

// data/router.csv, rows "offset": 3/4 in guide and 1/2 in cutter give 1/8 in (woodworking.stackexchange.com question
// 7205), 15 mm and 9 mm give 3 mm (ukworkshop.co.uk thread 8513).
TEST(Pair, OffsetsOfTheTable) {
    const shelf::Table table = shelf::data_table("router.csv");
    const auto rows = table.rows_where("topic", "offset");
    ASSERT_EQ(rows.size(), 3u);
    ASSERT_THAT(table.cell(rows[0], "item"), HasSubstr("3/4 in OD, 1/2 in cutter"));
    ASSERT_THAT(table.cell(rows[1], "item"), HasSubstr("15 mm OD, 9 mm cutter"));
    shelf::Shelf inch;
    inch.guides = {guide("3/4", 0.75 * 25.4)};
    inch.guides[0].bore_mm = 16.669;  // 21/32 in, as the same table gives for that guide
    inch.cutters = {cutter("1/2", 0.5 * 25.4)};
    EXPECT_DOUBLE_EQ(only_pair(inch).offset_mm(), table.number(rows[0], "value_low").value() * 25.4);
    shelf::Shelf metric;
    metric.guides = {guide("15", 15.0)};
    metric.cutters = {cutter("9", 9.0)};
    EXPECT_DOUBLE_EQ(only_pair(metric).offset_mm(), table.number(rows[1], "value_low").value());
}

// Common practice: a 1-1/2 in guide and a 1/2 in cutter stand 1/2 in off.
TEST(Pair, InchAndAHalfGuide) {
    shelf::Shelf shelf;
    shelf.guides = {guide("1-1/2", 38.1)};
    shelf.cutters = {cutter("1/2", 12.7)};
    EXPECT_DOUBLE_EQ(only_pair(shelf).offset_mm(), 12.7);
}

TEST(Pair, MeasuredSizesCount) {
    const Pair p = only_pair(same_pair_shelf(30.0, 10.0, 9.8));
    EXPECT_DOUBLE_EQ(p.offset_mm(), 10.1);
    EXPECT_DOUBLE_EQ(p.far_mm(), 19.9);
    EXPECT_DOUBLE_EQ(p.nominal_offset_mm(), 10.0);
    EXPECT_DOUBLE_EQ(p.nominal_far_mm(), 20.0);
}

// Chips need half a millimetre all round (data/router.csv, "bushing wall thickness", from memory).
TEST(Pair, CutterPassesTheBore) {
    EXPECT_EQ(pairs(same_pair_shelf(16.0, 12.0)).usable.size(), 1u);  // bore 13: just the room
    const Pairs tight = pairs(same_pair_shelf(16.0, 12.1));
    ASSERT_EQ(tight.refused.size(), 1u);
    EXPECT_EQ(tight.usable.size(), 0u);
    EXPECT_THAT(tight.refused[0].reason, HasSubstr("room for chips"));
    EXPECT_DOUBLE_EQ(tight.refused[0].wanted_mm, 13.1);
    EXPECT_DOUBLE_EQ(tight.refused[0].found_mm, 13.0);
}

TEST(Pair, ShankPassesTheBore) {
    shelf::Shelf shelf = same_pair_shelf(12.7, 6.35);
    shelf.cutters[0].shank_mm = 12.7;
    const Pairs found = pairs(shelf);
    ASSERT_EQ(found.refused.size(), 1u);
    EXPECT_THAT(found.refused[0].reason, HasSubstr("shank"));
    EXPECT_EQ(found.refused[0].rider, "G");
    EXPECT_EQ(found.refused[0].cutter, "C");
}

TEST(Pair, BearingsOnlyOnCuttersThatTakeThem) {
    shelf::Shelf shelf;
    shelf.bearings = {{"19", {19.0, {}}}, {"16", {16.0, {}}}, {"30", {30.0, {}}}};
    shelf.cutters = {cutter("19 mm", 19.0, 18.94), cutter("10 mm", 10.0)};
    shelf.cutters[0].bearings = {"19", "16"};
    const Pairs found = pairs(shelf);
    ASSERT_EQ(found.usable.size(), 1u);
    EXPECT_EQ(found.usable[0].rides, Pair::Rides::bearing);
    EXPECT_EQ(name_of(shelf, found.usable[0]), "19/19 mm");
    EXPECT_NEAR(found.usable[0].offset_mm(), 0.03, 1e-12);
    ASSERT_EQ(found.refused.size(), 1u);
    EXPECT_EQ(found.refused[0].rider, "16");
}

// Marked flush, measured a little under: still a flush bearing.
TEST(Pair, WornFlushBearingIsKept) {
    shelf::Shelf shelf;
    shelf.bearings = {{"19", {19.0, 18.98}}};
    shelf.cutters = {cutter("19 mm", 19.0, 19.02)};
    shelf.cutters[0].bearings = {"19"};
    EXPECT_NEAR(only_pair(shelf).offset_mm(), -0.02, 1e-12);
}

}  // namespace
}  // namespace seamwright::seam
