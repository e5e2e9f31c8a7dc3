#pragma once

#include "search.h"

namespace seamwright::stock {

/// More items are not covered set by set.
constexpr std::size_t most_covered = 14;

/// Items by board.
using Dealt = std::vector<std::vector<std::size_t>>;

/// From an answer to the best one, as long as the packer's effort stays below `last_effort`. `best` deals out `items`
/// (most_covered at most), or some of them where no way was found for all. Gives what no way of dealing all of them out
/// costs less than; infinite where there is none.
double cover(const Stock& stock, Packer& packer, const std::vector<std::size_t>& items, Dealt& best,
             std::uint64_t last_effort);

}  // namespace seamwright::stock
