#pragma once

#include <vector>

#include "ways.h"

namespace seamwright::seam {

/// What the search may use: every list holds indices into `pairs`, of which there are at most a few hundred.
struct Bench {
    std::vector<Pair> pairs;
    std::vector<std::uint16_t> for_copies, for_cuts;
    std::vector<double> stiffness_copy, stiffness_cut;  ///< of each pair
};

/// At most `most` pairs, those nearest to B = 3b or B = 2b, in their old order.
std::vector<Pair> most_likely(std::vector<Pair> pairs, std::size_t most);

/// Copies take pairs that get through a sheet, cuts those that get through the wood. `any_tool`: all pairs.
Bench lay_out(const shelf::Shelf& shelf, std::vector<Pair> pairs, const Depths& depths, bool any_tool = false);

/// The best copied chains of at most `most_copies` (1 or 2) copies, best first, at most `most`: all exact if one is.
std::vector<Assignment> best_copied(const Bench& bench, std::size_t most, std::size_t most_copies = 2);

/// The best ways with two edges from paper: one pair for both cuts.
std::vector<Assignment> best_from_paper(const Bench& bench, std::size_t most);

}  // namespace seamwright::seam
