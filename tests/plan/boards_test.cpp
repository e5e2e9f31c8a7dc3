#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/words.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;

/// An insert between two equal waves 100 mm apart, along the length of the top.
Document insert_between_waves(double half_height_mm, double board_mm) {
    Document document = small();
    document.job.seams.clear();
    for (const double y : {150.0, 250.0}) {
        job::Seam seam;
        seam.name = y < 200.0 ? "front seam" : "back seam";
        seam.curve = curves::Wave{{-50.0, y}, {1050.0, y}, {{half_height_mm, 550.0, 0.0}}};
        document.job.seams.push_back(seam);
    }
    job::Piece insert;
    insert.name = "insert";
    insert.at = {500.0, 200.0};
    insert.species = "Walnut, black";
    insert.board_mm = board_mm;
    document.job.pieces = {insert};
    return document;
}

// Common practice: two equal waves of whole waves leave (board − margins − insert)/2 for their half height.
TEST(Boards, EqualWavesAsHighAsTheBoardAllows) {
    const Plan plan = plan_of(insert_between_waves(10.0, 160.0));
    ASSERT_TRUE(plan.pieces[0].board) << show_all(plan.problems);
    const PiecePlan::Board& board = *plan.pieces[0].board;
    EXPECT_TRUE(board.fits);
    EXPECT_NEAR(board.takes_mm, 120.0, 0.01);
    EXPECT_NEAR(board.times_as_high, 0.5 * (160.0 - 10.0 - 100.0) / 10.0, 0.01);
    EXPECT_THAT(words::board_text(plan.pieces[0], plan.style), HasSubstr("comes out of it"));
}

TEST(Boards, ATooNarrowBoardIsToldWithWhatWouldDo) {
    const Plan plan = plan_of(insert_between_waves(30.0, 150.0));
    const PiecePlan::Board& board = *plan.pieces[0].board;
    EXPECT_FALSE(board.fits);
    EXPECT_NEAR(board.times_as_high, 20.0 / 30.0, 0.01);
    bool told = false;
    for (const auto& p : plan.problems) {
        if (p.pointer != "/pieces/0/board") continue;
        told = true;
        EXPECT_EQ(p.weight, job::Problem::Weight::warning);
        EXPECT_THAT(p.found, HasSubstr("66 % as high"));
        EXPECT_THAT(p.remedy, HasSubstr("170.0 mm wide"));
    }
    EXPECT_TRUE(told);
    // As high as told, it fits.
    EXPECT_TRUE(plan_of(insert_between_waves(30.0 * 0.66, 150.0)).pieces[0].board->fits);
}

TEST(Boards, ABoardNarrowerThanTheInsertDoesNotDoAtAnyHeight) {
    const Plan plan = plan_of(insert_between_waves(10.0, 90.0));
    EXPECT_FALSE(plan.pieces[0].board->fits);
    EXPECT_EQ(plan.pieces[0].board->times_as_high, 0.0);
    EXPECT_THAT(words::board_text(plan.pieces[0], plan.style), HasSubstr("A board of 130.0 mm would do"));
}

TEST(Boards, AcrossTheGrainAndNotAcrossTheTop) {
    Document document = insert_between_waves(10.0, 160.0);
    document.job.pieces[0].grain_rad = 0.5 * geometry::pi;
    const Plan plan = plan_of(document);
    EXPECT_NEAR(plan.pieces[0].board->takes_mm, 1000.0, 0.01);
    EXPECT_FALSE(plan.pieces[0].board->fits);
}

}  // namespace
}  // namespace seamwright::plan::testing
