// Files as phones, cameras and scanners write them, and files that are broken.

#include "trace/picture.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <png.h>

#include <cstring>
#include <string>

#include "camera.h"

namespace seamwright::trace {
namespace {

using ::testing::HasSubstr;
using Bytes = std::vector<std::uint8_t>;

/// Greys that rise to the right, and faster downwards: every turn looks different.
Picture slope(int width, int height) {
    Picture p;
    p.width = width;
    p.height = height;
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x)
            p.grey.push_back(static_cast<std::uint8_t>(20 + 60 * x / width + 150 * y / height));
    return p;
}
/// EXIF with one note: which way up the camera was held (TIFF 6.0, tag 274; from memory).
Bytes turned(int orientation) {
    const std::string text("Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0", 24);
    Bytes bytes(text.begin(), text.end());
    bytes.push_back(static_cast<std::uint8_t>(orientation));
    for (int i = 0; i < 7; ++i) bytes.push_back(0);
    return bytes;
}
std::string reason(const Bytes& file) {
    const auto read = read_picture(file);
    if (const auto* why = std::get_if<TraceProblem>(&read)) {
        EXPECT_FALSE(why->remedy.empty());
        return why->reason;
    }
    return "it was read";
}
Bytes png_of(const Picture& p, std::uint32_t format, const Bytes& samples) {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    image.width = static_cast<png_uint_32>(p.width);
    image.height = static_cast<png_uint_32>(p.height);
    image.format = format;
    png_alloc_size_t size = 0;
    png_image_write_to_memory(&image, nullptr, &size, 0, samples.data(), 0, nullptr);
    Bytes out(size);
    png_image_write_to_memory(&image, out.data(), &size, 0, samples.data(), 0, nullptr);
    out.resize(size);
    return out;
}
/// CRC of a PNG chunk (ISO/IEC 15948, annex D).
std::uint32_t crc(const Bytes& bytes) {
    std::uint32_t c = 0xFFFFFFFFU;
    for (const std::uint8_t b : bytes) {
        c ^= b;
        for (int k = 0; k < 8; ++k) c = (c & 1U) != 0 ? 0xEDB88320U ^ (c >> 1U) : c >> 1U;
    }
    return c ^ 0xFFFFFFFFU;
}
void put_chunk(Bytes& file, std::size_t at, const char* name, const Bytes& data) {
    Bytes body(name, name + 4);
    body.insert(body.end(), data.begin(), data.end());
    const auto number = [](std::uint32_t n) {
        return Bytes{static_cast<std::uint8_t>(n >> 24U), static_cast<std::uint8_t>(n >> 16U),
                     static_cast<std::uint8_t>(n >> 8U), static_cast<std::uint8_t>(n)};
    };
    Bytes chunk = number(static_cast<std::uint32_t>(data.size()));
    const Bytes check = number(crc(body));
    chunk.insert(chunk.end(), body.begin(), body.end());
    chunk.insert(chunk.end(), check.begin(), check.end());
    file.insert(file.begin() + static_cast<std::ptrdiff_t>(at), chunk.begin(), chunk.end());
}
constexpr std::size_t after_header = 33;

TEST(ReadPicture, EveryTurnOfTheCameraIsCarriedOut) {
    const Picture upright = slope(120, 90);
    for (int orientation = 1; orientation <= 8; ++orientation) {
        // What a camera held that way stores: the inverse of what the reader must do (EXIF 2.3, 4.6.4).
        const bool swapped = orientation >= 5;
        Picture stored = swapped ? slope(90, 120) : slope(120, 90);
        for (int y = 0; y < stored.height; ++y) {
            for (int x = 0; x < stored.width; ++x) {
                const int w = upright.width, h = upright.height;
                const int to[8][2] = {{x, y}, {w - 1 - x, y}, {w - 1 - x, h - 1 - y}, {x, h - 1 - y},
                                      {y, x}, {w - 1 - y, x}, {w - 1 - y, h - 1 - x}, {y, h - 1 - x}};
                const auto& t = to[orientation - 1];
                stored.grey[static_cast<std::size_t>(y * stored.width + x)] = upright.at(t[0], t[1]);
            }
        }
        const auto read = read_picture(jpeg_file(stored, 98, turned(orientation)));
        ASSERT_TRUE(std::holds_alternative<Picture>(read)) << orientation;
        const auto& picture = std::get<Picture>(read);
        ASSERT_EQ(picture.width, upright.width) << orientation;
        int worst = 0;
        for (std::size_t i = 0; i < upright.grey.size(); ++i)
            worst = std::max(worst, std::abs(int{picture.grey[i]} - int{upright.grey[i]}));
        EXPECT_LE(worst, 6) << orientation;
    }
}

TEST(ReadPicture, PngIsReadAsItIs) {
    const Picture p = slope(100, 80);
    const auto read = read_picture(png_file(p));
    ASSERT_TRUE(std::holds_alternative<Picture>(read));
    EXPECT_EQ(std::get<Picture>(read).grey, p.grey);
}

TEST(ReadPicture, ColoursBecomeGreysByTheirLight) {
    Bytes samples;
    const Picture p = slope(80, 70);
    for (std::size_t i = 0; i < p.grey.size(); ++i) {
        samples.push_back(200);
        samples.push_back(100);
        samples.push_back(50);
    }
    const auto read = read_picture(png_of(p, PNG_FORMAT_RGB, samples));
    ASSERT_TRUE(std::holds_alternative<Picture>(read));
    // ITU-R BT.601: 0.299 R + 0.587 G + 0.114 B.
    EXPECT_NEAR(std::get<Picture>(read).at(40, 40), 0.299 * 200 + 0.587 * 100 + 0.114 * 50, 1.0);
}

TEST(ReadPicture, AlphaIsRefusedWhereItHidesSomething) {
    const Picture p = slope(80, 70);
    Bytes samples;
    for (std::size_t i = 0; i < p.grey.size(); ++i) {
        for (int k = 0; k < 3; ++k) samples.push_back(p.grey[i]);
        samples.push_back(255);
    }
    const auto full = read_picture(png_of(p, PNG_FORMAT_RGBA, samples));
    ASSERT_TRUE(std::holds_alternative<Picture>(full)) << "everywhere opaque: nothing is hidden";
    EXPECT_NEAR(std::get<Picture>(full).at(40, 40), p.at(40, 40), 1);
    for (std::size_t i = 0; i < samples.size() / 2; i += 4) samples[i + 3] = 0;
    EXPECT_THAT(reason(png_of(p, PNG_FORMAT_RGBA, samples)), HasSubstr("transparent"));
}

TEST(ReadPicture, AMovingPictureIsRefused) {
    Bytes file = png_file(slope(80, 70));
    // acTL before the first IDAT makes an APNG (PNG 3rd edition, 11.3.6.1): two frames, for ever.
    put_chunk(file, after_header, "acTL", {0, 0, 0, 2, 0, 0, 0, 0});
    EXPECT_THAT(reason(file), HasSubstr("moving"));
}

TEST(ReadPicture, AHundredMegapixelsAreRefusedBeforeTheyAreDecoded) {
    Bytes file = png_file(slope(80, 70));
    // 12,000 × 9,000 in the header; there are no such pixels in the file.
    const Bytes size = {0, 0, 0x2E, 0xE0, 0, 0, 0x23, 0x28};
    std::copy(size.begin(), size.end(), file.begin() + 16);
    Bytes body(file.begin() + 12, file.begin() + 29);
    const std::uint32_t check = crc(body);
    for (unsigned k = 0; k < 4; ++k) file[29 + k] = static_cast<std::uint8_t>(check >> (24U - 8U * k));
    EXPECT_THAT(reason(file), HasSubstr("12000 × 9000"));
}

TEST(ReadPicture, BrokenFilesAreRefusedWithAReason) {
    const Picture p = slope(400, 300);
    const Bytes jpeg = jpeg_file(p, 90), png = png_file(p);
    EXPECT_THAT(reason(Bytes(jpeg.begin(), jpeg.begin() + static_cast<std::ptrdiff_t>(jpeg.size() / 2))),
                HasSubstr("cut short"));
    EXPECT_THAT(reason(Bytes(png.begin(), png.begin() + static_cast<std::ptrdiff_t>(png.size() / 2))),
                HasSubstr("cut short"));
    EXPECT_THAT(reason({}), HasSubstr("empty"));
    const std::string text = "GIF89a, or so it says";
    EXPECT_NE(reason(Bytes(text.begin(), text.end())), "it was read");
    EXPECT_THAT(reason(png_file(slope(70, 20))), HasSubstr("too small"));
    // Any part of a file is refused, or read; it never takes the program down.
    for (std::size_t n = 0; n < jpeg.size(); n += 97)
        (void)read_picture(Bytes(jpeg.begin(), jpeg.begin() + static_cast<std::ptrdiff_t>(n)));
    for (std::size_t n = 0; n < png.size(); n += 97)
        (void)read_picture(Bytes(png.begin(), png.begin() + static_cast<std::ptrdiff_t>(n)));
}

}  // namespace
}  // namespace seamwright::trace
