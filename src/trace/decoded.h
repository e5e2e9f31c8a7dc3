#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <variant>
#include <vector>

#include "exif.h"
#include "picture_scale.h"
#include "trace/picture.h"

namespace seamwright::trace {

/// A picture as it is stored in its file, not turned yet.
struct Decoded {
    int width = 0, height = 0;
    std::vector<std::uint8_t> pixels;  ///< row after row; grey, or red, green and blue of each
    std::optional<Density> density;    ///< as the file itself notes it (JFIF, pHYs)
    CameraNotes notes;
};

enum class Wanted { greys, colours };
inline std::size_t channels_of(Wanted wanted) {
    return wanted == Wanted::colours ? 3 : 1;
}

std::variant<Decoded, TraceProblem> decode_jpeg(std::span<const std::uint8_t> bytes, Wanted wanted);
std::variant<Decoded, TraceProblem> decode_png(std::span<const std::uint8_t> bytes, Wanted wanted);

/// As it is to be looked at, by the turn that the camera noted.
void turn_upright(Decoded& decoded, std::size_t channels);
/// Of either kind; refuses what is neither, and too large a file. Not turned yet.
std::variant<Decoded, TraceProblem> decode_picture(std::span<const std::uint8_t> bytes, Wanted wanted);

/// Refusals that both kinds share. `kind` is "JPEG" or "PNG".
TraceProblem cut_short(std::string_view kind);
TraceProblem damaged(std::string_view kind);
std::optional<TraceProblem> check_size(std::size_t width, std::size_t height);

/// The usual weights of red, green and blue in a grey (ITU-R BT.601), which JPEG has in its first channel already.
inline std::uint8_t grey_of(unsigned red, unsigned green, unsigned blue) {
    return static_cast<std::uint8_t>((299 * red + 587 * green + 114 * blue + 500) / 1000);
}

}  // namespace seamwright::trace
