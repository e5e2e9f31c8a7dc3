#pragma once

#include <optional>
#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// The chains ranked for one seam, the one chosen, and what became of it.
struct Choice {
    std::vector<seam::Chain> chains;
    std::size_t chosen = 0;
    seam::Simulation simulation;
};

/// Ranks the shelf's chains for this seam and carries out the best of those the maker allows (hand of the master,
/// pinned chain). The next best are tried only where the best does not meet the maker's limit, and at most
/// `most_simulated` of them. Empty when there is no chain at all, and, with the reason in `problems`, when the pinned
/// one is unknown. `seam_index` is the seam's place in the job.
std::optional<Choice> choose_chain(const job::Job& job, const shelf::Shelf& shelf, const seam::Chains& solved,
                                   std::size_t seam_index, const Path& in_wood, std::vector<job::Problem>& problems);

/// Why the shelf gives no chain. It is the same shelf for every seam: what `problems` says already is not said again.
void report_no_chain(const job::Job& job, const seam::Chains& solved, std::vector<job::Problem>& problems);

/// Chains carried out for one seam before the best so far is taken.
inline constexpr std::size_t most_simulated = 6;

seam::Depths depths_of(const job::Job& job);
/// The chain can be carried out, and its edges meet within the maker's limit.
bool edges_close(const seam::Simulation& simulation, const job::Limits& limits);
bool work_stops(const seam::Simulation& simulation);

}  // namespace seamwright::plan
