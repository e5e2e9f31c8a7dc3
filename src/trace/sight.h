#pragma once

#include <Eigen/Core>
#include <unsupported/Eigen/AutoDiff>
//
#include <array>
#include <cmath>
#include <cstddef>

#include "trace/view.h"

namespace seamwright::trace {

// A pinhole with a lens that moves places outwards, over a bench. Its numbers are chosen so that what a photograph
// leaves open lies along one of them, straight: of a bench seen squarely from above neither the focal length nor the
// height is known, but their quotient is.

enum CameraNumber : std::size_t {
    log_focal,
    axis_x,
    axis_y,
    swell_2,
    swell_4,
    log_scale,
    look_x,
    look_y,
    tilt_x,
    tilt_y,
    roll,
};

/// Size of a picture, as the lens needs it.
struct Frame {
    double width_px = 0.0, height_px = 0.0;
    double corner_px() const { return 0.5 * std::hypot(width_px, height_px); }
};

/// Where a place on the bench is seen. `c` are the eleven numbers of the camera.
template <class T>
std::array<T, 2> seen_at(const Frame& frame, const std::array<T, camera_numbers>& c, const T& x_mm, const T& y_mm,
                         double above_mm) {
    using std::cos;
    using std::exp;
    using std::sin;
    const T focal = exp(c[log_focal]);
    const T away = focal * exp(c[log_scale]);
    const T a = x_mm - c[look_x];
    const T b = c[look_y] - y_mm;
    const T cos_y = cos(c[tilt_y]), sin_y = sin(c[tilt_y]);
    const T cos_x = cos(c[tilt_x]), sin_x = sin(c[tilt_x]);
    const T cos_z = cos(c[roll]), sin_z = sin(c[roll]);
    const T x1 = cos_y * a - sin_y * above_mm;
    const T z1 = -sin_y * a - cos_y * above_mm;
    const T y2 = cos_x * b - sin_x * z1;
    const T z2 = sin_x * b + cos_x * z1 + away;
    const T per_depth = focal / z2;
    const T u = (cos_z * x1 - sin_z * y2) * per_depth;
    const T v = (sin_z * x1 + cos_z * y2) * per_depth;
    const double corner = frame.corner_px();
    const T r2 = (u * u + v * v) * (1.0 / (corner * corner));
    const T swell = 1.0 + r2 * (c[swell_2] + r2 * c[swell_4]);
    const T px = u * swell + c[axis_x] + 0.5 * frame.width_px;
    const T py = v * swell + c[axis_y] + 0.5 * frame.height_px;
    return {px, py};
}

/// A number that carries its slopes with it (forward differentiation).
template <int Count>
using Sloped = Eigen::AutoDiffScalar<Eigen::Matrix<double, Count, 1>>;

/// Where a place is seen, how that changes with the place, and with the camera's numbers.
struct SeenSlopes {
    Point px;
    Eigen::Matrix2d by_place;
    Eigen::Matrix<double, 2, camera_numbers> by_camera;
};
SeenSlopes seen_slopes(const ViewNumbers& numbers, Point mm);

/// From the picture to the plane `above_mm` above the marks. Not-a-number where that plane is not seen.
Point bench_place(const Frame& frame, const std::array<double, camera_numbers>& camera, Point px, double above_mm);

/// Whether the lens keeps the order of places from the middle of the picture to beyond its corners.
bool lens_keeps_order(double swell2, double swell4);

/// How a place that is read from the picture moves with the camera's numbers, in mm.
Eigen::Matrix<double, 2, camera_numbers> place_slopes(const ViewNumbers& numbers, Point mm);

}  // namespace seamwright::trace
