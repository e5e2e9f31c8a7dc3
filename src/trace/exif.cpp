#include "exif.h"

#include <cmath>
#include <cstddef>

namespace seamwright::trace {

namespace {

constexpr double mm_per_inch = 25.4;
constexpr std::size_t entry_bytes = 12;

// TIFF 6.0, section 2: field types, and how many bytes a value takes.
enum FieldType : std::uint16_t { type_short = 3, type_long = 4, type_rational = 5 };

enum Tag : std::uint16_t {
    tag_orientation = 0x0112,
    tag_x_resolution = 0x011A,
    tag_y_resolution = 0x011B,
    tag_resolution_unit = 0x0128,
    tag_camera_directory = 0x8769,
    tag_focal_length = 0x920A,
    tag_width = 0xA002,
    tag_height = 0xA003,
    tag_sensor_x_resolution = 0xA20E,
    tag_sensor_resolution_unit = 0xA210,
    tag_focal_length_35 = 0xA405,
};

class Tiff {
  public:
    explicit Tiff(std::span<const std::uint8_t> bytes) : bytes_(bytes) {
        if (bytes.size() < 8) return;
        const bool little = bytes[0] == 'I' && bytes[1] == 'I';
        if (!little && !(bytes[0] == 'M' && bytes[1] == 'M')) return;
        little_ = little;
        if (number16(2) != 42) return;
        first_ = number32(4);
    }

    std::uint32_t first_directory() const { return first_; }

    /// Where the entry of this tag begins in the directory at `directory`.
    std::optional<std::size_t> find(std::uint32_t directory, Tag tag) const {
        if (directory == 0 || !holds(directory, 2)) return std::nullopt;
        const std::size_t count = number16(directory);
        for (std::size_t i = 0; i < count; ++i) {
            const std::size_t entry = directory + 2 + i * entry_bytes;
            if (!holds(entry, entry_bytes)) return std::nullopt;
            if (number16(entry) == tag) return entry;
        }
        return std::nullopt;
    }

    /// A whole number. Writers use SHORT and LONG as they please, so either is taken.
    std::optional<std::uint32_t> whole(std::uint32_t directory, Tag tag) const {
        const auto entry = find(directory, tag);
        if (!entry || number32(*entry + 4) < 1) return std::nullopt;
        switch (number16(*entry + 2)) {
            case type_short:
                return number16(*entry + 8);
            case type_long:
                return number32(*entry + 8);
            default:
                return std::nullopt;
        }
    }

    /// A fraction above zero.
    std::optional<double> fraction(std::uint32_t directory, Tag tag) const {
        const auto entry = find(directory, tag);
        if (!entry || number16(*entry + 2) != type_rational || number32(*entry + 4) < 1) return std::nullopt;
        const std::size_t at = number32(*entry + 8);
        if (!holds(at, 8)) return std::nullopt;
        const double above = number32(at);
        const double below = number32(at + 4);
        if (above == 0.0 || below == 0.0) return std::nullopt;
        return above / below;
    }

  private:
    std::span<const std::uint8_t> bytes_;
    bool little_ = true;
    std::uint32_t first_ = 0;

    bool holds(std::size_t at, std::size_t count) const { return at <= bytes_.size() && count <= bytes_.size() - at; }

    std::uint32_t byte(std::size_t at) const { return bytes_[at]; }
    std::uint16_t number16(std::size_t at) const {
        const std::uint32_t low = byte(little_ ? at : at + 1);
        const std::uint32_t high = byte(little_ ? at + 1 : at);
        return static_cast<std::uint16_t>(low | high << 8U);
    }
    std::uint32_t number32(std::size_t at) const {
        const std::uint32_t low = number16(little_ ? at : at + 2);
        const std::uint32_t high = number16(little_ ? at + 2 : at);
        return low | high << 16U;
    }
};

/// Length of the unit that a resolution is counted per. EXIF knows inch (2) and cm (3); cameras also write mm (4) and
/// µm (5), which is common practice. Absent: inch, as the standard says. Anything else: not known.
std::optional<double> unit_mm(std::optional<std::uint32_t> unit) {
    switch (unit.value_or(2)) {
        case 2:
            return mm_per_inch;
        case 3:
            return 10.0;
        case 4:
            return 1.0;
        case 5:
            return 0.001;
        default:
            return std::nullopt;
    }
}

std::optional<double> per(std::optional<double> count, std::optional<double> length_mm) {
    if (!count || !length_mm) return std::nullopt;
    return *count / *length_mm;
}

}  // namespace

CameraNotes read_exif(std::span<const std::uint8_t> bytes) {
    const Tiff tiff(bytes);
    CameraNotes notes;
    const std::uint32_t first = tiff.first_directory();
    const auto orientation = tiff.whole(first, tag_orientation);
    if (orientation && *orientation >= 1 && *orientation <= 8) notes.orientation = static_cast<int>(*orientation);
    const auto unit = unit_mm(tiff.whole(first, tag_resolution_unit));
    notes.per_mm_x = per(tiff.fraction(first, tag_x_resolution), unit);
    notes.per_mm_y = per(tiff.fraction(first, tag_y_resolution), unit);

    const std::uint32_t camera = tiff.whole(first, tag_camera_directory).value_or(0);
    notes.focal_mm = tiff.fraction(camera, tag_focal_length);
    // 0 stands for unknown.
    if (const auto focal = tiff.whole(camera, tag_focal_length_35); focal && *focal != 0) notes.focal_35_mm = *focal;
    notes.sensor_per_mm =
        per(tiff.fraction(camera, tag_sensor_x_resolution), unit_mm(tiff.whole(camera, tag_sensor_resolution_unit)));
    if (const auto width = tiff.whole(camera, tag_width); width && *width != 0) notes.width_px = width;
    if (const auto height = tiff.whole(camera, tag_height); height && *height != 0) notes.height_px = height;
    return notes;
}

}  // namespace seamwright::trace
