#pragma once

#include <cstdint>
#include <optional>
#include <span>

namespace seamwright::trace {

/// What a camera or scanner noted beside the picture, as far as we use it. A note that is missing, unreadable or
/// outside its range is absent; `orientation` is then 1.
struct CameraNotes {
    /// Which corner of the stored picture is the top left one to look at: 1 upright, 2 mirrored, 3 upside down, 4
    /// mirrored upside down, 5 mirrored and lying, 6 lying on its left side (turn it clockwise), 7 mirrored and lying
    /// the other way, 8 lying on its right side (turn it counter-clockwise).
    int orientation = 1;
    std::optional<double> per_mm_x, per_mm_y;  ///< of the stored picture; absent also where the unit is
    std::optional<double> focal_mm;
    std::optional<double> focal_35_mm;                 ///< as if the picture were 36 × 24 mm, by the diagonal
    std::optional<double> sensor_per_mm;               ///< pixels per mm of the sensor, along x
    std::optional<std::uint32_t> width_px, height_px;  ///< as the camera stored it
};

/// Reads EXIF 2.3 (JEITA CP-3451C), which is a TIFF 6.0 file within the picture: its header, the first directory and
/// the camera's own. Any bytes may be given; nothing is read twice and nothing beyond them. Tag numbers from memory.
CameraNotes read_exif(std::span<const std::uint8_t> tiff);

}  // namespace seamwright::trace
