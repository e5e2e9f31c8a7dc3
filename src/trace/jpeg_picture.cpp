// JPEG by libjpeg. The library reports trouble by a call that must not return, so each step runs under setjmp, and
// holds nothing that would have to be destroyed. Whatever it only warns of (data that end early, codes that do not
// exist) would give a picture with parts made up, so a warning ends the reading too.

#include <algorithm>
#include <array>
#include <csetjmp>
#include <cstdio>
#include <string_view>

// jpeglib.h does not include what it needs, so it comes after <cstdio>.
#include <jerror.h>
#include <jpeglib.h>

#include "decoded.h"

namespace seamwright::trace {

namespace {

// An encoder writes a progressive picture in about ten scans; each one is a walk over the whole picture, so many small
// ones take long.
constexpr int most_scans = 100;
// A picture in several scans is held as coefficients until the last: 80 million pixels with half the colour
// resolution both ways fit.
constexpr std::size_t most_coefficient_bytes = 256'000'000;
constexpr long most_library_bytes = 320'000'000;
// Some cameras leave a few bytes over at the end of a scan. More means that the codes were misread.
constexpr int most_stray_bytes = 64;

enum class Trouble { none, cut_short, damaged, many_scans, large, bits, coding };

struct Reader {
    jpeg_decompress_struct jpeg{};
    jpeg_error_mgr errors{};
    jpeg_progress_mgr progress{};
    std::jmp_buf out{};
    Trouble trouble = Trouble::none;
    Wanted wanted = Wanted::greys;
    std::uint8_t* pixels = nullptr;
    std::uint8_t* inks = nullptr;  ///< one row in cyan, magenta, yellow and black, for pictures meant for a press
};

[[noreturn]] void leave(j_common_ptr jpeg, Trouble trouble) {
    auto& reader = *static_cast<Reader*>(jpeg->client_data);
    reader.trouble = trouble;
    std::longjmp(reader.out, 1);
}

void on_error(j_common_ptr jpeg) {
    switch (jpeg->err->msg_code) {
        case JERR_INPUT_EOF:
        case JERR_INPUT_EMPTY:
            leave(jpeg, Trouble::cut_short);
        case JERR_OUT_OF_MEMORY:
        case JERR_NO_BACKING_STORE:
            leave(jpeg, Trouble::large);
        case JERR_BAD_PRECISION:
            leave(jpeg, Trouble::bits);
        case JERR_SOF_UNSUPPORTED:
        case JERR_ARITH_NOTIMPL:
            leave(jpeg, Trouble::coding);
        default:
            leave(jpeg, Trouble::damaged);
    }
}

void on_message(j_common_ptr jpeg, int level) {
    if (level >= 0) return;  // talk
    switch (jpeg->err->msg_code) {
        case JWRN_JPEG_EOF:
            leave(jpeg, Trouble::cut_short);
        case JWRN_ADOBE_XFORM:
        case JWRN_JFIF_MAJOR:
        case JWRN_BOGUS_ICC:
            return;
        case JWRN_EXTRANEOUS_DATA:
            if (jpeg->err->msg_parm.i[0] <= most_stray_bytes) return;
            leave(jpeg, Trouble::damaged);
        default:
            leave(jpeg, Trouble::damaged);
    }
}

void on_output(j_common_ptr) {}

void on_progress(j_common_ptr jpeg) {
    if (static_cast<Reader*>(jpeg->client_data)->jpeg.input_scan_number > most_scans) leave(jpeg, Trouble::many_scans);
}

bool run(Reader& reader, void (*step)(Reader&)) {
    if (setjmp(reader.out) != 0) return false;
    step(reader);
    return true;
}

void read_header(Reader& reader) {
    jpeg_read_header(&reader.jpeg, TRUE);
}

void read_rows(Reader& reader) {
    auto& jpeg = reader.jpeg;
    jpeg_start_decompress(&jpeg);
    const std::size_t width = jpeg.output_width;
    while (jpeg.output_scanline < jpeg.output_height) {
        std::uint8_t* row = reader.pixels + jpeg.output_scanline * width * channels_of(reader.wanted);
        JSAMPROW target = reader.inks == nullptr ? row : reader.inks;
        jpeg_read_scanlines(&jpeg, &target, 1);
        if (reader.inks == nullptr) continue;
        // With the mark of the common press programs the inks are stored turned over: 255 is no ink.
        const unsigned turn = jpeg.saw_Adobe_marker != 0 ? 0 : 255;
        for (std::size_t x = 0; x < width; ++x) {
            const std::uint8_t* ink = reader.inks + 4 * x;
            const unsigned black = ink[3] ^ turn;
            const auto under_black = [&](unsigned light) {
                return static_cast<std::uint8_t>((light * black + 127) / 255);
            };
            if (reader.wanted == Wanted::colours) {
                for (std::size_t k = 0; k < 3; ++k) row[3 * x + k] = under_black(ink[k] ^ turn);
            } else {
                row[x] = under_black(grey_of(ink[0] ^ turn, ink[1] ^ turn, ink[2] ^ turn));
            }
        }
    }
    jpeg_finish_decompress(&jpeg);
}

TraceProblem problem_of(Trouble trouble) {
    switch (trouble) {
        case Trouble::cut_short:
            return cut_short("JPEG");
        case Trouble::many_scans:
            return {"The JPEG file stores its picture in more than 100 scans, which no camera does.",
                    "Open it in a picture viewer and save it as an ordinary JPEG (\"baseline\") or PNG.",
                    {}};
        case Trouble::large:
            return {
                "The JPEG file stores its picture in several scans (\"progressive\"), and it is too large to be held "
                "whole.",
                "Save it as an ordinary JPEG (\"baseline\"), or with half the pixels along each side.",
                {}};
        case Trouble::bits:
            return {"The JPEG file has more than 8 bits a channel.",
                    "Save it as an ordinary JPEG, or as a 16-bit PNG.",
                    {}};
        case Trouble::coding:
            return {"The JPEG file is of a rare kind (lossless or hierarchical) that cannot be read.",
                    "Open it in a picture viewer and save it as an ordinary JPEG or PNG.",
                    {}};
        case Trouble::none:
        case Trouble::damaged:
            break;
    }
    return damaged("JPEG");
}

/// The EXIF block: segments follow each other, each with its length, until the picture data begin.
std::span<const std::uint8_t> exif_of(std::span<const std::uint8_t> bytes) {
    using namespace std::string_view_literals;
    constexpr std::string_view heading = "Exif\0\0"sv;
    constexpr std::uint8_t start_of_scan = 0xDA, exif_segment = 0xE1;
    std::size_t at = 2;
    while (at + 4 <= bytes.size() && bytes[at] == 0xFF) {
        if (bytes[at + 1] == 0xFF) {  // filling
            ++at;
            continue;
        }
        if (bytes[at + 1] == start_of_scan) break;
        const std::size_t length = (std::size_t{bytes[at + 2]} << 8U) + bytes[at + 3];
        if (length < 2 || length > bytes.size() - at - 2) break;
        const auto body = bytes.subspan(at + 4, length - 2);
        if (bytes[at + 1] == exif_segment && body.size() >= heading.size() &&
            std::equal(heading.begin(), heading.end(), body.begin(),
                       [](char a, std::uint8_t b) { return static_cast<std::uint8_t>(a) == b; }))
            return body.subspan(heading.size());
        at += 2 + length;
    }
    return {};
}

std::optional<Density> density_of(const jpeg_decompress_struct& jpeg) {
    if (jpeg.saw_JFIF_marker == 0) return std::nullopt;
    const double unit_mm = jpeg.density_unit == 1 ? 25.4 : jpeg.density_unit == 2 ? 10.0 : 0.0;
    if (unit_mm == 0.0) return std::nullopt;  // only the shape of a pixel
    return Density{jpeg.X_density / unit_mm, jpeg.Y_density / unit_mm};
}

std::size_t coefficient_bytes(const jpeg_decompress_struct& jpeg) {
    std::size_t blocks = 0;
    for (int i = 0; i < jpeg.num_components; ++i) {
        const auto& channel = jpeg.comp_info[i];
        // Rounded up to whole groups of blocks, of up to four either way.
        blocks += (std::size_t{channel.width_in_blocks} + 4) * (std::size_t{channel.height_in_blocks} + 4);
    }
    return blocks * sizeof(JBLOCK);
}

/// What the header says must be something we can hold and understand.
std::optional<TraceProblem> check_header(Reader& reader) {
    auto& jpeg = reader.jpeg;
    if (auto problem = check_size(jpeg.image_width, jpeg.image_height)) return problem;
    if (jpeg.jpeg_color_space == JCS_UNKNOWN)
        return TraceProblem{
            "The JPEG file has colours that are not known: " + std::to_string(jpeg.num_components) + " channels.",
            "Open it in a picture viewer and save it as an ordinary JPEG or PNG.",
            {}};
    if (jpeg_has_multiple_scans(&jpeg) != 0 && coefficient_bytes(jpeg) > most_coefficient_bytes)
        return problem_of(Trouble::large);
    return std::nullopt;
}

struct Closer {
    Reader& reader;
    explicit Closer(Reader& r) : reader(r) {}
    Closer(const Closer&) = delete;
    Closer& operator=(const Closer&) = delete;
    ~Closer() { jpeg_destroy_decompress(&reader.jpeg); }
};

}  // namespace

std::variant<Decoded, TraceProblem> decode_jpeg(std::span<const std::uint8_t> bytes, Wanted wanted) {
    Reader reader;
    reader.wanted = wanted;
    auto& jpeg = reader.jpeg;
    jpeg.err = jpeg_std_error(&reader.errors);
    reader.errors.error_exit = on_error;
    reader.errors.emit_message = on_message;
    reader.errors.output_message = on_output;
    jpeg.client_data = &reader;
    const Closer closer(reader);
    if (!run(reader,
             [](Reader& r) { jpeg_CreateDecompress(&r.jpeg, JPEG_LIB_VERSION, sizeof(jpeg_decompress_struct)); }))
        return problem_of(reader.trouble);
    reader.progress.progress_monitor = on_progress;
    jpeg.progress = &reader.progress;
    jpeg.mem->max_memory_to_use = most_library_bytes;
    jpeg_mem_src(&jpeg, bytes.data(), static_cast<unsigned long>(bytes.size()));
    if (!run(reader, read_header)) return problem_of(reader.trouble);
    if (auto problem = check_header(reader)) return std::move(*problem);

    Decoded decoded;
    decoded.width = static_cast<int>(jpeg.image_width);
    decoded.height = static_cast<int>(jpeg.image_height);
    decoded.density = density_of(jpeg);
    decoded.notes = read_exif(exif_of(bytes));
    decoded.pixels.resize(std::size_t{jpeg.image_width} * jpeg.image_height * channels_of(wanted));
    std::vector<std::uint8_t> inks;
    const bool for_press = jpeg.jpeg_color_space == JCS_CMYK || jpeg.jpeg_color_space == JCS_YCCK;
    jpeg.out_color_space = for_press ? JCS_CMYK : wanted == Wanted::colours ? JCS_RGB : JCS_GRAYSCALE;
    if (for_press) inks.resize(std::size_t{jpeg.image_width} * 4);
    reader.inks = for_press ? inks.data() : nullptr;
    reader.pixels = decoded.pixels.data();
    if (!run(reader, read_rows)) return problem_of(reader.trouble);
    return decoded;
}

}  // namespace seamwright::trace
