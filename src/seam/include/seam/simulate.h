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
    double at_mm = 0.0;  ///< nominal n
};

/// Where a step cannot follow the seam, or a tool cannot do the step.
struct ReachProblem {
    enum class Kind {
        guide_in_hollow,     ///< the rider does not reach the bottom of a hollow of the template edge
        cutter_in_hollow,    ///< the wanted edge turns tighter than the cutter
        template_edge_gone,  ///< the template's parallel breaks: the seam turns tighter than the offset
        barrel_too_long,     ///< guide barrel longer than the template is thick
        cutter_too_short,    ///< cutting length less than template + wood, so the shank rubs
        reach_too_short,
        shank_in_guide  ///< shank does not pass the bore
    };
    Kind kind = Kind::guide_in_hollow;
    std::size_t step = 0;
    std::string says;        ///< in the maker's words
    double wanted_mm = 0.0;  ///< radius or length needed
    double found_mm = 0.0;
    std::optional<double> at_mm;  ///< length along the seam
    std::optional<Point> at;
    bool stops_the_work = true;  ///< false: works, with the remedy said (for example a deeper template)
};

/// Tightest radius a step allows on each hand of the seam, and how near the seam comes to it.
struct ReachOfStep {
    std::size_t step = 0;
    double least_left_mm = 0.0;  ///< least seam radius where it turns left
    double least_right_mm = 0.0;
    double margin_mm = 0.0;  ///< tightest seam radius − least, the smaller of both hands (infinite: straight)
};

struct GapAt {
    double at_mm = 0.0;   ///< length along the seam
    double gap_mm = 0.0;  ///< + open, − the pieces would overlap, measured square to the left edge, before closing
};

/// The whole chain carried out on the drawn seam with the real diameters.
struct Simulation {
    std::vector<TemplateEdge> templates;  ///< in order of making
    Path left_edge, right_edge;           ///< the two edges as cut, along the seam
    std::vector<GapAt> gap;
    double largest_gap_mm = 0.0;  ///< largest |gap|, certified
    double largest_gap_at_mm = 0.0;
    double certified_to_mm = 0.0;  ///< the true largest |gap| lies within this of the value
    std::vector<ReachProblem> problems;
    std::vector<ReachOfStep> reach;
    double least_margin_mm = 0.0;  ///< smallest margin over all steps
};

struct CutConditions {
    Depths depths;
    double run_out_mm = 60.0;
};

/// Rolls, copies and sweeps. `drawn` is the seam as drawn (open: from edge to edge of the wood; closed: inlay or
/// edging, counter-clockwise). The master's edge is the exact parallel at its *nominal* position, every later edge
/// follows from measured diameters.
Simulation simulate(const Path& drawn, const Chain& chain, const shelf::Shelf& shelf, const CutConditions& conditions);

}  // namespace seamwright::seam
