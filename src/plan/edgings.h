#pragma once

#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// Divides every edging that the job wants sawn in segments, from the inside out, and warns of what cannot be done as
/// asked: boards too narrow or too short, a number that does not come out, fibres that run out too far, joints that
/// come too near a seam. The plan has its pieces and seams.
void lay_edgings(const job::Job& job, Plan& plan);

/// Warns of a solid ring around solid wood that moves more against it than it bears.
void report_ring_movement(const job::Job& job, const shelf::Shelf& shelf, Plan& plan);

}  // namespace seamwright::plan
