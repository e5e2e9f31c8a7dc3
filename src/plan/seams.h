#pragma once

#include <optional>
#include <vector>

#include "curves/drawn.h"
#include "geometry/region.h"
#include "job/job.h"
#include "plan/plan.h"

namespace seamwright::plan {

/// A seam laid out on the top.
struct LaidSeam {
    std::size_t index = 0;  ///< in the job
    curves::Drawn drawn;
    std::optional<EasedPlan> eased;
    geometry::Path in_wood;  ///< open: from edge to edge; closed: the whole, counter-clockwise
};

/// The top cut into regions along its seams.
struct Layout {
    std::vector<LaidSeam> seams;           ///< in the order of the job
    std::vector<geometry::Region> pieces;  ///< in a fixed order: edging rings from outside in, then the field
};

/// Draws every seam and cuts the top along them.
///
/// Edging seams come first: each is the parallel of the outline at its width. Open seams and inlays then divide what
/// lies inside the innermost edging only, so that an open seam ends at the inner edge of the edging and does not have
/// to be drawn to it exactly. Empty when a seam cannot be drawn or does not cut the top as its kind demands; the
/// reasons are added to `problems`. What an eased seam became is taken over from a plan before, where it has not
/// changed.
std::optional<Layout> lay_out_seams(const job::Job& job, const geometry::Path& outline, const Made* before,
                                    std::vector<job::Problem>& problems);

}  // namespace seamwright::plan
