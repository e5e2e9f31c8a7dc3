#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
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
    double nominal_offset_mm() const { return 0.5 * (nominal_B_mm - nominal_b_mm); }
    double nominal_far_mm() const { return 0.5 * (nominal_B_mm + nominal_b_mm); }
    friend bool operator==(const Pair&, const Pair&) = default;
};

/// "30 mm guide/10 mm cutter": the two shelf names.
std::string name_of(const shelf::Shelf& shelf, const Pair& pair);

/// Why a guide and a cutter cannot work together. The reason holds no lengths; they stand beside it.
struct PairRefusal {
    std::string rider, cutter, reason;
    double wanted_mm = 0.0;  ///< least (or, for a bearing, largest) size that would do
    double found_mm = 0.0;
};
struct Pairs {
    std::vector<Pair> usable;
    std::vector<PairRefusal> refused;  ///< the first most_refusals of them
    std::size_t refused_more = 0;      ///< how many others
};
inline constexpr std::size_t most_refusals = 500;

/// All pairs the shelf allows, in the order of the shelf: cutter and shank pass the bore with room, bearings only on
/// cutters that take them. A bearing marked smaller than its cutter would cut into the wood under the template, and
/// can only do so at full depth in one pass: it is refused.
Pairs pairs(const shelf::Shelf& shelf);

/// Room all round between a turning shank and the bore of the guide (common practice, from memory).
inline constexpr double shank_room_mm = 0.25;

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
    bool template_on_left = true;  ///< the body of the template ridden on (or made by hand) lies left of its edge
    bool keeps_far = false;        ///< the part beyond the groove is kept: a far copy, or wood cut from the other side
    bool this_side_up = true;      ///< always up in a chain without turning over
    std::string says;              ///< one line in the maker's words, without sizes
};

/// A whole way from master to two cut edges.
///
/// Six ways are known. Cuts are named with the one on the master's hand first; "," joins copies of the master,
/// "+" a copy of a copy:
///
///   left:far(c)-p-q           mating copied from the master; mismatch f_c − o_p − o_q
///   left:p-far(q)             one template does both pieces, near and far edge; f_q − o_p
///   left:far(c)+near(d)-p-q   mating copied once more;  f_c − o_d − o_p − o_q
///   left:near(c)+far(d)-p-q   mating taken from a near copy of the master;  o_c + f_d − o_p − o_q
///   left:near(c),far(d)-p-q   master's hand is cut on a near copy of the master;  f_d − o_c − o_p − o_q
///   paper:p-q                 both edges by hand from paper; 0, but for the hand
///
/// with o = (B − b)/2 and f = (B + b)/2. The edge on the master's hand is laid at n = 0 for the measured sizes,
/// because the master is printed for them; the whole mismatch shows on the other edge.
struct Chain {
    std::string id;  ///< stable name made of the shelf names, e.g. "left:far(G30/C10)-G30/C10-G30/C10"
    bool master_on_left = true;
    std::vector<Step> steps;
    double mismatch_mm = 0.0;  ///< right edge's n − left edge's n: + gap, − overlap (measured sizes)
    double nominal_mismatch_mm = 0.0;
    int tool_changes = 0;              ///< changes of guide or bearing, and of cutter, between routed steps
    int templates = 0;                 ///< templates to make
    bool prints_mating = false;        ///< two edges have to be made by hand from paper
    bool tools_fit = true;             ///< every tool is long enough, and no barrel longer than the template is thick
    double stiffness = 0.0;            ///< of the weakest cutter, see stiffness() in tools.h; to compare chains only
    std::optional<double> margin_mm;   ///< room in the turns of the seam it was ranked for (rerank)
    std::vector<std::string> reasons;  ///< why it stands where it stands in the list

    bool exact() const;  ///< a copied chain without mismatch
};

/// The purchase (or regrind) that would make an exact chain: one guide or one cutter.
struct Advice {
    enum class What { guide, cutter, bearing };
    What what = What::guide;
    double diameter_mm = 0.0;
    bool common_size = false;  ///< data/router.csv lists it; others have to be turned or ground
    int tool_changes = 0;      ///< of the best chain it makes
    std::string with;          ///< what it goes with, in words
    std::string chain;         ///< that chain, with the new tool called "new guide", "new cutter" or "new bearing"
};

struct Chains {
    std::vector<Chain> ranked;   ///< best first; exact ones before others
    bool any_exact = false;      ///< some copied chain has |mismatch| <= exact_mm
    std::vector<Advice> advice;  ///< filled when none is exact
    std::vector<PairRefusal> refused;
    std::size_t refused_more = 0;    ///< refusals beyond most_refusals
    std::size_t pairs_left_out = 0;  ///< usable, but not looked at: see most_pairs
};

/// The search grows with the square of the pairs, and no maker keeps so many: on a larger shelf only those nearest to
/// B = 3b or B = 2b, which match by themselves, are looked at.
inline constexpr std::size_t most_pairs = 150;

/// A mismatch below this counts as none: half of the 1 µm the simulated gap must stay under.
inline constexpr double exact_mm = 0.0005;

/// How true an edge worked by hand to a printed line comes out (common practice, from memory). Two edges made by hand
/// are ranked as if they had this mismatch.
inline constexpr double by_hand_mm = 0.1;

/// What each step must get through, for choosing tools that can do it.
struct Depths {
    double top_mm = 0.0;    ///< thickness of the wood
    double sheet_mm = 0.0;  ///< thickness of a template
    double below_mm = 1.0;  ///< into the spoil board
};

/// All chains up to one intermediate copy, ranked; `most` bounds the list. When copied chains without mismatch exist,
/// copied chains with one are left out. Tools that cannot get through the wood are left out unless nothing else is
/// left; then the chains say so (`tools_fit`).
Chains solve_chains(const shelf::Shelf& shelf, const Depths& depths, std::size_t most = 24);

/// Ranks again once the room on a certain seam is known: margins_mm[i] belongs to ranked[i] (see least_margin_mm).
/// A chain that cannot follow the seam (negative margin) goes behind all that can. Throws std::invalid_argument when
/// the counts differ.
void rerank(Chains& chains, const std::vector<double>& margins_mm);

/// The chain of that id, whether or not it is among the best. Empty when the shelf does not have these tools.
std::optional<Chain> chain_of_id(const shelf::Shelf& shelf, const Depths& depths, std::string_view id);

}  // namespace seamwright::seam
