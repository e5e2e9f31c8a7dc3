#pragma once

#include <array>
#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "trace/colour_picture.h"
#include "trace/view.h"

namespace seamwright::trace {

struct BoardPictureSettings {
    /// Corners of the board in the photo: near left, near right, far right, far left, as the board lies on the bench.
    std::array<Point, 4> corners_px{};
    /// As measured with a tape. Both must be there for a photo without marks; with marks they mend the scale of the
    /// print.
    std::optional<double> length_mm, width_mm;
    /// With a length, `view.print_scale` counts no more than a tape's.
    /// `view.above_marks_mm`: how far the face lies above the marks; 0 where they lie on the board.
    ViewSettings view;
};

// The picture made: as fine as this, unless the photo is coarser or the board longer than the pixels allow.
inline constexpr double finest_px_per_mm = 2.0;
inline constexpr int longest_board_px = 4096;

/// A board as seen squarely from above, cut off at its ends and edges.
struct BoardPicture {
    ColourPicture picture;  ///< x along the board from its left end, its far edge at the top; pixels need not be square
    double length_mm = 0.0, width_mm = 0.0;
    double photo_mm_per_px = 0.0;  ///< of the photo, where it is coarsest on the board

    bool by_marks = false;
    std::size_t marks = 0;
    double residual_px = 0.0;  ///< root mean square of the marks' corners
    /// By marks: 95 of 100 places on the face are within this, once the corners are where they were said to be.
    double within_mm = 0.0;
    /// By marks: the corners on the board as measured, before lengths that were given are made use of; and how far the
    /// farthest of them lies from that of a rectangle around them.
    std::array<Point, 4> corners_mm{};
    double out_of_square_mm = 0.0;
    double measured_length_mm = 0.0, measured_width_mm = 0.0;

    std::vector<TraceProblem> remarks;
};

/// By the marks where four or more are seen: then scale, slant and lens are known. Else by the four corners and the
/// lengths alone: then nothing checks them, and a lens that bows is not mended.
/// Refused: what read_colour_picture refuses; corners outside the picture, too near each other, that make no four-sided
/// figure without a hollow, or run the wrong way round; no marks and no lengths; lengths that differ from what the
/// marks say by more than a fiftieth.
std::variant<BoardPicture, TraceProblem> picture_of_board(std::span<const std::uint8_t> file,
                                                          const BoardPictureSettings& settings);

}  // namespace seamwright::trace
