#include "wood/cup.h"

#include <cmath>
#include <stdexcept>

namespace seamwright::wood {

Cup ring_cup(const FlatSawnBoard& board, double radial, double tangential) {
    if (!(board.width_mm > 0.0) || !(board.thickness_mm > 0.0) || !(board.pith_mm > 0.0))
        throw std::invalid_argument("ring_cup: sizes and the distance of the pith must be above nothing");
    const double height = board.pith_mm + board.thickness_mm, half = 0.5 * board.width_mm;
    const double radius = std::hypot(height, half), angle = std::atan2(half, height);
    const double new_angle = angle * (1.0 + tangential) / (1.0 + radial);
    Cup out;
    out.rise_mm = (1.0 + radial) * (radius * std::cos(new_angle) - height);
    out.curvature_per_mm = -2.0 * (tangential - radial) / height;
    out.width_change_mm = 2.0 * ((1.0 + radial) * radius * std::sin(new_angle) - half);
    return out;
}

double two_layer_curvature(double thickness_1_mm, double thickness_2_mm, double modulus_1_mpa, double modulus_2_mpa,
                           double strain_difference) {
    if (!(thickness_1_mm > 0.0) || !(thickness_2_mm > 0.0) || !(modulus_1_mpa > 0.0) || !(modulus_2_mpa > 0.0))
        throw std::invalid_argument("two_layer_curvature: thicknesses and moduli must be above nothing");
    const double m = thickness_1_mm / thickness_2_mm, n = modulus_1_mpa / modulus_2_mpa;
    const double square = (1.0 + m) * (1.0 + m);
    return 6.0 * strain_difference * square /
           ((thickness_1_mm + thickness_2_mm) * (3.0 * square + (1.0 + m * n) * (m * m + 1.0 / (m * n))));
}

double one_face_cup_mm(double width_mm, double thickness_mm, double depth_mm, double strain_of_face) {
    if (!(width_mm > 0.0) || !(depth_mm > 0.0) || !(depth_mm < thickness_mm))
        throw std::invalid_argument("one_face_cup_mm: the depth must lie within the thickness");
    return two_layer_curvature(depth_mm, thickness_mm - depth_mm, 1.0, 1.0, strain_of_face) * width_mm * width_mm / 8.0;
}

}  // namespace seamwright::wood
