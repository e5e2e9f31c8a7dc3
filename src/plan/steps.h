#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// The pieces a seam parts, for the steps: "front board", or several joined by "and"; and the heaviest wood among them
/// as the job names it, empty where the tables know none.
struct SidePieces {
    std::string left, right;
    std::string left_species, right_species;
};
SidePieces pieces_beside(const Path& in_wood, const std::vector<PiecePlan>& pieces);

/// The steps of the chain in words, each with its passes, speed and cautions.
std::vector<StepPlan> plan_steps(const job::Job& job, const shelf::Shelf& shelf, std::size_t seam_index,
                                 const Path& in_wood, const seam::Chain& chain, const seam::Simulation& simulation,
                                 const SidePieces& beside, std::vector<job::Problem>& problems);

}  // namespace seamwright::plan
