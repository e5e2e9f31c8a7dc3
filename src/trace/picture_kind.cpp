#include "picture_kind.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstddef>
#include <string_view>

namespace seamwright::trace {

namespace {

using namespace std::string_view_literals;

struct Beginning {
    std::size_t at;
    std::string_view bytes;
    std::string_view name;
    std::string_view remedy;
};

constexpr std::string_view save_as = "Open it in a picture viewer and save it as JPEG or PNG.";
constexpr std::string_view heic_remedy =
    "Let the telephone send it as JPEG (\"most compatible\" in its camera settings), or save it as JPEG in a picture "
    "viewer.";
constexpr std::string_view raw_remedy = "Develop it in the camera or a raw converter and save it as JPEG.";
constexpr std::string_view video_remedy = "Take a single photo: a film has too few pixels.";

// In order: what is more particular stands first.
constexpr std::array beginnings{
    Beginning{0, "%PDF"sv, "a PDF file",
              "Scan as JPEG or PNG; or turn the page into a PNG at 300 pixels per inch in a PDF viewer."},
    Beginning{0, "GIF8"sv, "a GIF picture", save_as},
    Beginning{8, "WEBP"sv, "a WebP picture", save_as},
    Beginning{4, "ftypavi"sv, "an AVIF picture", save_as},
    Beginning{4, "ftyphe"sv, "a HEIC picture", heic_remedy},
    Beginning{4, "ftypmif1"sv, "a HEIC picture", heic_remedy},
    Beginning{4, "ftypmsf1"sv, "a HEIC picture", heic_remedy},
    Beginning{4, "ftypcrx"sv, "a camera's raw picture", raw_remedy},
    Beginning{4, "ftyp"sv, "a film", video_remedy},
    Beginning{8, "AVI "sv, "a film", video_remedy},
    Beginning{0, "\x1A\x45\xDF\xA3"sv, "a film", video_remedy},
    Beginning{0, "II*\0"sv, "a TIFF or a camera's raw picture", save_as},
    Beginning{0, "MM\0*"sv, "a TIFF or a camera's raw picture", save_as},
    Beginning{0, "II+\0"sv, "a TIFF picture", save_as},
    Beginning{0, "MM\0+"sv, "a TIFF picture", save_as},
    Beginning{4, "jP  "sv, "a JPEG 2000 picture", save_as},
    Beginning{0, "\xFF\x4F\xFF\x51"sv, "a JPEG 2000 picture", save_as},
    Beginning{4, "JXL "sv, "a JPEG XL picture", save_as},
    Beginning{0, "\xFF\x0A"sv, "a JPEG XL picture", save_as},
    Beginning{0, "BM"sv, "a BMP picture", save_as},
    Beginning{0, "\0\0\1\0"sv, "an icon", "Choose the photo or scan itself."},
    Beginning{0, "8BPS"sv, "a layered picture", "Save it as PNG from the program it was made with."},
    Beginning{0, "%!PS"sv, "a PostScript file", "Turn the page into a PNG at 300 pixels per inch in a viewer."},
    Beginning{0, "PK\3\4"sv, "a ZIP file", "Unpack it and choose the picture in it."},
    Beginning{0, "\x1F\x8B"sv, "a packed file", "Unpack it and choose the picture in it."},
};

char lower(char c) {
    return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}

bool is_text(std::string_view head) {
    return std::all_of(head.begin(), head.end(), [](char c) {
        const auto code = static_cast<unsigned char>(c);
        return code >= 0x20 || c == '\n' || c == '\r' || c == '\t';
    });
}

}  // namespace

LooksLike looks_like(std::span<const std::uint8_t> bytes) {
    constexpr std::size_t head_bytes = 1024;
    const std::string head(bytes.begin(),
                           bytes.begin() + static_cast<std::ptrdiff_t>(std::min(bytes.size(), head_bytes)));
    if (head.starts_with("\xFF\xD8\xFF"sv)) return {PictureKind::jpeg, {}, {}};
    if (head.starts_with("\x89PNG\r\n\x1A\n"sv)) return {PictureKind::png, {}, {}};
    for (const auto& b : beginnings)
        if (head.size() >= b.at && std::string_view(head).substr(b.at).starts_with(b.bytes))
            return {PictureKind::other, std::string(b.name), std::string(b.remedy)};
    if (is_text(head)) {
        std::string text = head;
        std::transform(text.begin(), text.end(), text.begin(), lower);
        if (text.find("<svg") != std::string::npos)
            return {PictureKind::other, "an SVG drawing",
                    "An SVG drawing needs no tracing: take its path over with \"import\"."};
        if (text.find("<html") != std::string::npos || text.find("<!doctype html") != std::string::npos)
            return {PictureKind::other, "a web page", "Save the picture itself, not the page it is on."};
        return {PictureKind::other, "a text", "Choose a photo or scan saved as JPEG or PNG."};
    }
    return {PictureKind::other, {}, "Choose a photo or scan saved as JPEG or PNG."};
}

}  // namespace seamwright::trace
