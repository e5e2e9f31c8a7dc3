#include "trace/view.h"

#include <Eigen/Core>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "sight.h"

namespace seamwright::trace {

namespace {

using Spread = Eigen::Matrix<double, camera_numbers, camera_numbers, Eigen::RowMajor>;
using Motion = Eigen::Matrix<double, 3, camera_numbers, Eigen::RowMajor>;
using Slopes = Eigen::Matrix<double, 2, camera_numbers>;

constexpr double hand_mm = 100.0;

Frame frame_of(const ViewNumbers& n) {
    return {n.width_px, n.height_px};
}

}  // namespace

Point View::to_bench(Point px) const {
    return bench_place(frame_of(numbers), numbers.camera, px, numbers.above_marks_mm);
}

Point View::to_picture(Point mm) const {
    const auto px = seen_at<double>(frame_of(numbers), numbers.camera, mm.x, mm.y, numbers.above_marks_mm);
    return {px[0], px[1]};
}

double View::mm_per_px(Point px) const {
    return 1.0 / std::sqrt(std::abs(seen_slopes(numbers, to_bench(px)).by_place.determinant()));
}

PlaceScatter View::scatter(Point mm) const {
    const Eigen::Map<const Spread> spread(numbers.spread.data());
    const Eigen::Map<const Motion> motion(numbers.motion.data());
    PlaceScatter s;
    // Against the whole: what is left when the view as a whole is moved back.
    const Point from = mm - numbers.middle;
    Eigen::Matrix<double, 2, 3> moved;
    moved << 1.0, 0.0, -from.y, 0.0, 1.0, from.x;
    const Slopes left = place_slopes(numbers, mm) - moved * motion;
    const Eigen::Matrix2d overall = left * spread * left.transpose();
    s.overall_mm = std::sqrt(std::max(0.0, overall.selfadjointView<Eigen::Lower>().eigenvalues()[1]));
    // Near by: how far a place comes off the middle between two others, a hand's breadth to either side, across their
    // line. A view that is too large or turned as a whole bends nothing.
    double most2 = 0.0;
    for (int i = 0; i < 4; ++i) {
        const Point way = geometry::unit(0.25 * i * geometry::pi), across = geometry::left_of(way);
        const Slopes bent = place_slopes(numbers, mm) - 0.5 * (place_slopes(numbers, mm + hand_mm * way) +
                                                               place_slopes(numbers, mm - hand_mm * way));
        const Eigen::Matrix<double, 1, camera_numbers> off = Eigen::RowVector2d(across.x, across.y) * bent;
        most2 = std::max(most2, (off * spread * off.transpose()).value());
    }
    s.near_mm = std::sqrt(most2);
    return s;
}

}  // namespace seamwright::trace
