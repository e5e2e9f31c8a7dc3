#pragma once

#include <span>
#include <vector>

#include "seam/small_closing.h"

namespace seamwright::process {

// Clamps press through a caul and the wood behind the seam. The caul is a beam on an elastic foundation (M. Hetényi,
// Beams on Elastic Foundation, 1946): with λ = (k/4EI)^¼ and k what the wood behind it resists, per length,
//
//     λ = (k / 4EI)^(1/4),   k = E_wood · thickness / depth.
//
// Under a row of equal clamps a apart the pressure is even within 15 % as long as a <= 2/λ.

/// A straight caul between clamps and wood, all > 0.
struct Caul {
    double modulus_mpa = 10000.0;  ///< along its grain
    double deep_mm = 50.0;         ///< in the direction of the push: what makes it stiff
    double thick_mm = 30.0;        ///< in that of the top's thickness

    double stiffness_nmm2() const { return modulus_mpa * thick_mm * deep_mm * deep_mm * deep_mm / 12.0; }
};

/// What the push goes through, all > 0: the wood between caul and seam, and the top's thickness.
struct Behind {
    double depth_mm = 100.0;     ///< from the caul to the seam, on the average
    double modulus_mpa = 900.0;  ///< of the wood in the direction of the push
    double thickness_mm = 30.0;
};

/// λ, 1/mm.
double caul_lambda(const Caul& caul, const Behind& behind);

/// Pressure under and midway between clamps of a long row, as parts of the mean, for z = λ · spacing (> 0).
struct RowPressure {
    double under = 0.0;
    double midway = 0.0;
};
RowPressure row_pressure(double z);

struct Clamp {
    double at_mm = 0.0;    ///< along the caul, from the seam's first end as seen in the direction of the push
    double force_n = 0.0;  ///< >= 0
};

/// Sliding on wet glue (our judgement): wood slides where it is steeper against the push than this.
inline constexpr double wet_glue_friction = 0.1;

struct SeamPressure {
    std::vector<double> pressure_mpa;  ///< at each place of the seam, square to it; 0 where the caul lifts off
    double least_mpa = 0.0, mean_mpa = 0.0, largest_mpa = 0.0;
    double force_n = 0.0;  ///< of all clamps
    /// What pushes the right piece sideways, along `left_of(push)`; balanced when nearly nothing.
    double sideways_n = 0.0;
    double holds_sideways_n = 0.0;  ///< friction can hold as much
    bool slides = false;            ///< it cannot: stops, ears or pins are needed
    struct Stretch {
        double from_mm = 0.0, to_mm = 0.0;  ///< along the seam
        double steepest_rad = 0.0;          ///< of the seam's normal against the push
    };
    std::vector<Stretch> steep;   ///< steeper than friction holds
    std::vector<Stretch> lifted;  ///< without pressure
};

/// Clamps that push the right piece in direction `push_rad` against the left one, which is held. The places must run
/// on in one direction square to the push (no hooks; see seam::assembly), else std::invalid_argument; so for no clamps.
/// Pressure spreads by 45° through the wood from under the caul (common practice, from memory).
SeamPressure seam_pressure(std::span<const seam::SeamPlace> places, double push_rad, const Caul& caul,
                           const Behind& behind, std::span<const Clamp> clamps, double friction = wet_glue_friction,
                           bool spreads = true);

/// So many clamps, so hard.
struct ClampRow {
    std::size_t count = 0;
    double spacing_mm = 0.0;
    double force_n = 0.0;       ///< each
    bool by_stiffness = false;  ///< the caul sets the spacing; else what a clamp can give does
    std::vector<Clamp> clamps;
};
/// So many even clamps along a length, none of which sits at its ends. count > 0.
ClampRow even_row(double length_mm, std::size_t count, double force_n);
/// Even clamps along a seam of that length (as seen in the push's direction) for a mean pressure, none harder than
/// `most_force_n`, none farther apart than 2/λ. All > 0, else std::invalid_argument. At least two.
ClampRow clamp_row(double length_mm, double pressure_mpa, const Caul& caul, const Behind& behind, double most_force_n);

}  // namespace seamwright::process
