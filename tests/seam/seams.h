#pragma once

#include <cmath>
#include <stdexcept>
#include <variant>

#include "curves/drawn.h"
#include "geometry/parallel.h"
#include "geometry/path.h"

// Invented seams for the tests of closing.
namespace seamwright::seam {

/// Turns left; symmetric about straight up, so that the mean normal is the y axis.
inline geometry::Path arc(double radius_mm, double half_span_rad) {
    const geometry::Point centre{0.0, radius_mm};
    const geometry::Point start = centre + radius_mm * geometry::unit(-0.5 * geometry::pi - half_span_rad);
    return geometry::Path{{geometry::arc_about(centre, start, 2.0 * half_span_rad)}, false};
}

/// The parallel at `n` to the right; one path, or the test is wrong.
inline geometry::Path parallel(const geometry::Path& path, double n) {
    if (n == 0.0) return path;
    const auto made = geometry::parallel(path, n > 0.0 ? geometry::Side::right : geometry::Side::left, std::abs(n));
    if (made.paths.size() != 1) throw std::runtime_error("the parallel breaks");
    return made.paths.front().path();
}

inline geometry::Path wave(double half_height_mm, double length_mm, double whole_mm, double within_mm = 0.002) {
    curves::Wave wave;
    wave.from = {0.0, 0.0};
    wave.to = {whole_mm, 0.0};
    wave.terms.push_back({half_height_mm, length_mm, 0.0});
    return std::get<curves::Drawn>(curves::draw(wave, within_mm)).path;
}

}  // namespace seamwright::seam
