// PNG by libpng. The library leaves by longjmp on trouble, so each step runs under setjmp and holds nothing that would
// have to be destroyed. Interlaced pictures are taken pass by pass straight into their places, so that no more than one
// row is held in colours.

#include <png.h>

#include <algorithm>
#include <array>
#include <csetjmp>
#include <cstring>
#include <string_view>

#include "decoded.h"

namespace seamwright::trace {

namespace {

constexpr png_alloc_size_t most_chunk_bytes = 1'000'000;
constexpr png_uint_32 most_kept_chunks = 64;
constexpr std::size_t signature_bytes = 8;

struct Reader {
    png_structp png = nullptr;
    png_infop info = nullptr;
    std::span<const std::uint8_t> rest;
    std::jmp_buf out{};
    bool cut_short = false;
    bool transparent = false;
    int channels = 0;
    png_uint_32 width = 0, height = 0;
    std::uint8_t* row = nullptr;
    Wanted wanted = Wanted::greys;
    std::uint8_t* pixels = nullptr;
};

[[noreturn]] void on_error(png_structp png, png_const_charp) {
    std::longjmp(static_cast<Reader*>(png_get_error_ptr(png))->out, 1);
}

void on_warning(png_structp, png_const_charp) {}

void read_bytes(png_structp png, png_bytep to, std::size_t count) {
    auto& reader = *static_cast<Reader*>(png_get_io_ptr(png));
    if (count > reader.rest.size()) {
        reader.cut_short = true;
        png_error(png, "end of file");
    }
    std::memcpy(to, reader.rest.data(), count);
    reader.rest = reader.rest.subspan(count);
}

bool run(Reader& reader, void (*step)(Reader&)) {
    if (setjmp(reader.out) != 0) return false;
    step(reader);
    return true;
}

// Chunks that do not matter here, and that would cost memory or time: texts, colour profiles, palettes to choose from.
constexpr auto passed_over = std::to_array<png_byte>({
    'b', 'K', 'G', 'D', 0, 'c', 'H', 'R', 'M', 0, 'g', 'A', 'M', 'A', 0, 'h', 'I', 'S', 'T', 0,
    'i', 'C', 'C', 'P', 0, 'i', 'T', 'X', 't', 0, 'o', 'F', 'F', 's', 0, 'p', 'C', 'A', 'L', 0,
    's', 'B', 'I', 'T', 0, 's', 'C', 'A', 'L', 0, 's', 'P', 'L', 'T', 0, 's', 'R', 'G', 'B', 0,
    's', 'T', 'E', 'R', 0, 't', 'E', 'X', 't', 0, 't', 'I', 'M', 'E', 0, 'z', 'T', 'X', 't', 0,
});

void read_header(Reader& reader) {
    auto* png = reader.png;
    png_set_read_fn(png, &reader, read_bytes);
    png_set_user_limits(png, PNG_UINT_31_MAX, PNG_UINT_31_MAX);  // checked by ourselves, with words
    png_set_chunk_malloc_max(png, most_chunk_bytes);
    png_set_chunk_cache_max(png, most_kept_chunks);
    png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_NEVER, nullptr, 0);
    png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_NEVER, passed_over.data(),
                                static_cast<int>(passed_over.size() / 5));
    png_read_info(png, reader.info);
}

void prepare_rows(Reader& reader) {
    png_set_expand(reader.png);
    png_set_scale_16(reader.png);
    png_read_update_info(reader.png, reader.info);
    reader.channels = png_get_channels(reader.png, reader.info);
}

/// One row as libpng gives it, into the row `y` of the picture, to every `step`th column from `first`.
void place_row(Reader& reader, std::size_t y, std::size_t first, std::size_t step) {
    const auto channels = static_cast<std::size_t>(reader.channels);
    const bool has_alpha = channels == 2 || channels == 4;
    const bool has_colour = channels >= 3;
    const std::uint8_t* from = reader.row;
    std::uint8_t* to = reader.pixels + y * reader.width * channels_of(reader.wanted);
    unsigned alpha = 255;
    for (std::size_t x = first; x < reader.width; x += step, from += channels) {
        if (reader.wanted == Wanted::colours) {
            for (std::size_t k = 0; k < 3; ++k) to[3 * x + k] = from[has_colour ? k : 0];
        } else {
            to[x] = has_colour ? grey_of(from[0], from[1], from[2]) : from[0];
        }
        if (has_alpha) alpha &= from[channels - 1];
    }
    if (alpha != 255) {
        reader.transparent = true;
        png_error(reader.png, "transparent");
    }
}

void read_rows(Reader& reader) {
    if (png_get_interlace_type(reader.png, reader.info) == PNG_INTERLACE_NONE) {
        for (std::size_t y = 0; y < reader.height; ++y) {
            png_read_row(reader.png, reader.row, nullptr);
            place_row(reader, y, 0, 1);
        }
    } else {
        for (unsigned pass = 0; pass < 7; ++pass) {
            // PNG specification, section 8.2: where each of the seven passes begins and how far apart its pixels are.
            constexpr std::array<unsigned, 7> first_x{0, 4, 0, 2, 0, 1, 0}, step_x{8, 8, 4, 4, 2, 2, 1};
            constexpr std::array<unsigned, 7> first_y{0, 0, 4, 0, 2, 0, 1}, step_y{8, 8, 8, 4, 4, 2, 2};
            if (first_x[pass] >= reader.width) continue;
            for (std::size_t y = first_y[pass]; y < reader.height; y += step_y[pass]) {
                png_read_row(reader.png, reader.row, nullptr);
                place_row(reader, y, first_x[pass], step_x[pass]);
            }
        }
    }
    png_read_end(reader.png, nullptr);
}

TraceProblem problem_of(const Reader& reader) {
    if (reader.transparent)
        return {"The PNG picture is transparent in places, so what is seen there depends on what lies behind it.",
                "Save it without transparency, on a white background.",
                {}};
    return reader.cut_short ? cut_short("PNG") : damaged("PNG");
}

/// A chunk `acTL` before the picture makes it a moving one (Portable Network Graphics, third edition).
bool is_moving(std::span<const std::uint8_t> bytes) {
    using namespace std::string_view_literals;
    bytes = bytes.subspan(std::min(signature_bytes, bytes.size()));
    while (bytes.size() >= 12) {
        const std::size_t length = std::size_t{bytes[0]} << 24U | std::size_t{bytes[1]} << 16U |
                                   std::size_t{bytes[2]} << 8U | std::size_t{bytes[3]};
        const auto named = [&](std::string_view name) { return std::memcmp(bytes.data() + 4, name.data(), 4) == 0; };
        if (named("acTL"sv)) return true;
        if (named("IDAT"sv) || length > bytes.size() - 12) return false;
        bytes = bytes.subspan(12 + length);
    }
    return false;
}

std::optional<Density> density_of(const Reader& reader) {
    png_uint_32 x = 0, y = 0;
    int unit = PNG_RESOLUTION_UNKNOWN;
    if (png_get_pHYs(reader.png, reader.info, &x, &y, &unit) == 0 || unit != PNG_RESOLUTION_METER) return std::nullopt;
    return Density{x / 1000.0, y / 1000.0};
}

CameraNotes notes_of(const Reader& reader) {
    png_uint_32 count = 0;
    png_bytep exif = nullptr;
    if (png_get_eXIf_1(reader.png, reader.info, &count, &exif) == 0 || exif == nullptr) return {};
    return read_exif({exif, count});
}

struct Closer {
    Reader& reader;
    explicit Closer(Reader& r) : reader(r) {}
    Closer(const Closer&) = delete;
    Closer& operator=(const Closer&) = delete;
    ~Closer() { png_destroy_read_struct(&reader.png, &reader.info, nullptr); }
};

}  // namespace

std::variant<Decoded, TraceProblem> decode_png(std::span<const std::uint8_t> bytes, Wanted wanted) {
    if (is_moving(bytes))
        return TraceProblem{"The PNG file holds a moving picture.", "Take one picture of it and save that as PNG.", {}};
    Reader reader;
    reader.wanted = wanted;
    reader.rest = bytes;
    const Closer closer(reader);
    if (!run(reader,
             [](Reader& r) {
                 r.png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &r, on_error, on_warning);
                 if (r.png != nullptr) r.info = png_create_info_struct(r.png);
             }) ||
        reader.info == nullptr)
        return damaged("PNG");
    if (!run(reader, read_header)) return problem_of(reader);
    reader.width = png_get_image_width(reader.png, reader.info);
    reader.height = png_get_image_height(reader.png, reader.info);
    if (auto problem = check_size(reader.width, reader.height)) return std::move(*problem);
    Decoded decoded;
    decoded.width = static_cast<int>(reader.width);
    decoded.height = static_cast<int>(reader.height);
    decoded.density = density_of(reader);
    decoded.notes = notes_of(reader);
    if (!run(reader, prepare_rows)) return problem_of(reader);
    std::vector<std::uint8_t> row(png_get_rowbytes(reader.png, reader.info));
    decoded.pixels.resize(std::size_t{reader.width} * reader.height * channels_of(wanted));
    reader.row = row.data();
    reader.pixels = decoded.pixels.data();
    if (!run(reader, read_rows)) return problem_of(reader);
    return decoded;
}

}  // namespace seamwright::trace
