#pragma once

#include <vector>

#include "process/grain_feed.h"

namespace seamwright::process {

// How to feed along a routed edge, as figures; the sentences are the plan's. Conventional wherever the wood holds.
// Where it is expected to tear, the waste is first brought down to a skim and the skim is taken by itself: conventional
// if the model lets that pass, else as a climb cut, and that only on a piece that is held fast, by a router in both
// hands. A tooth that climbs drives the wood along its way, so the wood drives the router on: it pulls forward
// (cutting_force.h).

enum class FeedWay {
    conventional,       ///< at the whole side cut
    conventional_skim,  ///< no more than the skim left, conventional
    climb_skim          ///< no more than the skim left, with the rotation
};

/// What helps where it tears, best first.
enum class TearRemedy {
    turn_over,     ///< the piece and its template with the face down: that stretch then does not tear
    leave_skim,    ///< saw close, or cut first with a larger guide, so that only the skim is left
    climb_skim,    ///< take the skim with the rotation
    larger_cutter  ///< a larger diameter (engaged over a smaller angle) or a shearing cut, sharp
};

/// One stroke of the router.
struct FeedRun {
    FeedWay way = FeedWay::conventional;
    /// The length of edge it covers, as on the path (TearStretch; from = to: all the way round). Which end comes first
    /// is said by `along_path`: the way of the cutter past the wood, also where the wood is moved past it on a table.
    double from_mm = 0.0, to_mm = 0.0;
    double length_mm = 0.0;
    bool along_path = true;
    double side_cut_mm = 0.0;      ///< at most, when the stroke is made
    bool enters_at_end = false;    ///< begins at an end of an open edge; else the router is brought in beside a place
    bool leaves_at_end = false;    ///< runs out at an end; else it is drawn off the edge there
    bool backed = false;           ///< a backing is needed at an end or corner it covers
    double worst_phi_rad = 0.0;    ///< of the stretches it covers
    double risk = 0.0;             ///< cut this way
    double tears_turned_mm = 0.0;  ///< how much of it would tear with the other face up
    std::vector<TearRemedy> remedies;  ///< only where it tears

    double set_in_mm() const { return along_path ? from_mm : to_mm; }
    double lift_out_mm() const { return along_path ? to_mm : from_mm; }
};

/// A corner where the teeth leave end grain that nothing holds: back it up, or cut that side before its neighbour.
struct ExitCorner {
    double at_mm = 0.0;
    double end_grain_from_mm = 0.0, end_grain_to_mm = 0.0;  ///< nearest the corner, within reach
    double worst_phi_rad = 0.0;                             ///< nearest to end grain there
    bool at_end = true;  ///< the end of an open edge; else a corner of it, whose other side can be cut after
};

enum class FeedCaution {
    model_not_measured,      ///< a model says where it tears: try an offcut, or rout a disc of the board
    makers_instructions,     ///< of router and cutter come first
    hold_work_and_template,  ///< both held so that neither can move
    both_hands,              ///< on the router
    climb_pulls,             ///< a climb cut pulls the router forward
    climb_skim_only,         ///< never more than most_skim_mm by a climb cut
    no_climb_on_table,       ///< never on a router table
    no_climb_when_loose,     ///< never on a small or loose part
    back_up_exit,            ///< at the corners named
    template_turned_too      ///< face down: the template with it
};

struct FeedLimits {
    double exit_reach_mm = 10.0;  ///< end grain so near a corner breaks out
    /// Stretches that tear are taken in one stroke when less than this lies between them, and so is a conventional
    /// stretch shorter than this: a router cannot be set in and lifted out in less (our judgement).
    double least_stroke_mm = 20.0;
    /// The path turns toward the wood by at least so much at a corner.
    double corner_rad = geometry::pi / 6.0;
};

struct FeedPlan {
    std::vector<TearStretch> stretches;
    bool conventional_along_path = true;
    std::vector<FeedRun> runs;  ///< in the order they are cut: all that is conventional, then the skims
    std::vector<ExitCorner> exits;
    FaceChoice faces;
    bool turn_over = false;             ///< the other face would tear less than the way it lies
    std::vector<FeedCaution> cautions;  ///< in the order of the enumeration
};

/// Strokes in order. A conventional stroke leads from the end where the teeth come in to the next stretch that tears,
/// skips it, and so on; the skims follow in the same order. A closed edge without any that tears is one stroke from the
/// middle of its longest clean stretch all the way round.
///
/// Refuses what tear_stretches refuses, and limits below 0.
FeedPlan plan_feed(const EdgeCut& cut, const SideCut& side, const TearModel& model = {}, const FeedLimits& limits = {});

/// Corners and ends at which the teeth leave end grain (φ beyond 60°, wood::end_grain_from_rad) within reach. The way
/// of the feed does not matter: the teeth leave there in any case. In the order of the path.
std::vector<ExitCorner> exit_corners(const EdgeCut& cut, const FeedLimits& limits = {});

}  // namespace seamwright::process
