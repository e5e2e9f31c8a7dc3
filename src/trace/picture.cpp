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
std::vector<std::uint8_t> transposed(const std::vector<std::uint8_t>& grey, int width, int height) {
    std::vector<std::uint8_t> turned(grey.size());
    const auto w = static_cast<std::size_t>(width);
    const auto h = static_cast<std::size_t>(height);
    for (std::size_t top = 0; top < h; top += turn_square)
        for (std::size_t left = 0; left < w; left += turn_square)
            for (std::size_t y = top; y < std::min(h, top + turn_square); ++y)
                for (std::size_t x = left; x < std::min(w, left + turn_square); ++x)
                    turned[x * h + y] = grey[y * w + x];
    return turned;
}

void mirror_rows(Picture& picture) {
    for (int y = 0; y < picture.height; ++y) {
        const auto row = picture.grey.begin() + static_cast<std::ptrdiff_t>(y) * picture.width;
        std::reverse(row, row + picture.width);
    }
}

void reverse_order_of_rows(Picture& picture) {
    for (int y = 0; y < picture.height / 2; ++y) {
        const auto row = picture.grey.begin() + static_cast<std::ptrdiff_t>(y) * picture.width;
        const auto other = picture.grey.begin() + static_cast<std::ptrdiff_t>(picture.height - 1 - y) * picture.width;
        std::swap_ranges(row, row + picture.width, other);
    }
}

/// EXIF 2.3, tag Orientation: what row 0 and column 0 of the stored picture are to the eye. 1 top left, 2 top right, 3
/// bottom right, 4 bottom left, 5 left top, 6 right top, 7 right bottom, 8 left bottom.
void turn_upright(Picture& picture, int orientation) {
    if (orientation >= 5) {
        picture.grey = transposed(picture.grey, picture.width, picture.height);
        std::swap(picture.width, picture.height);
        std::swap(picture.per_mm_x, picture.per_mm_y);
    }
    const bool from_right = orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7;
    const bool from_bottom = orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8;
    if (from_right && from_bottom)
        std::reverse(picture.grey.begin(), picture.grey.end());
    else if (from_right)
        mirror_rows(picture);
    else if (from_bottom)
        reverse_order_of_rows(picture);
}

Picture upright(Decoded decoded) {
    Picture picture;
    picture.width = decoded.width;
    picture.height = decoded.height;
    picture.grey = std::move(decoded.grey);
    picture.focal_px = focal_px(decoded.notes, decoded.width, decoded.height);
    if (const auto noted = density(decoded.density, decoded.notes, decoded.width, decoded.height)) {
        picture.per_mm_x = noted->x;
        picture.per_mm_y = noted->y;
    }
    turn_upright(picture, decoded.notes.orientation);
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

std::variant<Picture, TraceProblem> read_picture(std::span<const std::uint8_t> bytes) {
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
    auto decoded = looks.kind == PictureKind::jpeg ? decode_jpeg(bytes) : decode_png(bytes);
    if (auto* problem = std::get_if<TraceProblem>(&decoded)) return std::move(*problem);
    return upright(std::move(std::get<Decoded>(decoded)));
}

}  // namespace seamwright::trace
