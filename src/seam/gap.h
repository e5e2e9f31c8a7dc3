#pragma once

#include "seam/simulate.h"

namespace seamwright::seam {

/// Fills the gap of a simulation whose two edges are cut: samples, largest value, certificate. `left` and `right` are
/// the edges with their run-outs; left_edge and right_edge become the stretches within the wood.
void measure_gap(Simulation& simulation, const Path& drawn, bool master_on_left, const Path& left, const Path& right);

}  // namespace seamwright::seam
