#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "shelf/shelf.h"

namespace seamwright::seam {

/// A cutter and what rides with it: a guide bushing on the router, or a bearing on the cutter itself.
/// B is the outside of what rides, b the cutting diameter; both measured where the shelf has measured them.
struct Pair {
    enum class Rides { guide, bearing };
    Rides rides = Rides::guide;
    std::size_t rider = 0;                          ///< index into shelf.guides or shelf.bearings
    std::size_t cutter = 0;                         ///< index into shelf.cutters
    double B_mm = 0.0, b_mm = 0.0;                  ///< measured
    double nominal_B_mm = 0.0, nominal_b_mm = 0.0;  ///< as marked

    double offset_mm() const { return 0.5 * (B_mm - b_mm); }  ///< near edge: o = (B − b)/2
    double far_mm() const { return 0.5 * (B_mm + b_mm); }     ///< far edge of a copy: (B + b)/2
    friend bool operator==(const Pair&, const Pair&) = default;
};

/// Why a guide and a cutter cannot work together.
struct PairRefusal {
    std::string rider, cutter, reason;
};
struct Pairs {
    std::vector<Pair> usable;
    std::vector<PairRefusal> refused;
};
/// All pairs the shelf allows: the cutter passes the bore with chip room, bearings only on cutters that take them.
Pairs pairs(const shelf::Shelf& shelf);

/// One template of a chain. Positions are signed distances n from the seam, + toward the right piece (design.md §3).
struct Step {
    enum class Kind {
        make_master,  ///< by hand, from paper
        make_mating,  ///< the mating template also from paper (no copy)
        copy_far,     ///< far edge of the groove: other hand
        copy_near,    ///< near edge: same hand
        cut_left,
        cut_right
    };
    Kind kind = Kind::make_master;
    std::optional<Pair> pair;      ///< absent for templates made from paper
    int from_template = -1;        ///< index (in order of making) of the template the rider runs on
    int makes_template = -1;       ///< index of the template made, −1 for cuts
    double rides_at_mm = 0.0;      ///< n of the edge ridden on
    double edge_at_mm = 0.0;       ///< n of the edge that remains (template edge, or wood)
    bool template_on_left = true;  ///< the template ridden on (or made by hand) lies left of the seam
    bool this_side_up = true;      ///< always up in a chain without turning over
    std::string says;              ///< one line in the maker's words, without sizes
};

/// A whole way from master to two cut edges.
struct Chain {
    std::string id;  ///< stable name made of the shelf names, e.g. "left:far(G30/C10)-G30/C10-G30/C10"
    bool master_on_left = true;
    std::vector<Step> steps;
    double mismatch_mm = 0.0;  ///< right edge's n − left edge's n: + gap, − overlap (measured sizes)
    double nominal_mismatch_mm = 0.0;
    int tool_changes = 0;              ///< changes of guide, bearing or cutter between successive routed steps
    int templates = 0;                 ///< templates to make
    bool prints_mating = false;        ///< two edges have to be made by hand from paper
    std::vector<std::string> reasons;  ///< why it stands where it stands in the list
};

/// The purchase (or regrind) that would make an exact chain: one guide or one cutter.
struct Advice {
    enum class What { guide, cutter, bearing };
    What what = What::guide;
    double diameter_mm = 0.0;
    std::string with;  ///< the pair it goes with, in words
};

struct Chains {
    std::vector<Chain> ranked;   ///< best first; exact ones before others
    bool any_exact = false;      ///< some copied chain has |mismatch| <= exact_mm
    std::vector<Advice> advice;  ///< filled when none is exact
    std::vector<PairRefusal> refused;
};

/// A mismatch below this counts as none: half of the 1 µm the simulated gap must stay under.
inline constexpr double exact_mm = 0.0005;

/// What each step must get through, for choosing tools that can do it.
struct Depths {
    double top_mm = 0.0;    ///< thickness of the wood
    double sheet_mm = 0.0;  ///< thickness of a template
    double below_mm = 1.0;  ///< into the spoil board
};

/// All chains up to one intermediate copy, ranked. `most` bounds the list.
Chains solve_chains(const shelf::Shelf& shelf, const Depths& depths, std::size_t most = 24);

}  // namespace seamwright::seam
