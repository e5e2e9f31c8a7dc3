#pragma once

#include <cmath>
#include <cstdint>
#include <vector>

#include "geometry/path.h"
#include "seeded.h"

namespace seamwright::geometry::testing {

inline double wave_height(double x) {
    return 40.0 * std::sin(2.0 * pi * x / 900.0) + 15.0 * std::sin(2.0 * pi * x / 410.0);
}

/// A bumpy traced edge: the wave with `bump_mm` rms at each of n points; `back` in steps of x jitter: above about one,
/// the edge doubles back on itself.
inline Path traced_edge(std::size_t n, double bump_mm, double back, std::uint64_t seed, double length = 2400.0) {
    Seeded random(seed);
    std::vector<Point> points;
    const double step = length / static_cast<double>(n - 1);
    for (std::size_t i = 0; i < n; ++i) {
        const double x = step * static_cast<double>(i) + (i > 0 && i + 1 < n ? back * step * random.normal() : 0.0);
        points.push_back({x, wave_height(x) + bump_mm * random.normal()});
    }
    return polyline(points);
}

/// Arcs end to end with smooth joints, turning either way: radii from 5 to 300 mm.
inline Path arc_chain(std::size_t n, std::uint64_t seed, bool corners = false) {
    Seeded random(seed);
    Path path;
    Point at{0, 0};
    double heading = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double radius = random.between(5.0, 300.0);
        const double sweep = random.between(-1.2, 1.2) - 0.3 * heading;
        const Point centre = at + (sweep > 0 ? radius : -radius) * left_of(unit(heading));
        Segment arc = random.unit() < 0.25 ? line(at, at + random.between(5.0, 80.0) * unit(heading))
                                           : arc_about(centre, at, sweep);
        arc.start = at;
        path.segments.push_back(arc);
        at = arc.end;
        if (arc.is_arc()) heading += arc.sweep_rad;
        if (corners && random.unit() < 0.3) heading += random.between(-1.0, 1.0);
    }
    return path;
}

}  // namespace seamwright::geometry::testing
