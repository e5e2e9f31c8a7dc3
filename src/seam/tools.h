#pragma once

#include <optional>

#include "seam/chain.h"
#include "seam/simulate.h"

namespace seamwright::seam {

/// Cutter below the router base at the last pass: through the template, the work and into the spoil board.
inline double projection_mm(double work_mm, const Depths& depths) {
    return depths.sheet_mm + work_mm + depths.below_mm;
}

/// Least by which the barrel should be shorter than the template is thick, so that it does not rub on the work
/// (common practice, from memory).
inline constexpr double barrel_clear_mm = 0.5;

/// The first reason why the pair does not get through `work_mm` of material under the template; empty: it does.
std::optional<ReachProblem> what_stops(const shelf::Shelf& shelf, const Pair& pair, double work_mm,
                                       const Depths& depths);

/// How stiff the cutter stands, to compare cutters: a cantilever of two thicknesses, shank above and flutes below,
/// bends at its end by (l³/b⁴ + (L³ − l³)/s⁴) × force × constant (beam theory), with l the cutting length, b the
/// cutter, s the shank and L what stands out below the base. The grooves of the flutes are left out, alike for all.
double stiffness(const shelf::Shelf& shelf, const Pair& pair, double work_mm, const Depths& depths);

}  // namespace seamwright::seam
