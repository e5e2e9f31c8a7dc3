#pragma once

// Within the room: cubic Bezier curves as arcs, for imported drawings.

#include <array>

#include "geometry/biarc.h"

namespace seamwright::curves {

using CubicPoints = std::array<geometry::Point, 4>;

/// The cubic within `within_mm`. G1 except at cusps, and where the curve starts or ends without a direction: there it
/// comes to a point, which stays a corner. Empty when all four points are one.
/// Throws std::runtime_error when the bound cannot be reached.
struct CubicFit {
    std::vector<geometry::Segment> segments;
    double bound_mm = 0.0;
};
CubicFit fit_cubic(const CubicPoints& points, double within_mm);

/// The same curve as a smooth curve over part of its parameter, where its direction is nowhere lost.
geometry::SmoothCurve cubic_curve(const CubicPoints& points, double t_begin, double t_end);

}  // namespace seamwright::curves
