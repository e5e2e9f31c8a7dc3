#include "wood/strength.h"

#include <cmath>

#include "shelf/mechanical.h"
#include "wood/elastic.h"

namespace seamwright::wood {
namespace {

constexpr double quarter = 1.5707963267948966;

/// 0 to 90°, whichever way it was turned.
double acute(double angle_rad) {
    return std::abs(std::remainder(angle_rad, 2.0 * quarter));
}

}  // namespace

SeamGrain seam_grain(double seam_to_grain_rad) {
    const double angle = acute(seam_to_grain_rad);
    if (angle >= end_grain_from_rad) return SeamGrain::end_grain;
    return angle <= long_grain_to_rad ? SeamGrain::long_grain : SeamGrain::run_out;
}

std::optional<JointStrength> joint_strength(const std::string& species, double seam_to_grain_rad) {
    const auto wood = shelf::mechanical_of(species);
    if (!wood || !wood->rupture || !wood->tension_across || !wood->shear) return std::nullopt;
    const double angle = acute(seam_to_grain_rad);
    JointStrength out;
    out.grain = seam_grain(angle);
    // The pull is square to the seam: along the grain where the seam runs across it.
    out.wood_tension_mpa = hankinson(wood->rupture->mpa, wood->tension_across->mpa, quarter - angle, tension_exponent);
    out.joint_tension_mpa =
        out.wood_tension_mpa * hankinson(edge_grain_share, end_grain_share, angle, tension_exponent);
    out.joint_shear_mpa =
        edge_grain_share * hankinson(wood->shear->mpa, shear_across_share * wood->shear->mpa, angle, shear_exponent);
    out.from_memory = !wood->rupture->read || !wood->tension_across->read || !wood->shear->read;
    return out;
}

}  // namespace seamwright::wood
