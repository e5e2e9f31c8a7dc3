#include "check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "canvas.h"
#include "paper/tiles.h"

namespace seamwright::paper {

namespace {

/// Bars of 100 mm that come out 110 or 90 mm long.
constexpr double least_correction = 100.0 / 110.0, most_correction = 100.0 / 90.0;
constexpr double least_margin_mm = 3.0, most_margin_mm = 40.0;
constexpr double most_overlap_mm = 50.0;
/// The longest check bar, 4 in, and room for the sheet's name beside it.
constexpr double least_window_mm = 101.6 + 20.0;

bool finite(const Path& path) {
    return std::ranges::all_of(path.segments, [](const geometry::Segment& s) {
        return std::isfinite(s.start.x) && std::isfinite(s.start.y) && std::isfinite(s.end.x) &&
               std::isfinite(s.end.y) && std::isfinite(s.centre.x) && std::isfinite(s.centre.y) &&
               std::isfinite(s.radius_mm) && std::isfinite(s.sweep_rad);
    });
}

}  // namespace

void check_drawing(const Drawing& drawing) {
    for (const auto& p : drawing.paths) {
        if (!finite(p.path) || !std::ranges::all_of(p.holes, finite))
            throw std::invalid_argument(
                fmt::format("\"{}\" has a line with a place that is not a number", drawing.title));
    }
    const Box box = drawing.box();
    if (box.empty()) throw std::invalid_argument(fmt::format("\"{}\" has nothing in it to draw", drawing.title));
    const double longest = std::max(box.width_mm(), box.height_mm());
    // Written so that a length that is not a number fails too.
    if (!(longest < longest_page_mm - 200.0))
        throw std::invalid_argument(
            fmt::format("\"{}\" is {:.0f} mm long; paper is drawn up to {:.0f} m. Check its units.", drawing.title,
                        longest, longest_page_mm / 1000.0));
}

void check_correction(const Correction& correction) {
    for (const double c : {correction.x, correction.y}) {
        if (!(c >= least_correction && c <= most_correction))
            throw std::invalid_argument(fmt::format(
                "a printer correction of {:.4f} was asked for; {:.3f} to {:.3f} is allowed. A bar that comes out more "
                "wrong than that means the page was shrunk to fit: print at 100 %, then measure again.",
                c, least_correction, most_correction));
    }
}

void check_tiling(const Tiling& tiling) {
    check_correction(tiling.correction);
    if (!(tiling.margin_mm >= least_margin_mm && tiling.margin_mm <= most_margin_mm))
        throw std::invalid_argument(fmt::format("the margin is {} mm; {} to {} mm is allowed", tiling.margin_mm,
                                                least_margin_mm, most_margin_mm));
    if (!(tiling.overlap_mm >= 0.0 && tiling.overlap_mm <= most_overlap_mm))
        throw std::invalid_argument(
            fmt::format("the overlap is {} mm; 0 to {} mm is allowed", tiling.overlap_mm, most_overlap_mm));
    const double window =
        std::min(tiling.sheet.width_mm, tiling.sheet.height_mm) - 2.0 * tiling.margin_mm - frame_strip_mm;
    if (!(window >= least_window_mm) || !(std::max(tiling.sheet.width_mm, tiling.sheet.height_mm) <= longest_page_mm))
        throw std::invalid_argument(fmt::format(
            "a sheet of {} × {} mm with margins of {} mm has no room for the 4 in check bar; the short side "
            "must be at least {} mm",
            tiling.sheet.width_mm, tiling.sheet.height_mm, tiling.margin_mm,
            least_window_mm + 2.0 * tiling.margin_mm + frame_strip_mm));
}

}  // namespace seamwright::paper
