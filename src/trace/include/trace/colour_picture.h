#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "trace/picture.h"

namespace seamwright::trace {

/// A picture in colours, upright.
struct ColourPicture {
    int width = 0, height = 0;
    std::vector<std::uint8_t> rgb;   ///< row after row from the top: red, green, blue of each pixel
    std::optional<double> focal_px;  ///< as of Picture
};

/// As read_picture, through the same guards, but in colours: memory stays below 600 MB beside the file.
std::variant<ColourPicture, TraceProblem> read_colour_picture(std::span<const std::uint8_t> bytes);

/// The same in greys (ITU-R BT.601), with the focal length.
Picture in_greys(const ColourPicture& picture);

/// With no side longer than `longest_px`, each pixel the mean of those it stands for; unchanged where it is no larger.
ColourPicture no_larger_than(const ColourPicture& picture, int longest_px);

/// An ordinary JPEG file (baseline, three channels; ISO/IEC 10918-1), the same bytes on every run. quality: 1 .. 100,
/// as libjpeg means it. Throws std::invalid_argument for an empty picture.
std::string write_jpeg(const ColourPicture& picture, int quality);

}  // namespace seamwright::trace
