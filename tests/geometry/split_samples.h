#pragma once

#include <algorithm>
#include <cstdint>
#include <utility>
#include <vector>

#include "edges.h"
#include "geometry/region.h"

namespace seamwright::geometry::testing {

/// A wave of arcs with smooth joints along x at height y, from x0 to past x1.
inline Path wave(double x0, double x1, double y, double half_wave, double rise) {
    Path path;
    const double half_angle = 2.0 * std::atan(2.0 * rise / half_wave);
    bool up = true;
    for (double x = x0; x < x1; x += half_wave) {
        path.segments.push_back(arc_from_heading({x, y}, up ? half_angle : -half_angle, {x + half_wave, y}));
        up = !up;
    }
    return path;
}

/// Waves across a top, laid one above the other, and inlays between them.
struct Sample {
    Region region;
    std::vector<Path> curves;
};

inline Sample random_sample(std::uint64_t seed) {
    Seeded random(seed);
    const double length = random.between(300, 3000);
    const auto count = static_cast<std::size_t>(random.between(0, 7));
    const double gap = random.between(20, 150);
    const double width = gap * static_cast<double>(count + 1);
    Sample s;
    s.region.outer = rectangle({0, 0}, {length, width});
    for (std::size_t k = 1; k <= count; ++k) {
        const double half_wave = random.between(60, 500);
        const double rise = std::min(0.2 * gap, 0.2 * half_wave);
        const double y = gap * static_cast<double>(k);
        Path curve = wave(-random.between(0, 50), length + 1, y, half_wave, rise * random.between(0.1, 1.0));
        if (random.unit() < 0.5) curve = reversed(curve);
        s.curves.push_back(curve);
    }
    for (std::size_t k = 0; k <= count; ++k) {
        if (random.unit() < 0.5) continue;
        const Point centre{random.between(0.3, 0.7) * length, gap * (static_cast<double>(k) + 0.5)};
        Path inlay = circle(centre, 0.25 * gap);
        if (random.unit() < 0.5) inlay = reversed(inlay);
        s.curves.push_back(inlay);
        if (random.unit() < 0.5) s.curves.push_back(circle(centre, 0.15 * gap));
    }
    for (std::size_t k = s.curves.size(); k > 1; --k) {
        std::swap(s.curves[k - 1], s.curves[static_cast<std::size_t>(random.unit() * static_cast<double>(k))]);
    }
    return s;
}

}  // namespace seamwright::geometry::testing
