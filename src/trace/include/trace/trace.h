#pragma once

#include <span>
#include <string>
#include <vector>

#include "trace/line.h"
#include "trace/view.h"

namespace seamwright::trace {

/// A line taken over from a picture, on the bench, in mm.
struct Trace {
    std::vector<Point> points;       ///< in order, evenly spaced by about `step_mm`
    std::vector<double> scatter_mm;  ///< of each point across the line, one σ
    bool closed = false;
    double step_mm = 0.0;
    double near_mm = 0.0;        ///< error to be expected within a hand's breadth: 95 % lie within it
    double overall_mm = 0.0;     ///< over the whole length, likewise
    double usual_wave_mm = 0.0;  ///< the wave length to make it fair with

    // What the maker sees laid over the picture.
    std::vector<Point> line_px;
    std::vector<FoundMark> marks;  ///< empty for a scan by its known resolution
    std::vector<Point> free_ends_px;
    double residual_px = 0.0, worst_residual_px = 0.0;
    double mm_per_px = 0.0;
    std::vector<TraceProblem> remarks;  ///< what is not as good as it could be
};

struct PhotoSettings {
    ViewSettings view;
    LineSettings line;
};
std::variant<Trace, TraceProblem> trace_photo(std::span<const std::uint8_t> file, const PhotoSettings& settings);

struct ScanSettings {
    LineSettings line;
    /// Pixels per inch. Absent: as the file notes it.
    std::optional<double> per_inch;
};
/// Scans of one line, strip after strip; neighbours share at least two marks. One scan needs no mark.
std::variant<Trace, TraceProblem> trace_scans(std::span<const std::span<const std::uint8_t>> files,
                                              const ScanSettings& settings);

}  // namespace seamwright::trace
