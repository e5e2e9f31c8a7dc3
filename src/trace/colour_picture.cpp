#include "trace/colour_picture.h"

#include <algorithm>
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <stdexcept>
#include <utility>

// jpeglib.h does not include what it needs, so it comes after <cstdio>.
#include <jpeglib.h>

#include "decoded.h"

namespace seamwright::trace {
namespace {

struct Writer {
    jpeg_compress_struct jpeg{};
    jpeg_error_mgr errors{};
    std::jmp_buf out{};
    const ColourPicture* picture = nullptr;
    int quality = 0;
    unsigned char* bytes = nullptr;
    unsigned long size = 0;
};

[[noreturn]] void on_error(j_common_ptr jpeg) {
    std::longjmp(static_cast<Writer*>(jpeg->client_data)->out, 1);
}
void on_output(j_common_ptr) {}

/// The library leaves by longjmp on trouble; nothing here would have to be destroyed.
bool write(Writer& writer) {
    auto& jpeg = writer.jpeg;
    if (setjmp(writer.out) != 0) return false;
    jpeg_create_compress(&jpeg);
    jpeg_mem_dest(&jpeg, &writer.bytes, &writer.size);
    jpeg.image_width = static_cast<JDIMENSION>(writer.picture->width);
    jpeg.image_height = static_cast<JDIMENSION>(writer.picture->height);
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, writer.quality, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    while (jpeg.next_scanline < jpeg.image_height) {
        // The library takes rows that it could write to, and does not.
        auto* row = const_cast<JSAMPROW>(writer.picture->rgb.data() + std::size_t{jpeg.next_scanline} *  // NOLINT
                                                                          jpeg.image_width * 3);
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    return true;
}

}  // namespace

std::variant<ColourPicture, TraceProblem> read_colour_picture(std::span<const std::uint8_t> bytes) {
    auto read = decode_picture(bytes, Wanted::colours);
    if (auto* problem = std::get_if<TraceProblem>(&read)) return std::move(*problem);
    auto& decoded = std::get<Decoded>(read);
    ColourPicture picture;
    picture.focal_px = focal_px(decoded.notes, decoded.width, decoded.height);
    turn_upright(decoded, 3);
    picture.width = decoded.width;
    picture.height = decoded.height;
    picture.rgb = std::move(decoded.pixels);
    return picture;
}

Picture in_greys(const ColourPicture& picture) {
    Picture out;
    out.width = picture.width;
    out.height = picture.height;
    out.focal_px = picture.focal_px;
    out.grey.resize(picture.rgb.size() / 3);
    for (std::size_t i = 0; i < out.grey.size(); ++i)
        out.grey[i] = grey_of(picture.rgb[3 * i], picture.rgb[3 * i + 1], picture.rgb[3 * i + 2]);
    return out;
}

ColourPicture no_larger_than(const ColourPicture& picture, int longest_px) {
    const int longest = std::max(picture.width, picture.height);
    if (longest <= longest_px) return picture;
    const auto smaller = [&](int side) {
        return std::max(1, static_cast<int>(static_cast<std::int64_t>(side) * longest_px / longest));
    };
    ColourPicture out;
    out.width = smaller(picture.width);
    out.height = smaller(picture.height);
    out.rgb.reserve(3 * static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height));
    const auto edge = [](int at, int from, int to) {
        return static_cast<std::size_t>(static_cast<std::int64_t>(at) * from / to);
    };
    for (int y = 0; y < out.height; ++y) {
        const std::size_t top = edge(y, picture.height, out.height), bottom = edge(y + 1, picture.height, out.height);
        for (int x = 0; x < out.width; ++x) {
            const std::size_t left = edge(x, picture.width, out.width), right = edge(x + 1, picture.width, out.width);
            std::size_t sum[3] = {0, 0, 0};
            for (std::size_t v = top; v < bottom; ++v) {
                const std::uint8_t* row = picture.rgb.data() + 3 * v * static_cast<std::size_t>(picture.width);
                for (std::size_t u = left; u < right; ++u)
                    for (std::size_t k = 0; k < 3; ++k) sum[k] += row[3 * u + k];
            }
            const std::size_t count = (bottom - top) * (right - left);
            for (const std::size_t each : sum) out.rgb.push_back(static_cast<std::uint8_t>((each + count / 2) / count));
        }
    }
    return out;
}

std::string write_jpeg(const ColourPicture& picture, int quality) {
    if (picture.width < 1 || picture.height < 1) throw std::invalid_argument("write_jpeg: an empty picture");
    Writer writer;
    writer.picture = &picture;
    writer.quality = quality;
    writer.jpeg.err = jpeg_std_error(&writer.errors);
    writer.errors.error_exit = on_error;
    writer.errors.output_message = on_output;
    writer.jpeg.client_data = &writer;
    const bool good = write(writer);
    std::string out;
    // The library hands over bytes as unsigned char.
    if (good) out.assign(reinterpret_cast<const char*>(writer.bytes), writer.size);
    jpeg_destroy_compress(&writer.jpeg);
    std::free(writer.bytes);  // NOLINT(cppcoreguidelines-no-malloc): the library took it so
    if (!good) throw std::runtime_error("a picture could not be written as JPEG");
    return out;
}

}  // namespace seamwright::trace
