#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

#include "geometry/biarc.h"
#include "geometry/path.h"

namespace seamwright::bench {

/// Length and depth of the board whose upper edge is measured.
inline constexpr double board_length_mm = 2400.0;
inline constexpr double board_depth_mm = 600.0;

/// Height of the upper edge, y = 600 + 40 sin(2 pi x / 900) + 15 sin(2 pi x / 410); its tightest radius is 183 mm.
double edge_height_mm(double x_mm);
/// The same edge as a smooth curve, parameter x.
geometry::SmoothCurve smooth_edge();

/// A kind of traced edge. All are invented, all come out of a seeded generator of our own, the same on every machine.
struct Roughness {
    std::string name;
    double wander_mm = 0.0;     ///< rms of a wander with a place every 0.5 mm, straight in between
    double jitter_steps = 0.0;  ///< rms across the edge, in steps from one point to the next
    double jitter_mm = 0.0;     ///< rms across the edge, the same at every number of points
    double back_steps = 0.0;    ///< rms along the edge in steps; above about one the edge doubles back
    double fold_mm = 0.0;       ///< the edge is bent into S folds that overhang by this much
};
Roughness trace();
Roughness hard();
Roughness back();
Roughness fold();

/// n points on the edge, joined by straight pieces, from x = 0 to x = 2400.
geometry::Path traced_edge(const Roughness& roughness, std::size_t points);

/// The region below an edge: closed, counter-clockwise, down to y = 0.
geometry::Path board_below(const geometry::Path& edge);

}  // namespace seamwright::bench
