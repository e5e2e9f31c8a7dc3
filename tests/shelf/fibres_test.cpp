#include "shelf/fibres.h"

#include <gtest/gtest.h>

#include <cmath>

namespace seamwright::shelf {
namespace {

Board plain() {
    Board board;
    board.length_mm = 2000.0;
    board.width_mm = 200.0;
    return board;
}

TEST(Fibres, AreTheSlopeWhereNothingIsDrawn) {
    Board board = plain();
    board.slope_rad = 0.05;
    EXPECT_EQ(fibres_rad(board, {700.0, 20.0}), 0.05);
    EXPECT_EQ(mean_fibres_rad(board), 0.05);
}

TEST(Fibres, FollowOneLineEverywhere) {
    Board board = plain();
    board.slope_rad = 0.05;
    // Drawn from right to left: fibres have no sense.
    board.grain_lines = {{{2000.0, 100.0}, {0.0, 60.0}}};
    for (const double x : {0.0, 900.0, 2000.0})
        EXPECT_NEAR(fibres_rad(board, {x, 30.0}), std::atan2(40.0, 2000.0), 1e-12);
    EXPECT_NEAR(mean_fibres_rad(board), std::atan2(40.0, 2000.0), 1e-12);
}

TEST(Fibres, BetweenTwoLinesTheNearerCountsMore) {
    Board board = plain();
    board.grain_lines = {{{0.0, 0.0}, {2000.0, 0.0}}, {{0.0, 100.0}, {2000.0, 300.0}}};
    const double askew = std::atan2(200.0, 2000.0);
    EXPECT_NEAR(fibres_rad(board, {1000.0, 0.0}), 0.0, 0.01 * askew);
    EXPECT_NEAR(fibres_rad(board, {1000.0, 200.0}), askew, 0.01 * askew);
    // As far from either.
    EXPECT_NEAR(fibres_rad(board, {1000.0, 200.0 / (1.0 + 1.0 / std::cos(askew))}), 0.5 * askew, 1e-9);
}

TEST(Fibres, BendWithALineAroundAKnot) {
    Board board = plain();
    std::vector<geometry::Point> line;
    for (int k = 0; k <= 200; ++k) {
        const double x = 10.0 * k;
        line.push_back({x, 100.0 + 30.0 * std::exp(-std::pow((x - 1000.0) / 120.0, 2))});
    }
    board.grain_lines = {line};
    // The steepest place of that bump is at 120/√2 before its middle, with slope √(2/e)·30/120.
    const double steepest = std::atan(std::sqrt(2.0 / std::exp(1.0)) * 30.0 / 120.0);
    const double x = 1000.0 - 120.0 / std::sqrt(2.0);
    EXPECT_NEAR(fibres_rad(board, {x, 100.0 + 30.0 * std::exp(-0.5)}), steepest, 0.01 * steepest);
    EXPECT_NEAR(mean_fibres_rad(board), 0.0, 0.01);
}

}  // namespace
}  // namespace seamwright::shelf
