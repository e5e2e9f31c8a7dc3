#pragma once

#include "seam/simulate.h"

namespace seamwright::seam {

/// Keeps of `left` and `right`, the two edges cut with their run-outs, what lies within the wood.
void keep_edges(Simulation& simulation, const Path& drawn, const Path& left, const Path& right);

/// Fills the gap of a simulation whose two edges are cut and kept: samples, largest value, certificate. `left` and
/// `right` are the edges with their run-outs.
void measure_gap(Simulation& simulation, const Path& drawn, bool master_on_left, const Path& left, const Path& right);

}  // namespace seamwright::seam
