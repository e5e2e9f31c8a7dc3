#include "trace/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "decoded.h"
#include "picture_kind.h"

namespace seamwright::trace {

namespace {

/// Pixels are moved in squares of this size, so that both the rows read and the rows written stay near.
constexpr int turn_square = 64;

/// Columns become rows: the picture mirrored about the diagonal from its top left corner.
std::vector<std::uint8_t> transposed(const Decoded& decoded, std::size_t channels) {
    std::vector<std::uint8_t> turned(decoded.pixels.size());
    const auto w = static_cast<std::size_t>(decoded.width);
    const auto h = static_cast<std::size_t>(decoded.height);
    for (std::size_t top = 0; top < h; top += turn_square)
        for (std::size_t left = 0; left < w; left += turn_square)
            for (std::size_t y = top; y < std::min(h, top + turn_square); ++y)
                for (std::size_t x = left; x < std::min(w, left + turn_square); ++x)
                    for (std::size_t k = 0; k < channels; ++k)
                        turned[(x * h + y) * channels + k] = decoded.pixels[(y * w + x) * channels + k];
    return turned;
}

void mirror_rows(Decoded& decoded, std::size_t channels) {
    const auto w = static_cast<std::size_t>(decoded.width);
    for (std::size_t y = 0; y < static_cast<std::size_t>(decoded.height); ++y) {
        std::uint8_t* row = decoded.pixels.data() + y * w * channels;
        for (std::size_t x = 0; x < w / 2; ++x)
            std::swap_ranges(row + x * channels, row + (x + 1) * channels, row + (w - 1 - x) * channels);
    }
}

void reverse_order_of_rows(Decoded& decoded, std::size_t channels) {
    const auto row = static_cast<std::ptrdiff_t>(decoded.width) * static_cast<std::ptrdiff_t>(channels);
    for (std::ptrdiff_t y = 0; y < decoded.height / 2; ++y) {
        const auto one = decoded.pixels.begin() + y * row;
        std::swap_ranges(one, one + row, decoded.pixels.begin() + (decoded.height - 1 - y) * row);
    }
}

Picture upright(Decoded decoded) {
    Picture picture;
    picture.focal_px = focal_px(decoded.notes, decoded.width, decoded.height);
    if (const auto noted = density(decoded.density, decoded.notes, decoded.width, decoded.height)) {
        picture.per_mm_x = noted->x;
        picture.per_mm_y = noted->y;
    }
    constexpr int first_lying = 5;
    if (decoded.notes.orientation >= first_lying) std::swap(picture.per_mm_x, picture.per_mm_y);
    turn_upright(decoded, 1);
    picture.width = decoded.width;
    picture.height = decoded.height;
    picture.grey = std::move(decoded.pixels);
    return picture;
}

double million(std::size_t count) {
    return static_cast<double>(count) / 1e6;
}

}  // namespace

TraceProblem cut_short(std::string_view kind) {
    return {fmt::format("The {} file is cut short: it ends before the picture does.", kind),
            "Copy or send the original once more, and wait until it has arrived whole.",
            {}};
}

TraceProblem damaged(std::string_view kind) {
    return {fmt::format("The {} file is damaged and cannot be read to its end.", kind),
            "Copy the original once more from the camera or scanner; if that does not help, take the picture again.",
            {}};
}

std::optional<TraceProblem> check_size(std::size_t width, std::size_t height) {
    if (width < fewest_pixels_across || height < fewest_pixels_across)
        return TraceProblem{fmt::format("The picture is too small: {} × {} pixels, at least {} each way are needed.",
                                        width, height, fewest_pixels_across),
                            "Choose the photo or scan itself, not a preview of it.",
                            {}};
    if (width > most_pixels / height)
        return TraceProblem{
            fmt::format("The picture has {} × {} pixels, {:.0f} million; up to {:.0f} million are read.", width, height,
                        static_cast<double>(width) * static_cast<double>(height) / 1e6, million(most_pixels)),
            "Save it with half the pixels along each side; 12 million pixels are plenty for a photo, 300 an inch for a "
            "scan.",
            {}};
    return std::nullopt;
}

/// EXIF 2.3, tag Orientation: what row 0 and column 0 of the stored picture are to the eye. 1 top left, 2 top right, 3
/// bottom right, 4 bottom left, 5 left top, 6 right top, 7 right bottom, 8 left bottom.
void turn_upright(Decoded& decoded, std::size_t channels) {
    const int orientation = decoded.notes.orientation;
    if (orientation >= 5) {
        decoded.pixels = transposed(decoded, channels);
        std::swap(decoded.width, decoded.height);
    }
    if (orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7) mirror_rows(decoded, channels);
    if (orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8)
        reverse_order_of_rows(decoded, channels);
}

std::variant<Decoded, TraceProblem> decode_picture(std::span<const std::uint8_t> bytes, Wanted wanted) {
    if (bytes.empty())
        return TraceProblem{"The file is empty.", "Copy the picture once more from its camera or scanner.", {}};
    const LooksLike looks = looks_like(bytes);
    if (looks.kind == PictureKind::other)
        return TraceProblem{looks.name.empty()
                                ? std::string("This is no picture that can be read: JPEG and PNG can.")
                                : fmt::format("This looks like {}; JPEG and PNG pictures can be read.", looks.name),
                            looks.remedy,
                            {}};
    if (bytes.size() > most_picture_bytes)
        return TraceProblem{fmt::format("The file is too large: {:.0f} MB, up to {:.0f} MB are read.",
                                        million(bytes.size()), million(most_picture_bytes)),
                            "Save it as JPEG with high quality: a photo then takes 5 to 10 MB.",
                            {}};
    return looks.kind == PictureKind::jpeg ? decode_jpeg(bytes, wanted) : decode_png(bytes, wanted);
}

std::variant<Picture, TraceProblem> read_picture(std::span<const std::uint8_t> bytes) {
    auto decoded = decode_picture(bytes, Wanted::greys);
    if (auto* problem = std::get_if<TraceProblem>(&decoded)) return std::move(*problem);
    return upright(std::move(std::get<Decoded>(decoded)));
}

}  // namespace seamwright::trace
