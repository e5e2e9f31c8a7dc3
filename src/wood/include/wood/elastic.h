#pragma once

#include <optional>
#include <string>

namespace seamwright::wood {

// How wood gives in the plane of a top. Angles are to the grain, in radians; moduli in MPa.

/// How the growth rings lie in the board: flat-sawn wood has them along its width, quarter-sawn across its thickness.
enum class Rings { flat, quarter };

/// Plane stress: along the grain, across it in the plane of the top, and in shear. All > 0 but nu.
struct PlaneElastic {
    double along_mpa = 0.0;   ///< E₁
    double across_mpa = 0.0;  ///< E₂
    double shear_mpa = 0.0;   ///< G
    double nu = 0.0;          ///< ν₁₂: narrowing across for a stretch along the grain
    std::string species;
    bool from_memory = false;  ///< some of its numbers were recalled
    bool of_group = false;     ///< some are means of its group (hardwoods, softwoods): a model, not a measurement
};

/// From data/mechanical.csv. E₁ is 1.1 times the modulus in bending, which contains some shear (Wood Handbook,
/// FPL-GTR-282, chapter 5, from memory). nullopt for a species without a modulus.
std::optional<PlaneElastic> plane_elastic(const std::string& species, Rings rings = Rings::flat);

/// Young's modulus for a pull at an angle to the grain: 1/E = c⁴/E₁ + s⁴/E₂ + s²c² (1/G − 2ν/E₁).
double modulus_at(const PlaneElastic& wood, double angle_rad);

/// E*: how hard the straight edge of a wide piece is against a pressure that changes along it. A pressure of amplitude
/// p and wave length λ dents it by p λ / (π E*) (two edges: 1/E* of both added). The edge runs at `angle_rad` to the
/// grain.
///
///     1/E* = ½ s₂₂ |Im(1/μ₁ + 1/μ₂)|,
///
/// μ the roots above the real axis of s₁₁μ⁴ − 2s₁₆μ³ + (2s₁₂ + s₆₆)μ² − 2s₂₆μ + s₂₂ = 0 (S. Lekhnitskii's complex
/// variables; derived here, for fibres along and across the edge it is ½√(s₁₁s₂₂)·√((2s₁₂ + s₆₆)/s₁₁ + 2√(s₂₂/s₁₁))).
/// For a material that is the same in all directions it is E.
double edge_modulus(const PlaneElastic& wood, double angle_rad);

/// H. Hankinson's formula: strength at an angle between the load and the grain, from that along (P) and across (Q),
/// PQ / (P sinⁿ + Q cosⁿ). exponent 1.5 to 2 for tension, 2 to 2.5 for compression (Wood Handbook, chapter 5, exponents
/// from memory). along, across, exponent > 0, else std::invalid_argument.
double hankinson(double along, double across, double angle_rad, double exponent = 2.0);

}  // namespace seamwright::wood
