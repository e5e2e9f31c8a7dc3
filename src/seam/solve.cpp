#include <algorithm>

#include "advice.h"
#include "ranking.h"
#include "search.h"
#include "tools.h"

namespace seamwright::seam {
namespace {

// One in so many of the list goes to chains with both edges from paper.
constexpr std::size_t one_in_from_paper = 6;

std::string rider_name(const shelf::Shelf& shelf, const Pair& p) {
    return p.rides == Pair::Rides::guide ? shelf.guides[p.rider].name : shelf.bearings[p.rider].name;
}

// Pairs that turn, but do not get through this wood.
void add_unfit(std::vector<PairRefusal>& refused, const shelf::Shelf& shelf, const Bench& bench, const Depths& depths) {
    for (const Pair& p : bench.pairs) {
        if (const auto stop = what_stops(shelf, p, depths.top_mm, depths)) {
            refused.push_back(
                {rider_name(shelf, p), shelf.cutters[p.cutter].name, stop->says, stop->wanted_mm, stop->found_mm});
        }
    }
}

std::vector<Chain> chains_of(const shelf::Shelf& shelf, const Bench& bench, const Depths& depths, std::size_t most) {
    const std::size_t from_paper = std::max<std::size_t>(1, most / one_in_from_paper);
    const std::size_t copied = most > from_paper ? (most - from_paper + 1) / 2 : 1;  // each gives both hands
    std::vector<Chain> chains;
    for (const Assignment& a : best_copied(bench, copied)) {
        chains.push_back(written_out(shelf, bench.pairs, a, true, depths));
        chains.push_back(written_out(shelf, bench.pairs, a, false, depths));
    }
    for (const Assignment& a : best_from_paper(bench, from_paper))
        chains.push_back(written_out(shelf, bench.pairs, a, true, depths));
    rank(chains);
    if (chains.size() > most) chains.resize(most);
    return chains;
}

}  // namespace

Chains solve_chains(const shelf::Shelf& shelf, const Depths& depths, std::size_t most) {
    Chains solved;
    Pairs all = pairs(shelf);
    solved.refused = std::move(all.refused);
    solved.refused_more = all.refused_more;
    const std::size_t usable = all.usable.size();
    const Bench bench = lay_out(shelf, most_likely(std::move(all.usable), most_pairs), depths);
    solved.pairs_left_out = usable - bench.pairs.size();
    add_unfit(solved.refused, shelf, bench, depths);
    solved.ranked = chains_of(shelf, bench, depths, most);
    if (solved.ranked.empty())
        solved.ranked = chains_of(shelf, lay_out(shelf, bench.pairs, depths, true), depths, most);
    solved.any_exact = std::any_of(solved.ranked.begin(), solved.ranked.end(),
                                   [](const Chain& c) { return c.exact() && c.tools_fit; });
    if (!solved.any_exact) solved.advice = advice_for(shelf, depths);
    return solved;
}

}  // namespace seamwright::seam
