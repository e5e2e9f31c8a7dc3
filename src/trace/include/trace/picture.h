#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "geometry/point.h"

namespace seamwright::trace {

using geometry::Point;

// Places in a picture are measured in its pixels, x to the right and y downwards from the top left corner, so that the
// middle of the first pixel is at (0.5, 0.5).

/// Why something cannot be read from a picture, in the maker's words, and what to do about it.
struct TraceProblem {
    std::string reason;
    std::string remedy;
    std::optional<Point> at_px;  ///< where in the picture, if it is at one place
};

/// A picture in greys, upright: the turn noted by the camera is carried out.
struct Picture {
    int width = 0, height = 0;
    std::vector<std::uint8_t> grey;  ///< row after row from the top; 0 black, 255 white
    /// Focal length in pixels of this picture, as far as the camera noted it (EXIF); zooming and cropping by the phone
    /// are not always noted, so it is a start for a fit and no more. Absent where the notes contradict the picture.
    std::optional<double> focal_px;
    /// Pixels per mm along x and y, as a scanner notes them: both or neither. Absent where nobody measured them: 72 per
    /// inch stands for "unknown" in EXIF 2.3, 96 per inch is a screen's; where two notes in the file contradict each
    /// other; and where the picture was made larger or smaller after it was taken.
    std::optional<double> per_mm_x, per_mm_y;

    std::uint8_t at(int x, int y) const {
        return grey[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
    }
};

inline constexpr std::size_t most_pixels = 80'000'000;         ///< larger pictures are refused before they are decoded
inline constexpr std::size_t most_picture_bytes = 64'000'000;  ///< of the file
inline constexpr std::size_t fewest_pixels_across = 64;        ///< either way

/// A JPEG or PNG file of any common kind: progressive, interlaced, grey, coloured, with a palette, for a press; more
/// than 8 bits a channel is brought to 8, colours are brought to greys (ITU-R BT.601). Refused: other files, files cut
/// short or damaged, pictures too large or too small, with moving frames, or transparent in places. Memory stays below
/// 400 MB beside the file, and time is bounded too, whatever the bytes are.
std::variant<Picture, TraceProblem> read_picture(std::span<const std::uint8_t> bytes);

}  // namespace seamwright::trace
