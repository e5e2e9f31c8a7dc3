#pragma once

#include <string>
#include <vector>

#include "process/passes.h"

namespace seamwright::process {

// How deep the passes are for this wood and cutter, and what to do where the edge is higher than the flutes are long.

/// What the depth of a pass depends on, all > 0.
struct PassFor {
    double density_kg_m3 = 700.0;  ///< at 12 % moisture
    double cutter_diameter_mm = 12.7;
    double shank_mm = 12.7;
    double cutting_length_mm = 32.0;
};

struct PassAdvice {
    PassRules rules;
    /// Where the figures are from, in words.
    std::string source;
    bool from_memory = false;
};

/// Passes by wood and cutter, from the rows "pass depth" of data/router.csv; shanks between 6 and 12 mm lie between
/// their rows in proportion:
/// - light wood (to 500 kg/m³): half the cutter's diameter, at most the upper figure of the row for its shank;
/// - heavy wood (from 700 kg/m³): the lower figure of that row, for a 12 mm shank in proportion where the cutter is
///   under 12 mm; between the two in proportion to density; heavier still less, as 700 over density;
/// - a cutter longer than four diameters bends: less, as four diameters over its length.
/// The first pass is three fifths of a step and never above 1/8 in (the manual's rule for any bit and wood), the last
/// two fifths and never above 2 mm. Densities, proportions and slenderness are our judgement.
///
/// All of `wanted` > 0, else std::invalid_argument.
PassAdvice pass_rules_for(const PassFor& wanted, double below_mm = 1.0);

/// Feed per tooth, feed / (speed · flutes), mm. All > 0, else std::invalid_argument.
double chip_mm(double feed_mm_per_min, double rpm, int flutes);

/// The last pass all at once: `side_mm` at the full depth, which takes off the lines between the passes.
struct FinalSkim {
    double side_mm = 0.5;
    double depth_mm = 0.0;
    double minutes = 0.0;
    /// The passes before it leave so much when their guide is so much larger in diameter: 2 · side.
    double guide_larger_by_mm = 0.0;
    bool flutes_reach = true;  ///< they are as long as the depth; else it cleans only the lower part
};
/// Side 0.3 to 1 mm is usual (data/router.csv, "last pass, side allowance", from memory). Above 1 mm, and lengths not
/// above 0 (the edge may have none), are refused: std::invalid_argument.
FinalSkim final_skim(double side_mm, double depth_mm, double cutting_length_mm, double edge_length_mm,
                     double feed_mm_per_min);

/// The cut of an edge and what makes it, lengths > 0 but where said.
struct StageSetup {
    double thickness_mm = 0.0;
    double template_mm = 12.0;  ///< >= 0
    double cutting_length_mm = 0.0;
    double reach_mm = 0.0;        ///< longest stick-out from the collet
    double bearing_mm = 5.0;      ///< height of edge the bearing needs (common practice, from memory: 4 to 6 mm)
    double overlap_mm = 2.0;      ///< the flutes begin so far within what is already clean, >= 0 (our judgement)
    double edge_length_mm = 0.0;  ///< >= 0
    double feed_mm_per_min = 0.0;
    PassRules rules;
};

enum class GuidedBy {
    template_edge,  ///< bushing or bearing on the template
    edge_above,     ///< a bearing above the flutes on the edge already cut, the template taken off
    edge_below      ///< the piece turned over; a bearing at the tip of the cutter on the edge already cut
};

/// A part of the edge that one setting cleans. Depths are from the face the template lay on.
struct Stage {
    GuidedBy guided = GuidedBy::template_edge;
    double from_mm = 0.0, to_mm = 0.0;
    double projection_mm = 0.0;     ///< of the cutter's lowest point below the router base, in the deepest pass
    double flutes_needed_mm = 0.0;  ///< of what follows the edge cut before, its bearing not counted
    std::vector<Pass> passes;       ///< as in PassPlan; depths from the face that is up
    double minutes = 0.0;
};

struct StagePlan {
    /// One where the flutes are long enough. Empty: not with this cutter.
    std::vector<Stage> stages;
    double minutes = 0.0;
    bool possible = false;
    /// What the cutter lacks where it is not possible: how much longer its flutes, or its reach, would have to be.
    double flutes_short_mm = 0.0, reach_short_mm = 0.0;
};

/// First the template's stage: as deep as the flutes are long and the cutter reaches through the template. Then, where
/// wood is left below, one stage that follows the edge just cut and finishes the rest at one flute length:
/// - from above: its bearing, over the flutes, must stand on the cut edge from the first pass on, which is therefore as
///   deep as the flutes and the bearing together;
/// - or from the other face, where no bearing fits above: at one depth, for its bearing runs at the tip; the rest is
///   taken off sideways, so the wood must be sawn close.
/// Lengths as above, else std::invalid_argument; so for rules plan_passes refuses.
StagePlan plan_stages(const StageSetup& setup);

}  // namespace seamwright::process
