#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace seamwright::process {

/// One depth step of a cut.
struct Pass {
    double depth_mm = 0.0;       ///< below the top face of the wood (or of the blank that becomes a template)
    double step_mm = 0.0;        ///< taken in this pass
    double projection_mm = 0.0;  ///< cutter below the router base: template + depth
};

struct PassRules {
    double first_mm = 3.0;  ///< largest first pass
    double step_mm = 5.0;   ///< largest step
    double last_mm = 2.0;   ///< largest last pass
    double below_mm = 1.0;  ///< into the spoil board
};

struct PassPlan {
    std::vector<Pass> passes;
    double length_mm = 0.0;  ///< one pass along the edge
    double minutes = 0.0;    ///< all passes at the feed, without handling
    /// The cut is deeper than the flutes are long: no single pass cleans the whole edge.
    bool deeper_than_flute = false;
};

/// More passes than this are refused: the step is a slip of the pen.
inline constexpr double most_passes = 10000.0;

/// First light pass, even steps, light last pass. All steps between first and last are equal and none is larger than
/// asked; first and last are never deeper than a step. The whole is thickness + below. A cut no deeper than first
/// and last together is shared between those two, and one no deeper than the smaller of them is one pass.
/// thickness_mm is that of the wood, or of the sheet that becomes a template. thickness, cutting length, feed and
/// rules > 0, the others >= 0 (std::invalid_argument otherwise).
PassPlan plan_passes(double thickness_mm, double template_mm, double cutting_length_mm, double edge_length_mm,
                     double feed_mm_per_min, const PassRules& rules);

/// Speed for a cutter: the lower of its marked maximum and the chart for its diameter (data/router.csv; where charts
/// disagree the lower).
struct Speed {
    double rpm = 0.0;          ///< not to be exceeded
    double rim_m_per_s = 0.0;  ///< π d n / 60
    std::string source;
    bool from_memory = false;
};
Speed speed_for(double diameter_mm, double marked_max_rpm);  ///< marked 0 = not marked

}  // namespace seamwright::process
