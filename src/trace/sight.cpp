#include "sight.h"

#include <Eigen/LU>
#include <limits>

namespace seamwright::trace {

namespace {

constexpr int place_and_camera = 2 + static_cast<int>(camera_numbers);
/// How far beyond the picture's corner, in parts of the way to it, a lens must make sense: the axis may be off the
/// middle.
constexpr double lens_reach = 1.1;

double swollen_slope(double swell2, double swell4, double r) {
    const double r2 = r * r;
    return 1.0 + r2 * (3.0 * swell2 + r2 * 5.0 * swell4);
}

}  // namespace

SeenSlopes seen_slopes(const ViewNumbers& n, Point mm) {
    using T = Sloped<place_and_camera>;
    std::array<T, camera_numbers> camera;
    for (std::size_t i = 0; i < camera_numbers; ++i)
        camera[i] = T(n.camera[i], place_and_camera, static_cast<int>(i) + 2);
    const auto seen = seen_at<T>({n.width_px, n.height_px}, camera, T(mm.x, place_and_camera, 0),
                                 T(mm.y, place_and_camera, 1), n.above_marks_mm);
    SeenSlopes s;
    s.px = {seen[0].value(), seen[1].value()};
    for (int row = 0; row < 2; ++row) {
        const auto& slopes = seen[static_cast<std::size_t>(row)].derivatives();
        s.by_place.row(row) = slopes.head<2>().transpose();
        s.by_camera.row(row) = slopes.tail<static_cast<int>(camera_numbers)>().transpose();
    }
    return s;
}

bool lens_keeps_order(double swell2, double swell4) {
    constexpr int steps = 64;
    for (int i = 1; i <= steps; ++i)
        if (swollen_slope(swell2, swell4, lens_reach * i / steps) < 0.2) return false;
    return true;
}

Point bench_place(const Frame& frame, const std::array<double, camera_numbers>& c, Point px, double above_mm) {
    constexpr double nowhere = std::numeric_limits<double>::quiet_NaN();
    const Point seen{px.x - 0.5 * frame.width_px - c[axis_x], px.y - 0.5 * frame.height_px - c[axis_y]};
    // The lens taken off, by Newton.
    const double out = norm(seen) / frame.corner_px();
    double r = out;
    for (int i = 0; i < 30; ++i) {
        const double r2 = r * r;
        const double off = r * (1.0 + r2 * (c[swell_2] + r2 * c[swell_4])) - out;
        const double slope = swollen_slope(c[swell_2], c[swell_4], r);
        if (slope <= 0.05) return {nowhere, nowhere};
        r -= off / slope;
        if (std::abs(off) < 1e-14) break;
    }
    const double focal = std::exp(c[log_focal]);
    const Point flat = (out > 0.0 ? r / out : 1.0) / focal * seen;
    const double away = focal * std::exp(c[log_scale]);
    const double cos_x = std::cos(c[tilt_x]), sin_x = std::sin(c[tilt_x]);
    const double cos_y = std::cos(c[tilt_y]), sin_y = std::sin(c[tilt_y]);
    const double cos_z = std::cos(c[roll]), sin_z = std::sin(c[roll]);
    // The ray, and the camera, in the bench's own directions about the place it looks at: right, towards the maker,
    // down.
    const auto turned_back = [&](double x, double y, double z, std::array<double, 3>& to) {
        const double x2 = cos_z * x + sin_z * y, y2 = -sin_z * x + cos_z * y;
        const double y1 = cos_x * y2 + sin_x * z, z1 = -sin_x * y2 + cos_x * z;
        to = {cos_y * x2 - sin_y * z1, y1, sin_y * x2 + cos_y * z1};
    };
    std::array<double, 3> ray{}, from{};
    turned_back(flat.x, flat.y, 1.0, ray);
    turned_back(0.0, 0.0, -away, from);
    if (ray[2] <= 0.0) return {nowhere, nowhere};
    const double k = (-above_mm - from[2]) / ray[2];
    return {c[look_x] + from[0] + k * ray[0], c[look_y] - (from[1] + k * ray[1])};
}

Eigen::Matrix<double, 2, camera_numbers> place_slopes(const ViewNumbers& numbers, Point mm) {
    const SeenSlopes s = seen_slopes(numbers, mm);
    return -s.by_place.inverse() * s.by_camera;
}

}  // namespace seamwright::trace
