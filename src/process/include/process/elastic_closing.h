#pragma once

#include <optional>
#include <span>
#include <vector>

#include "seam/simulate.h"
#include "wood/elastic.h"

namespace seamwright::process {

// What clamps can still close of a gap that pushing has left: wood gives.
//
// A pressure that changes along the seam with wave length λ = 2π/k brings two edges nearer to each other by
//
//     C(k) = 2/(E₁* k) + 2/(E₂* k) + Σ [ 12/(E w³ k⁴) + 1.2/(G w k²) ]   per unit of pressure:
//
// both edges dent (wood::edge_modulus), and a piece that is narrow against the wave bends as a whole, as a beam of
// depth w, with its shear (methods: H. Westergaard, J. Appl. Mech. 6 (1939) A49, from memory, for the first part;
// beam theory for the second). So long thin pieces bend shut and wide panels do not. This is a model: the seam is taken
// as straight, its pieces as of even width, the clamps as pressing evenly along it.

struct PressedSide {
    wood::PlaneElastic wood;
    double grain_rad = 0.0;  ///< of the grain to the seam
    /// Width of the piece behind the seam, mm; infinite for a panel that does not bend. > 0
    double width_mm = HUGE_VAL;
};

/// How much the edges come nearer to each other, mm per MPa of a pressure of that wave length.
double closing_per_pressure(double wave_mm, std::span<const PressedSide> sides);

struct ElasticClosing {
    double needed_mpa = 0.0;       ///< mean pressure that brings the edges together everywhere
    double needed_n_per_mm = 0.0;  ///< the same for the thickness of the top, per length of seam
    bool closes = false;           ///< with the pressure there is
    double pressure_mpa = 0.0;     ///< the mean pressure there is
    double left_mm = 0.0;          ///< largest gap that then remains
    double left_at_mm = 0.0;
    double touching_part = 0.0;       ///< part of the length where the edges then meet
    double highest_mpa = 0.0;         ///< highest pressure between them
    std::vector<seam::GapAt> gap;     ///< what remains along the seam
    std::vector<double> pressed_mpa;  ///< at the same places
};

/// `gap`: what pushing has left, in order along the seam, from its first to its last place; >= 0. `thickness_mm` of the
/// top, `pressure_mpa` mean pressure of the clamps: both > 0. Waves shorter than a 64th of the length are left out.
/// Throws std::invalid_argument for what is none of this.
ElasticClosing close_elastically(std::span<const seam::GapAt> gap, double thickness_mm, double pressure_mpa,
                                 std::span<const PressedSide> sides);

}  // namespace seamwright::process
