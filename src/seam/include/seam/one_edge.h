#pragma once

#include "seam/simulate.h"

namespace seamwright::seam {

/// An edge cut along a template of its own that no other edge has to match: the outline of a top. The template lies on
/// the wood that stays, its edge o = (B − b)/2 inside the drawn line.
struct OneEdge {
    Path template_edge;  ///< with its run-outs
    Path centre;         ///< way of the cutter's middle, with the run-outs
    Path edge;           ///< as cut, from abreast of the start of the line to abreast of its end
    bool carried_out = false;
    /// Farthest that the drawn line and the edge lie from each other, both ways, certified as in Simulation.
    double off_mm = 0.0, certified_to_mm = 0.0;
    Point off_at;                        ///< there
    std::vector<ReachProblem> problems;  ///< those that stop the work first
    double margin_mm = 0.0;              ///< room in its turns, by arithmetic (ReachOfStep)
};

/// Rolls the guide along the template that is the parallel of the line at −o and sweeps the cutter, with measured
/// diameters. `drawn`: the wood on its left; an open line is made longer by the run-out, straight on at both ends.
/// Throws as simulate does.
OneEdge simulate_one_edge(const Path& drawn, const Pair& pair, const shelf::Shelf& shelf,
                          const CutConditions& conditions);

/// The two steps of it: the template by hand, then the cut.
Chain chain_of_one_edge(const Pair& pair);

}  // namespace seamwright::seam
