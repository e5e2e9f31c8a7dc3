#pragma once

#include <functional>
#include <span>
#include <vector>

#include "geometry/path.h"

namespace seamwright::geometry {

/// A smooth curve that is not made of arcs: given by functions of a parameter t in [t_begin, t_end].
///
/// The curvature range is what makes a certified conversion possible: it must enclose the true curvature on the
/// whole interval. Breaks are parameters where curvature may jump (or the curve may have a corner).
struct SmoothCurve {
    double t_begin = 0.0;
    double t_end = 1.0;
    bool closed = false;
    std::function<Point(double)> point;
    std::function<double(double)> heading_rad;  ///< direction of travel, continuous between breaks
    std::function<double(double)> curvature;    ///< 1/mm, positive turning left
    struct Range {
        double low = 0.0;
        double high = 0.0;
    };
    std::function<Range(double, double)> curvature_range;   ///< encloses the curvature on [t0, t1]
    std::function<double(double, double)> length_bound_mm;  ///< not less than the length on [t0, t1]
    /// Breaks inside (t_begin, t_end), rising. At a break the functions are asked one rounding step to either side.
    std::vector<double> breaks;
};

struct ArcFit {
    Path path;               ///< G1 except at corners of the curve; closed if the curve is
    double bound_mm = 0.0;   ///< certified: no point of path and curve lies farther than this from the other
    std::vector<double> at;  ///< parameter of the curve at the start of each biarc, and t_end last
    /// Index of the first segment of each biarc, and the number of segments last. A biarc is one or two segments.
    std::vector<std::size_t> first_segment;
};

/// Biarcs within `within_mm` of the curve. For a clothoid span of length L the error is |κ'| L³ / 324 (derived in
/// docs/method.md), which sets the first guess; each span is then certified, made shorter where it fails and longer
/// where it has room. Circular and straight stretches between breaks come back as single segments.
/// within_mm > 0. Throws std::invalid_argument for a curve without functions, std::runtime_error when the bound
/// cannot be reached (a curve whose curvature range is not finite).
ArcFit fit_arcs(const SmoothCurve& curve, double within_mm = 0.002);

/// A place and the direction of travel there.
struct Pose {
    Point at;
    double heading_rad = 0.0;
};

/// One biarc from each pose to the next: G1, through every place with its direction. Places that coincide are passed
/// over; where a direction points away from the next place, so that two arcs of less than half a circle each cannot
/// follow it, the piece is straight.
Path biarcs_through(std::span<const Pose> poses);

}  // namespace seamwright::geometry
