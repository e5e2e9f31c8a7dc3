#pragma once

#include <array>
#include <vector>

#include "camera.h"

namespace seamwright::trace {

/// A board on the bench with discs at known places on its face, and strips of marks laid on it.
struct LaidBoard {
    double length_mm = 0.0, width_mm = 0.0;
    Bench bench;
    Camera camera;
    std::vector<Point> discs;           ///< on the board, from its left end and near edge
    std::array<Point, 4> corners_px{};  ///< near left, near right, far right, far left
};

inline constexpr double disc_mm = 14.0;

/// `strips` lie evenly along the board, in turn to either side of its middle, on it or beside it; discs along its
/// edges. It lies a little askew, and the camera too.
inline LaidBoard laid_board(double length_mm, double width_mm, int strips, double print_scale, const Camera& camera,
                            double strips_off_mm = 45.0) {
    LaidBoard out;
    out.length_mm = length_mm;
    out.width_mm = width_mm;
    out.camera = camera;
    constexpr double askew_rad = 0.03;
    const Point along = geometry::unit(askew_rad), across = geometry::left_of(along);
    const auto on_bench = [&](Point p) { return (p.x - 0.5 * length_mm) * along + (p.y - 0.5 * width_mm) * across; };
    out.bench.reflects = 0.22;
    out.bench.clutter.push_back({{0.0, 0.0}, length_mm, width_mm, askew_rad, false, 0.55, false});
    for (int i = 0; i < strips; ++i) {
        const double x = length_mm * (i + 0.5) / strips;
        const double y = 0.5 * width_mm + (i % 2 == 0 ? strips_off_mm : -strips_off_mm);
        out.bench.strips.push_back({i, on_bench({x, y}), askew_rad, print_scale});
    }
    for (double x = 40.0; x < length_mm; x += 148.0) {
        for (const double y : {18.0, width_mm - 18.0}) {
            out.discs.push_back({x, y});
            out.bench.clutter.push_back({on_bench({x, y}), disc_mm, 0.0, 0.0, true, 0.04, true});
        }
    }
    const std::array<Point, 4> corners{Point{0.0, 0.0}, Point{length_mm, 0.0}, Point{length_mm, width_mm},
                                       Point{0.0, width_mm}};
    for (std::size_t i = 0; i < 4; ++i) out.corners_px[i] = camera.to_px(on_bench(corners[i]));
    return out;
}

/// As a phone is held above it by hand.
inline Camera held_above(int width, int height, double away_mm) {
    Camera camera;
    camera.width = width;
    camera.height = height;
    camera.focal_px = 0.72 * width;
    camera.k1 = -0.04;
    camera.away_mm = away_mm;
    camera.tilt_x_rad = 0.11;
    camera.tilt_y_rad = -0.06;
    camera.roll_rad = 0.04;
    camera.notes_focal = true;
    return camera;
}

}  // namespace seamwright::trace
