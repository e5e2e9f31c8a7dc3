#pragma once

#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "process/cut_stages.h"
#include "seam/chain.h"
#include "shelf/shelf.h"

namespace seamwright::plan {

/// What the wood and the cutter have to say about the depth of a cut, and what the cut takes beyond its passes.
struct CutDepth {
    std::string species;         ///< the heaviest of the pieces it cuts, as the job names it; empty: none is known
    double density_kg_m3 = 0.0;  ///< at 12 % moisture; 0: unknown
    double cutter_mm = 0.0;
    /// Passes by wood and cutter; absent where the density is not known.
    std::optional<process::PassAdvice> usual;
    bool asked = false;     ///< the job wants its passes by wood and cutter
    double step_mm = 0.0;   ///< the job's own
    bool too_deep = false;  ///< the passes are the job's, and deeper than usual for this wood and cutter

    bool taken() const { return asked && usual.has_value(); }

    /// The last pass at full depth, where the job asks for one.
    struct Skim {
        process::FinalSkim cut;
        bool guide = true;      ///< else a bearing rides on the template
        double rides_mm = 0.0;  ///< outside of what rides in the cut that finishes the edge
        /// What the passes before ride with to leave it. Larger, but smaller where the wood beyond the groove is kept.
        double wanted_mm = 0.0;
        std::string rider;       ///< the nearest on the shelf that leaves what can be skimmed; empty: there is none
        double rider_mm = 0.0;   ///< its outside
        double leaves_mm = 0.0;  ///< what it leaves
    };
    std::optional<Skim> skim;

    /// Where the cut is deeper than the flutes are long.
    std::optional<process::StagePlan> stages;
    double flutes_mm = 0.0, reach_mm = 0.0;
    /// A bearing on the shelf as wide as the cutter, for the second stage; empty: none.
    std::string flush_bearing;
    bool staged() const { return stages && stages->stages.size() > 1; }
};

/// Of a step that cuts wood with `cutter` of the shelf. `edge_mm`: along the edge once. Rules that plan_passes refuses
/// are refused here too (std::invalid_argument).
CutDepth cut_depth(const job::Job& job, const shelf::Shelf& shelf, const seam::Step& step, const std::string& species,
                   double edge_mm);

/// The rules the passes of that cut follow.
process::PassRules rules_of(const CutDepth& depth, const job::Limits& limits);
process::PassRules rules_of(const job::Limits& limits);

namespace words {
/// Steps by wood and cutter, the skim and the second stage, sentence by sentence; none where there is nothing to say.
std::vector<std::string> depth_lines(const CutDepth& depth, const units::LengthStyle& style);
/// One sentence for each stage of a cut in stages: what guides it, from where to where, how far the cutter stands out.
std::vector<std::string> stage_lines(const CutDepth& depth, const units::LengthStyle& style);
}  // namespace words

}  // namespace seamwright::plan
