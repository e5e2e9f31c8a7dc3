#pragma once

#include <optional>

#include "exif.h"

namespace seamwright::trace {

/// Pixels per mm along the rows and down the columns.
struct Density {
    double x = 0.0, y = 0.0;
};

/// Focal length in pixels of a stored picture of this size. Absent where the notes do not give it, or contradict
/// themselves or the picture.
std::optional<double> focal_px(const CameraNotes& notes, int width, int height);

/// Pixels per mm of a stored picture of this size, from the file's own note (JFIF, pHYs) and from EXIF. Absent where
/// nobody measured it: 72 per inch stands for "unknown" in EXIF 2.3, 96 is a screen's; or where the two notes
/// contradict each other, or the picture was made larger or smaller since.
std::optional<Density> density(const std::optional<Density>& of_file, const CameraNotes& notes, int width, int height);

}  // namespace seamwright::trace
