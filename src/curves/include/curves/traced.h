#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "geometry/point.h"

namespace seamwright::curves {

using geometry::Point;

/// A line taken over from a photo or a scan: the points as they were measured, and the picture they were measured in.
/// What is cut is the fair curve under the points (fair.h), run on straight at its ends as far as asked.
struct Traced {
    std::vector<Point> points;       ///< in order, mm, in the trace's own coordinates; 3 or more
    std::vector<double> scatter_mm;  ///< of each across the line, one σ, > 0; empty: all alike
    double wave_mm = 150.0;          ///< shorter ripples are smoothed out (FairSettings::wave_mm)
    /// The fair curve stays this near to every point. Absent: as near as the wave asks for.
    std::optional<double> band_mm;
    bool closed = false;
    /// The own origin lies here on the top, the own x axis in this direction.
    Point at;
    double turn_rad = 0.0;
    double run_on_start_mm = 0.0, run_on_end_mm = 0.0;  ///< straight on beyond the ends; >= 0

    /// What is known of the picture.
    struct Source {
        bool scan = false;    ///< else a photo
        std::string picture;  ///< name of its file
        std::string sha256;   ///< of the file, 64 hex digits
        int width_px = 0, height_px = 0;
        double mm_per_px = 0.0;
        int marks = 0;  ///< reference marks it was measured by; 0: by the scanner's resolution
        double residual_px = 0.0, worst_residual_px = 0.0;
        double near_mm = 0.0;     ///< 95 % of the points lie this near against places within a hand's breadth
        double overall_mm = 0.0;  ///< over the whole length, likewise
        friend bool operator==(const Source&, const Source&) = default;
    };
    std::optional<Source> source;

    friend bool operator==(const Traced&, const Traced&) = default;
};

/// A place of the trace's own on the top.
Point placed(const Traced& traced, Point own);
/// The points on the top.
std::vector<Point> placed_points(const Traced& traced);

}  // namespace seamwright::curves
