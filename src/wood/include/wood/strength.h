#pragma once

#include <optional>
#include <string>

namespace seamwright::wood {

// How strong a glued seam can be where it runs at an angle to the grain of one of its pieces. What the wood itself
// bears comes from tables and Hankinson's formula. What the joint bears of that is a MODEL: nobody has measured curved
// seams against grain angle. Its ends are known (Wood Handbook, FPL-GTR-190, chapter 10, read): an edge joint along the
// grain comes close to the wood itself, an end-grain butt joint reaches a quarter of the wood's tension at best and is
// not fit for ordinary service. Between them a Hankinson curve is laid.

inline constexpr double tension_exponent = 1.75;  ///< 1.5 to 2 (Wood Handbook, chapter 5, from memory)
inline constexpr double shear_exponent = 2.0;     ///< a model
inline constexpr double end_grain_share = 0.25;   ///< of the wood's tension along the grain, at best
inline constexpr double edge_grain_share = 0.9;   ///< of the wood's own ("almost as strong", read as 90 to 100 %)
inline constexpr double shear_across_share = 1.0 / 3.0;  ///< glued at 90° to the load, of that along (FPL 1522, a rule)
/// From here on, seam against grain, it is an end-grain joint (our judgement): 60°.
inline constexpr double end_grain_from_rad = 1.0471975511965976;
/// Below this slope the fibres at the edge run on far enough (common practice, from memory): 1 in 5.
inline constexpr double long_grain_to_rad = 0.19739555984988078;

enum class SeamGrain { long_grain, run_out, end_grain };
SeamGrain seam_grain(double seam_to_grain_rad);

struct JointStrength {
    double wood_tension_mpa = 0.0;   ///< the piece itself, pulled square to the seam
    double joint_tension_mpa = 0.0;  ///< the glued seam on this side, by the model
    double joint_shear_mpa = 0.0;    ///< along the seam, by the model
    SeamGrain grain = SeamGrain::long_grain;
    bool from_memory = false;
};
/// The side of one piece; the seam runs at this angle to its grain. Tension along the grain is taken as the modulus of
/// rupture, for want of better (Wood Handbook, chapter 5). nullopt where the species is unknown or the table lacks a
/// number.
std::optional<JointStrength> joint_strength(const std::string& species, double seam_to_grain_rad);

}  // namespace seamwright::wood
