// Boards photographed by the tests' own camera: where the picture shows a place against where it is.
#include "trace/board_picture.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdio>

#include "laid_board.h"

namespace seamwright::trace {
namespace {

using ::testing::HasSubstr;

using Answer = std::variant<BoardPicture, TraceProblem>;

BoardPictureSettings settings_of(const LaidBoard& board) {
    BoardPictureSettings settings;
    settings.corners_px = board.corners_px;
    return settings;
}
std::vector<std::uint8_t> photo_of(const LaidBoard& board) {
    return jpeg_file(photograph(board.bench, board.camera, {}), 92);
}
std::string refusal(const Answer& answer) {
    if (const auto* why = std::get_if<TraceProblem>(&answer)) {
        EXPECT_FALSE(why->remedy.empty());
        return why->reason;
    }
    return "a picture was made";
}

/// The middle of a dark disc near a place of the board, as the picture shows it; mm.
Point disc_seen(const BoardPicture& board, Point near) {
    const double across = board.length_mm / board.picture.width, down = board.width_mm / board.picture.height;
    constexpr double half_mm = 13.0, ground = 150.0;
    double sum = 0.0;
    Point middle;
    for (int y = 0; y < board.picture.height; ++y) {
        for (int x = 0; x < board.picture.width; ++x) {
            const Point p{(x + 0.5) * across, board.width_mm - (y + 0.5) * down};
            if (std::abs(p.x - near.x) > half_mm || std::abs(p.y - near.y) > half_mm) continue;
            const auto at = 3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(board.picture.width) +
                                 static_cast<std::size_t>(x));
            const double dark = std::max(0.0, ground - board.picture.rgb[at]);
            sum += dark;
            middle = middle + dark * p;
        }
    }
    EXPECT_GT(sum, 0.0) << "no disc near " << near.x << ", " << near.y;
    return middle / sum;
}

double worst_mm(const BoardPicture& board, const std::vector<Point>& discs) {
    double worst = 0.0;
    for (const Point disc : discs) worst = std::max(worst, distance(disc, disc_seen(board, disc)));
    return worst;
}

TEST(BoardPicture, ByMarksEveryPlaceIsWithinAMillimetreOver2400) {
    // The print came out 0.15 % too large, 3.6 mm over the length; the tape mends it.
    const LaidBoard laid = laid_board(2400.0, 240.0, 5, 0.0015, held_above(4000, 3000, 2000.0));
    BoardPictureSettings settings = settings_of(laid);
    settings.length_mm = laid.length_mm;
    const auto photo = photo_of(laid);
    const auto answer = picture_of_board(photo, settings);
    ASSERT_TRUE(std::holds_alternative<BoardPicture>(answer)) << refusal(answer);
    const auto& board = std::get<BoardPicture>(answer);
    EXPECT_TRUE(board.by_marks);
    EXPECT_EQ(board.marks, 15u);
    EXPECT_NEAR(board.width_mm, laid.width_mm, 0.5);
    EXPECT_NEAR(board.measured_length_mm, laid.length_mm * (1.0 - 0.0015), 1.0);
    EXPECT_LT(board.out_of_square_mm, 0.5);
    // As fine as the photo is, in the middle of the camera's reach.
    EXPECT_GT(board.picture.width, 0.9 * laid.length_mm / board.photo_mm_per_px);
    EXPECT_LE(board.picture.width, longest_board_px);
    const double worst = worst_mm(board, laid.discs);
    std::printf("    by marks, 2400 mm: worst place %.3f mm off, stated %.2f\n", worst, board.within_mm);
    EXPECT_LT(worst, 1.0);
    EXPECT_LT(worst, board.within_mm);
    EXPECT_LT(board.within_mm, 3.0);

    // Without the tape the scale is the print's, and the statement grows with it.
    settings.length_mm.reset();
    const auto by_print = picture_of_board(photo, settings);
    ASSERT_TRUE(std::holds_alternative<BoardPicture>(by_print)) << refusal(by_print);
    EXPECT_NEAR(std::get<BoardPicture>(by_print).length_mm, laid.length_mm * (1.0 - 0.0015), 1.0);
    EXPECT_GT(std::get<BoardPicture>(by_print).within_mm, 3.0);
}

TEST(BoardPicture, ByCornersAloneWithAStraightLensItIsAsGood) {
    Camera camera = held_above(3000, 2250, 1800.0);
    camera.k1 = 0.0;
    const LaidBoard laid = laid_board(1900.0, 180.0, 0, 0.0, camera);
    BoardPictureSettings settings = settings_of(laid);
    settings.length_mm = laid.length_mm;
    settings.width_mm = laid.width_mm;
    const auto answer = picture_of_board(photo_of(laid), settings);
    ASSERT_TRUE(std::holds_alternative<BoardPicture>(answer)) << refusal(answer);
    const auto& board = std::get<BoardPicture>(answer);
    EXPECT_FALSE(board.by_marks);
    const double worst = worst_mm(board, laid.discs);
    std::printf("    by corners, 1900 mm: worst place %.3f mm off\n", worst);
    EXPECT_LT(worst, 0.5);
    ASSERT_FALSE(board.remarks.empty());
    EXPECT_THAT(board.remarks.front().reason, HasSubstr("no marks by which to check it"));
}

TEST(BoardPicture, ABoardThatLiesAcrossThePhotoComesOutAlongThePicture) {
    Camera camera = held_above(2000, 1500, 1500.0);
    camera.roll_rad = 2.0;
    const LaidBoard laid = laid_board(1000.0, 240.0, 3, 0.0, camera);
    const auto answer = picture_of_board(photo_of(laid), settings_of(laid));
    ASSERT_TRUE(std::holds_alternative<BoardPicture>(answer)) << refusal(answer);
    const auto& board = std::get<BoardPicture>(answer);
    EXPECT_GT(board.picture.width, 4 * board.picture.height);
    EXPECT_LT(worst_mm(board, laid.discs), 1.0);
}

TEST(BoardPicture, WithMarksBesideItNothingHidesTheWood) {
    // The face lies 32 mm above the bench, where the strips lie in two rows; what is known on it are dark squares.
    constexpr double thick_mm = 32.0, length_mm = 2000.0, width_mm = 200.0;
    LaidBoard laid;
    laid.camera = held_above(3000, 2250, 1800.0);
    laid.bench.reflects = 0.55;
    for (int i = 0; i < 6; ++i)
        laid.bench.strips.push_back({i, {-850.0 + 340.0 * i, i % 2 == 0 ? 190.0 : -190.0}, 0.02 * i, 0.0});
    const auto on_bench = [&](Point p) { return p - Point{0.5 * length_mm, 0.5 * width_mm}; };
    for (double x = 30.0; x < length_mm; x += 194.0) {
        for (const double y : {30.0, 170.0}) {
            laid.discs.push_back({x, y});
            laid.bench.curves.push_back({{on_bench({x - 6.0, y}), on_bench({x + 6.0, y})}, 12.0, 0.04, 0.0, thick_mm});
        }
    }
    const std::array<Point, 4> corners{Point{0.0, 0.0}, Point{length_mm, 0.0}, Point{length_mm, width_mm},
                                       Point{0.0, width_mm}};
    for (std::size_t i = 0; i < 4; ++i) laid.corners_px[i] = laid.camera.to_px(on_bench(corners[i]), thick_mm);
    BoardPictureSettings settings = settings_of(laid);
    settings.length_mm = length_mm;
    settings.width_mm = width_mm;
    settings.view.above_marks_mm = thick_mm;
    const auto photo = photo_of(laid);
    const auto answer = picture_of_board(photo, settings);
    ASSERT_TRUE(std::holds_alternative<BoardPicture>(answer)) << refusal(answer);
    const auto& board = std::get<BoardPicture>(answer);
    const double worst = worst_mm(board, laid.discs);
    std::printf("    marks beside it, 2000 mm: worst place %.3f mm off, stated %.2f; measured %.1f x %.1f\n", worst,
                board.within_mm, board.measured_length_mm, board.measured_width_mm);
    EXPECT_LT(worst, 1.0);
    for (const TraceProblem& mind : board.remarks) EXPECT_THAT(mind.reason, ::testing::Not(HasSubstr("hide the wood")));
}

TEST(BoardPicture, WhatCannotBeABoardIsRefused) {
    const LaidBoard laid = laid_board(1000.0, 240.0, 3, 0.0, held_above(1600, 1200, 1200.0));
    const auto photo = photo_of(laid);
    const auto with = [&](std::array<std::size_t, 4> order) {
        BoardPictureSettings settings;
        for (std::size_t i = 0; i < 4; ++i) settings.corners_px[i] = laid.corners_px[order[i]];
        return refusal(picture_of_board(photo, settings));
    };
    EXPECT_THAT(with({3, 2, 1, 0}), HasSubstr("the wrong way round"));
    EXPECT_THAT(with({0, 2, 1, 3}), HasSubstr("crosses itself"));
    EXPECT_THAT(with({0, 0, 1, 2}), HasSubstr("0 pixels apart"));
    BoardPictureSettings settings = settings_of(laid);
    settings.corners_px[2].x = 1700.0;
    EXPECT_THAT(refusal(picture_of_board(photo, settings)), HasSubstr("The far right corner"));
    settings = settings_of(laid);
    settings.corners_px[2] = 0.75 * laid.corners_px[0] + 0.25 * laid.corners_px[2];
    EXPECT_THAT(refusal(picture_of_board(photo, settings)), HasSubstr("has a hollow"));
    settings = settings_of(laid);
    settings.length_mm = 1040.0;
    EXPECT_THAT(refusal(picture_of_board(photo, settings)),
                HasSubstr("said to be 1040 mm long; by the marks it is 1000"));
    EXPECT_THAT(refusal(picture_of_board({}, settings)), HasSubstr("empty"));
    EXPECT_THAT(refusal(picture_of_board(std::span(photo).first(photo.size() / 2), settings)), HasSubstr("cut short"));
}

TEST(BoardPicture, WithTooFewMarksTheLengthsAreNeeded) {
    const LaidBoard laid = laid_board(1000.0, 240.0, 1, 0.0, held_above(1600, 1200, 1200.0));
    const auto photo = photo_of(laid);
    BoardPictureSettings settings = settings_of(laid);
    EXPECT_THAT(refusal(picture_of_board(photo, settings)), HasSubstr("3 marks are seen in the photo"));
    settings.length_mm = laid.length_mm;
    EXPECT_THAT(refusal(picture_of_board(photo, settings)), HasSubstr("3 marks are seen in the photo"));
    settings.width_mm = laid.width_mm;
    const auto answer = picture_of_board(photo, settings);
    ASSERT_TRUE(std::holds_alternative<BoardPicture>(answer)) << refusal(answer);
    EXPECT_FALSE(std::get<BoardPicture>(answer).by_marks);
    std::string minds;
    for (const TraceProblem& mind : std::get<BoardPicture>(answer).remarks) minds += mind.reason + '\n';
    EXPECT_THAT(minds, HasSubstr("3 marks are seen"));
    EXPECT_THAT(minds, HasSubstr("no marks by which to check it"));
    // The corners one farther round: the end taken for the near edge.
    std::rotate(settings.corners_px.begin(), settings.corners_px.begin() + 1, settings.corners_px.end());
    EXPECT_THAT(refusal(picture_of_board(photo, settings)), HasSubstr("looks shorter than the ends"));
}

TEST(ColourPicture, ComesBackFromItsJpegInItsColours) {
    ColourPicture picture;
    picture.width = 120;
    picture.height = 80;
    for (int y = 0; y < picture.height; ++y)
        for (int x = 0; x < picture.width; ++x)
            for (const int each : {40 + x, 200 - y, 90}) picture.rgb.push_back(static_cast<std::uint8_t>(each));
    const std::string file = write_jpeg(picture, 95);
    EXPECT_EQ(file, write_jpeg(picture, 95));
    const std::vector<std::uint8_t> bytes(file.begin(), file.end());
    const auto read = read_colour_picture(bytes);
    ASSERT_TRUE(std::holds_alternative<ColourPicture>(read));
    const auto& back = std::get<ColourPicture>(read);
    ASSERT_EQ(back.rgb.size(), picture.rgb.size());
    int worst = 0;
    for (std::size_t i = 0; i < back.rgb.size(); ++i)
        worst = std::max(worst, std::abs(int{back.rgb[i]} - int{picture.rgb[i]}));
    EXPECT_LE(worst, 8);
    const ColourPicture small = no_larger_than(picture, 40);
    EXPECT_EQ(small.width, 40);
    EXPECT_EQ(small.height, 26);
    EXPECT_NEAR(small.rgb[0], 41, 1);   // the mean of 40, 41 and 42
    EXPECT_NEAR(small.rgb[1], 199, 1);  // of 200, 199 and 198
}

TEST(ColourPicture, AGreyFileIsTheSameInColours) {
    const LaidBoard laid = laid_board(600.0, 200.0, 1, 0.0, held_above(400, 300, 900.0));
    for (const auto& bytes : {photo_of(laid), png_file(photograph(laid.bench, laid.camera, {}))}) {
        const auto grey = read_picture(bytes);
        const auto colour = read_colour_picture(bytes);
        ASSERT_TRUE(std::holds_alternative<Picture>(grey) && std::holds_alternative<ColourPicture>(colour));
        EXPECT_EQ(in_greys(std::get<ColourPicture>(colour)).grey, std::get<Picture>(grey).grey);
    }
}

}  // namespace
}  // namespace seamwright::trace
