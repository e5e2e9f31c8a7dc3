// The order of chains. What decides, in this order:
//
//   1. tools long enough for the wood                    otherwise there is no cut at all
//   2. templates that can follow the seam                (known only for a certain seam)
//   3. smallest mismatch                                 it does not close on a curve, whatever the care taken
//   4. fewest tool changes                               each is a chance to set a cutter wrong
//   5. fewest templates                                  each copy adds its own small error
//   6. room left in the turns, up to an ample room       a guide that just fits a hollow leaves it rough
//   7. stiffest cutter
//   8. room left beyond that: decides between the hands

#include "ranking.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <tuple>

namespace seamwright::seam {
namespace {

// Room beyond this helps no cut any more (our choice: several guides' width).
constexpr double ample_room_mm = 100.0;
// Differences in room below this do not outweigh a stiffer cutter (our choice).
constexpr double room_step_mm = 1.0;

double grade(const Chain& c) {
    return grade_of(c.prints_mating ? by_hand_mm : c.mismatch_mm);
}

bool follows(const Chain& c) {
    return !c.margin_mm || *c.margin_mm >= 0.0;
}

double room(const Chain& c) {
    return c.margin_mm ? std::floor(std::min(*c.margin_mm, ample_room_mm) / room_step_mm) : 0.0;
}

bool before(const Chain& a, const Chain& b) {
    const auto key = [](const Chain& c) {
        return std::tuple(!c.tools_fit, !follows(c), grade(c), c.tool_changes, c.templates, -room(c), -c.stiffness,
                          -c.margin_mm.value_or(0.0), !c.master_on_left);
    };
    const auto ka = key(a);
    const auto kb = key(b);
    if (ka != kb) return ka < kb;
    return a.id < b.id;
}

std::string tool_change_words(int changes) {
    if (changes == 0) return "One guide or bearing and one cutter do every step.";
    if (changes == 1) return "One tool change.";
    return std::to_string(changes) + " tool changes.";
}

}  // namespace

std::vector<std::string> reasons_for(const Chain& c) {
    std::vector<std::string> reasons;
    if (!c.tools_fit) reasons.emplace_back("A tool is too short for this wood, or a barrel too long for the template.");
    if (!follows(c)) reasons.emplace_back("A template or the guide cannot follow the tightest turn of this seam.");
    if (c.prints_mating) {
        reasons.emplace_back(
            "Both edges are made by hand from the paper: they match only as well as the hand follows the line.");
    } else if (c.exact()) {
        reasons.emplace_back("The copy matches: no gap is left by the sizes of the tools.");
    } else if (c.mismatch_mm > 0.0) {
        reasons.emplace_back("The copy is too far out: a gap is left that cannot be pushed closed on a curve.");
    } else {
        reasons.emplace_back("The copy is too near: the pieces overlap, and cannot be pushed home on a curve.");
    }
    reasons.emplace_back(tool_change_words(c.tool_changes));
    if (c.templates == 1) {
        reasons.emplace_back("One template does both pieces; the second piece is cut with the template on its waste.");
    } else {
        reasons.emplace_back(c.prints_mating    ? "Two templates, both by hand."
                             : c.templates == 2 ? "Two templates, only one made by hand."
                                                : "Three templates, only one made by hand.");
    }
    if (follows(c) && c.margin_mm) {
        if (*c.margin_mm >= ample_room_mm) {
            reasons.emplace_back("Plenty of room in the tightest turn.");
        } else if (room(c) < 1.0) {
            reasons.emplace_back("Hardly any room in the tightest turn.");
        }
    }
    return reasons;
}

void rank(std::vector<Chain>& chains) {
    for (Chain& c : chains) c.reasons = reasons_for(c);
    std::sort(chains.begin(), chains.end(), before);
}

void rerank(Chains& chains, const std::vector<double>& margins_mm) {
    if (margins_mm.size() != chains.ranked.size())
        throw std::invalid_argument("rerank: one margin for each chain is needed");
    for (std::size_t i = 0; i < margins_mm.size(); ++i) chains.ranked[i].margin_mm = margins_mm[i];
    rank(chains.ranked);
}

}  // namespace seamwright::seam
