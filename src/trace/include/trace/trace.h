#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "trace/line.h"
#include "trace/view.h"

namespace seamwright::trace {

/// What the maker sees laid over a picture.
struct Overlay {
    int width_px = 0, height_px = 0;
    std::vector<Point> line_px;
    bool closed = false;
    std::vector<FoundMark> marks;
    std::vector<Point> free_ends_px;  ///< for choosing among; longest lines first
    std::vector<Point> gaps_px;       ///< where the line was bridged
};

/// A line taken over from a picture, on the bench, in mm: x to the right, y away. A photo's origin is the middle of its
/// first strip, a scan's the lower left corner of the first picture.
struct Trace {
    std::vector<Point> points;       ///< in order, evenly spaced by about `step_mm` except over gaps
    std::vector<double> scatter_mm;  ///< of each point across the line, one σ
    bool closed = false;
    double step_mm = 0.0;
    double length_mm = 0.0;
    /// Error to be expected within a hand's breadth (100 mm): 95 of 100 points lie within it, once the line is laid
    /// as well as can be there.
    double near_mm = 0.0;
    /// Error over the whole length, laid as well as can be: in 95 of 100 pictures the worst place is within it.
    double overall_mm = 0.0;
    double usual_wave_mm = 0.0;  ///< the wave length to make it fair with

    std::vector<Overlay> pictures;                      ///< one for each, in the order given
    double residual_px = 0.0, worst_residual_px = 0.0;  ///< of the marks; of scans, how well shared marks agree
    double mm_per_px = 0.0;                             ///< in the middle of the line
    double contrast = 0.0;                              ///< of the line, part of the light
    std::vector<TraceProblem> remarks;                  ///< what is not as good as it could be
};

struct PhotoSettings {
    ViewSettings view;
    LineSettings line;  ///< the marks are masked in any case
};
/// Refused: what read_picture, fit_view and find_line refuse, a line of less than 20 mm, and a line that lies so far
/// outside the marks that its place is open.
std::variant<Trace, TraceProblem> trace_photo(std::span<const std::uint8_t> file, const PhotoSettings& settings);

struct ScanSettings {
    /// Of several scans the start lies on the first and the end on the last; places in between are for one scan alone.
    LineSettings line;
    /// Pixels per inch, 75 to 4800. Absent: as the file notes it.
    std::optional<double> per_inch;
};
inline constexpr std::size_t most_scans = 32;

/// Scans of one line, strip after strip; neighbours share at least two marks, and the line overlaps from each to the
/// next. One scan needs no mark. Refused: what read_picture and find_line refuse, no or an unlikely resolution, marks
/// of another size than the resolution tells, scans that share too few marks or whose marks were moved in between,
/// lines that do not run on from scan to scan.
std::variant<Trace, TraceProblem> trace_scans(std::span<const std::span<const std::uint8_t>> files,
                                              const ScanSettings& settings);

}  // namespace seamwright::trace
