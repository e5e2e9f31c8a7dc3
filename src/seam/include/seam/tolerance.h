#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "seam/chain.h"
#include "seam/small_closing.h"

namespace seamwright::seam {

// How well a seam closes with tools that are not quite what they are marked, and hands that are hands.
//
// Every source of error moves the edge that a step keeps, along the seam's normal n (+ toward the right piece). A step
// whose template lies on the left keeps an edge at t + (B ± b)/2, on the right at t − (B ± b)/2; so with σ = +1, −1 and
// ± = + for a far edge
//
//     B larger by x       σ x/2             b larger by x        ±σ x/2
//     guide off centre    n·w, w the way from the middle of the guide to that of the cutter as they lie on the top
//     paper longer        n·S(p − c)        edge uneven          any wave along the seam
//
// and a template hands all of its own error on to what is made from it. The gap changes by what the right edge moves
// less what the left one does, and then the pieces are pushed together (small_closing.h).

/// How the router is held while it goes along the edge.
enum class Held {
    one_way,      ///< the same handle toward the same end, on every template and cut
    end_for_end,  ///< turned end for end between the cut of the left and that of the right piece
    with_edge,    ///< turned along with the edge, one side always to the template
    any_way       ///< as it comes, another way each time
};

/// How true things are: what is not known otherwise lies anywhere within ± these, all in mm unless said. Every one >=
/// 0. The usual values are common practice, from memory.
struct Accuracy {
    double measured_mm = 0.02;     ///< a diameter that the maker measured; the shelf may know better for one tool
    double marked_mm = 0.10;       ///< a diameter known from its marking alone
    double cutter_wear_mm = 0.01;  ///< lost in diameter between the first copy and the last cut: 0 to this
    double guide_wear_mm = 0.01;   ///< the same of a guide's barrel
    double run_out_mm = 0.03;      ///< a cutter that wobbles cuts wider: 0 to this, new each time it is set
    double guide_play_mm = 0.05;   ///< how far the guide sits aside in its base, new each time it is set
    double off_centre_mm = 0.10;   ///< guide against spindle, any direction, always the same; likewise
    Held held = Held::one_way;
    double routed_edge_mm = 0.02;      ///< unevenness of each routed edge
    double hand_edge_mm = by_hand_mm;  ///< unevenness of an edge worked by hand to a line
    double edge_wave_mm = 150.0;       ///< the length of both, crest to crest; > 0
    double paper_per_m_mm = 0.3;       ///< paper longer or shorter, per metre, along and across on their own
    double moisture_points = 0.0;      ///< moisture lost or gained by the piece cut first until the other one is cut
    /// What the first piece shrinks or swells across its grain per point of moisture, as a part (0.0025: oak, say).
    double movement_per_point = 0.0;
    double grain_rad = 0.0;  ///< direction of its grain
};

struct ToleranceSource {
    enum class Kind {
        cutter_size,
        cutter_wear,
        run_out,
        guide_size,
        guide_wear,
        guide_play,
        off_centre,
        routed_edge,
        hand_edge,
        paper,
        moisture
    };
    Kind kind = Kind::cutter_size;
    std::string tool;                 ///< its shelf name; empty where no tool is meant
    std::optional<std::size_t> step;  ///< of the chain, where it belongs to one alone
    bool measured = false;            ///< of a size: the maker measured it
    double size_mm = 0.0;             ///< ± this, or 0 to this (wear, run-out); per metre of paper; points of moisture
    double alone_mm = 0.0;            ///< largest gap left by the seam as planned with this source alone at its worst
    double share = 0.0;               ///< of the sum of squares, 0..1
};

/// Seeded samples: every source anywhere within its size (evenly), independent of the others.
struct Sampled {
    std::size_t samples = 0;
    std::uint64_t seed = 0;
    double half_mm = 0.0;             ///< half of all seams close better than this
    double most_mm = 0.0;             ///< 95 in 100
    double largest_mm = 0.0;          ///< the worst sample
    double within_limit = 0.0;        ///< part of the samples within the limit
    std::vector<double> most_gap_mm;  ///< of that sample of 95 in 100: what is left at each place, once pushed together
    std::size_t not_together = 0;     ///< samples whose pieces cannot be brought together without cutting again
};

enum class Closes { surely, most_likely, perhaps, hardly };

struct Tolerance {
    double limit_mm = 0.0;
    double planned_mm = 0.0;  ///< largest gap with every size as planned
    double worst_mm = 0.0;    ///< no combination within the sizes leaves more
    double squares_mm = 0.0;  ///< planned, and the root of the sum of squares of what each source adds
    Sampled sampled;
    std::vector<ToleranceSource> sources;  ///< largest share first
    /// Largest loss of a cutter's diameter with which the seam, all else as planned, still closes within the limit:
    /// lost before the first copy, the same cutter copying and cutting; and lost (or ground off) between copying and
    /// cutting. Absent when a millimetre would do.
    std::optional<double> worn_throughout_mm, worn_between_mm;
    Closes closes = Closes::hardly;
};

struct ToleranceWish {
    Accuracy accuracy;
    double limit_mm = 0.1;      ///< > 0: the widest gap the maker lets pass
    std::size_t samples = 200;  ///< 0: none
    std::uint64_t seed = 1;
};

/// `planned_gap_mm`: the gap at each place with every size as planned (as simulated, or empty for the chain's mismatch
/// everywhere). Deterministic: the same numbers give the same bytes.
/// Throws std::invalid_argument for sizes that are none or below nothing, and for lengths that do not agree.
Tolerance tolerance_of(const Chain& chain, const shelf::Shelf& shelf, std::span<const SeamPlace> places, bool closed,
                       const ToleranceWish& wish, std::span<const double> planned_gap_mm = {});

/// A change of habit and what it does to the gap of 95 in 100 seams (or, without samples, of the sum of squares).
struct ToleranceAdvice {
    enum class What {
        hold_one_way,        ///< the same handle toward the same end
        do_not_turn,         ///< held well now; turned end for end it would be as told
        measure,             ///< measure the tool: a test cut
        copy_after_grinding  ///< a cutter that is ground between copying and cutting
    };
    What what = What::hold_one_way;
    std::string tool;
    double now_mm = 0.0, then_mm = 0.0;
};
/// What falls out of the numbers: only changes that make a tenth of the limit or more.
std::vector<ToleranceAdvice> advice_on(const Tolerance& tolerance, const Chain& chain, const shelf::Shelf& shelf,
                                       std::span<const SeamPlace> places, bool closed, const ToleranceWish& wish,
                                       std::span<const double> planned_gap_mm = {});

}  // namespace seamwright::seam
