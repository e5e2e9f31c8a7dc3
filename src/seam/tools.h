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

/// A cantilever bends by force × length³ / diameter⁴ × constant: d⁴ / L³ compares cutters (beam theory). d is the
/// smaller of shank and cutter, L what stands out below the base.
double stiffness(const shelf::Shelf& shelf, const Pair& pair, double work_mm, const Depths& depths);

}  // namespace seamwright::seam
