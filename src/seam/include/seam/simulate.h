#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/parallel.h"
#include "seam/chain.h"

namespace seamwright::seam {

using geometry::Path;
using geometry::Point;

/// A template as the chain leaves it: its edge, on which side its body lies.
struct TemplateEdge {
    Path edge;  ///< runs the same way as the seam
    bool body_on_left = true;
    double at_mm = 0.0;  ///< its n, as the chain says
};

/// Where a step cannot follow the seam, or a tool cannot do the step.
///
/// A place where the seam is too tight does not stop the work by itself: what it does to the gap and to the shape of
/// the seam is simulated, and stands in largest_gap_mm and off_seam_mm for the maker's limit to judge. (A sharp corner,
/// for instance, comes out rounded on both pieces alike, and they still close.)
struct ReachProblem {
    enum class Kind {
        guide_in_hollow,        ///< the rider does not reach the bottom of a hollow of the template edge
        cutter_in_hollow,       ///< the wanted edge turns tighter than the cutter
        template_edge_gone,     ///< the template's parallel breaks: the seam turns tighter than the offset
        barrel_too_long,        ///< guide barrel longer than the template is thick
        cutter_too_short,       ///< cutting length less than the wood, so the shank runs in the groove
        reach_too_short,        ///< stick-out less than template + wood
        shank_in_guide,         ///< cutter or shank does not pass the bore
        bearing_above_template  ///< the bearing meets the template only once the cutter is well down
    };
    Kind kind = Kind::guide_in_hollow;
    std::size_t step = 0;
    std::string says;             ///< in the maker's words, without lengths
    double wanted_mm = 0.0;       ///< radius or length needed
    double found_mm = 0.0;        ///< radius or length there is; 0 for a corner
    double depth_mm = 0.0;        ///< on the seam: how far the edge is missed at the worst place
    std::optional<double> at_mm;  ///< length along the seam
    std::optional<Point> at;
    /// True when the step cannot be done at all; false when it can, with the remedy said or the result as simulated.
    bool stops_the_work = true;
};

/// Tightest radius of a seam where it turns left and where it turns right; infinite where it does not, 0 at a corner.
struct TightestTurns {
    double left_mm = 0.0;
    double right_mm = 0.0;
};
TightestTurns tightest_turns(const Path& path);

/// Tightest radius a step allows on each hand of the seam, and how near the seam comes to it.
///
/// A template whose body is on the left, edge at n = t, kept edge at n = e:
///   seam turns left   the template bulges: its radius R + t and that of the kept edge, R + e, must not be used up
///   seam turns right  the template is hollow: R − t >= B/2, and R − e >= 0 where the far edge is kept
/// and mirrored for a body on the right.
struct ReachOfStep {
    std::size_t step = 0;
    double least_left_mm = 0.0;  ///< least seam radius where it turns left
    double least_right_mm = 0.0;
    double margin_mm = 0.0;  ///< tightest seam radius − least, the smaller of both hands (infinite: straight)
};

struct GapAt {
    double at_mm = 0.0;   ///< length along the seam
    double gap_mm = 0.0;  ///< + open, − the pieces would overlap; from the left edge to the nearest of the right one
};

/// Reach by arithmetic, for every step: quick, and exact where the seam turns evenly for at least the guide's width.
/// What the seam really lets through is what `simulate` finds.
std::vector<ReachOfStep> reach_of(const Chain& chain, const TightestTurns& turns);
/// Smallest margin over all steps, for ranking chains on one seam.
double least_margin_mm(const Chain& chain, const TightestTurns& turns);

/// What the tools themselves do not allow, whatever the seam: barrel, cutting length, reach, bore.
std::vector<ReachProblem> tool_problems(const Chain& chain, const shelf::Shelf& shelf, const Depths& depths);

/// The whole chain carried out on the drawn seam with the real diameters.
struct Simulation {
    std::vector<TemplateEdge> templates;  ///< in order of making
    Path left_edge, right_edge;           ///< the two edges as cut, along the seam
    std::vector<GapAt> gap;
    double largest_gap_mm = 0.0;  ///< largest |gap|, certified
    double largest_gap_at_mm = 0.0;
    double certified_to_mm = 0.0;  ///< the true largest |gap| is not larger than the value by more than this
    /// Farthest that a place of the drawn seam lies from the edge cut on the master's hand (certified as the gap is).
    double off_seam_mm = 0.0;
    double off_seam_at_mm = 0.0;
    bool carried_out = false;  ///< false: a template edge is lost altogether, there are no two edges to compare
    std::vector<ReachProblem> problems;  ///< by step; within a step those that stop the work first
    std::vector<ReachOfStep> reach;
    double least_margin_mm = 0.0;  ///< smallest margin over all steps
};

struct CutConditions {
    Depths depths;
    double run_out_mm = 60.0;
};

/// Rolls, copies and sweeps. `drawn` is the seam as drawn (open: from edge to edge of the wood; closed: inlay or
/// edging, counter-clockwise, the inside is the left piece). The master's edge is the trimmed parallel of the seam at
/// the n the chain gives it; every later edge follows from rolling measured diameters on the edge before. Nothing is
/// taken from the chain's arithmetic.
///
/// An open seam is made longer by run_out_mm, straight on at both ends; left_edge and right_edge are cut back to the
/// wood. Throws std::invalid_argument for an empty path, std::runtime_error where a parallel cannot be
/// certified (see geometry/parallel.h).
Simulation simulate(const Path& drawn, const Chain& chain, const shelf::Shelf& shelf, const CutConditions& conditions);

/// The same from a master that was made already: `master_edge` is its edge as measured, along the seam from where that
/// enters the wood to where it leaves it. Everything is copied from it with all its faults; reach is told as before.
/// The gap is not measured here: such edges are compared where they come to lie (see closing.h).
Simulation simulate_from(const Path& master_edge, const Path& drawn, const Chain& chain, const shelf::Shelf& shelf,
                         const CutConditions& conditions);

}  // namespace seamwright::seam
