#pragma once

#include <cmath>
#include <cstdint>
#include <vector>

#include "geometry/path.h"

namespace seamwright::geometry::testing {

/// Small deterministic generator (splitmix64), so that a failing seed prints the same edge everywhere.
class Seeded {
  public:
    explicit Seeded(std::uint64_t seed) : state_(seed) {}
    double unit() {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        z ^= z >> 31U;
        return static_cast<double>(z >> 11U) * 0x1.0p-53;
    }
    double between(double low, double high) { return low + (high - low) * unit(); }
    /// Sum of twelve: near enough to normal for bumps.
    double normal() {
        double sum = -6.0;
        for (int i = 0; i < 12; ++i) sum += unit();
        return sum;
    }

  private:
    std::uint64_t state_;
};

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
