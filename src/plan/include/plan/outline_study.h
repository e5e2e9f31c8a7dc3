#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "plan/boards_study.h"
#include "plan/closing_study.h"
#include "plan/plan.h"
#include "process/feed_plan.h"
#include "seam/one_edge.h"

namespace seamwright::plan {

// The glued-up top cut to its finished line. Nothing has to match an outline but the line itself, so each curved side
// has a single template; straight sides are cut along a straightedge, a round top also from its middle with a beam.
// Templates and straightedges lie on the wood that stays, their edge o = (B − b)/2 inside the line; the waste is
// outside. A guide of radius B/2 then keeps to a hollow of the line of radius R where R + o >= B/2, that is R >= b/2;
// a bulge, a rounded corner, wants R >= o.

/// What rides and what cuts.
struct OutlineTools {
    seam::Pair pair;
    std::string rider, cutter;  ///< names on the shelf
    double offset_mm() const { return pair.offset_mm(); }
};

/// How far the line stands out from the straight line between its ends, at a part of that line from its start; inward
/// −.
struct StandsOut {
    double part = 0.0, by_mm = 0.0;
};

struct OutlineTick {
    geometry::Segment line;  ///< from the finished line into the template
    std::string name;        ///< "centre line"
};

/// A template for the outline, at full size.
struct OutlineTemplate {
    TemplatePlan sheet;        ///< its seam_line is the finished line; `fastening` are places for tape or clamps
    std::vector<Path> beside;  ///< the rest of the outline near it
    std::vector<Path> fences;  ///< glued on under it, closed
    std::vector<OutlineTick> ticks;
    std::vector<std::string> says;  ///< for its label: how often it is used, what to check
};

/// One cut along a part of the outline.
struct OutlineCut {
    enum class Kind {
        straight,  ///< along a straightedge
        side,      ///< a curved side, from corner to corner and on beyond both
        corner,    ///< a rounded corner, after the two sides
        half,      ///< half of a round or oval outline, the template turned end for end for the other
        whole      ///< all round in one
    };
    Kind kind = Kind::straight;
    std::string name;        ///< "front", "back right corner", "outline"
    Path line;               ///< that is really cut, as finished, wood on its left; a side runs to its sharp corners
    double length_mm = 0.0;  ///< of it
    double radius_mm = 0.0;  ///< where it is one arc: + bulging, − hollow; 0 otherwise
    std::string starts_at, ends_at;  ///< "front left corner"; empty all round
    std::vector<StandsOut> checks;   ///< sides only
    double chord_mm = 0.0;           ///< between the ends of a side
    std::optional<std::size_t> template_index;
    std::optional<OutlineTools> tools;  ///< absent: nothing on the shelf makes it; by hand to a pattern
    seam::OneEdge made;                 ///< simulated with these tools
    bool reached = false;               ///< the edge is the line, to reached_mm
    /// Least room between the cutter on its run-outs and the finished wood; negative: it cuts into it.
    double clear_mm = 0.0;
    std::optional<process::PassPlan> passes;
    std::optional<process::Speed> speed;
    double end_grain_mm = 0.0;  ///< of its length, across the fibres
    process::FeedPlan feed;     ///< by the fibres of every piece it crosses
    /// Ends where the teeth leave end grain, and the later cut that takes the splinters off; empty: back it up.
    struct Exit {
        std::string at, taken_by;
    };
    std::vector<Exit> exits;
    struct Finding {
        std::string says, remedy;
    };
    std::vector<Finding> findings;
};

/// A round top turned under the router on a beam with a pivot at its middle.
struct Trammel {
    Point pivot;
    double radius_mm = 0.0;
    std::string cutter;
    double cutter_mm = 0.0;
    double near_mm() const { return radius_mm; }  ///< pivot to the side of the cutter that is nearer: the edge
    double middle_mm() const { return radius_mm + 0.5 * cutter_mm; }
    double far_mm() const { return radius_mm + cutter_mm; }
    std::optional<process::PassPlan> passes;
    std::optional<process::Speed> speed;
};

struct OutlineStudy {
    std::vector<OutlineCut> cuts;  ///< in the order they are made
    std::vector<OutlineTemplate> templates;
    std::optional<double> diagonal_mm;       ///< of a rectangle, between its sharp corners
    double length_mm = 0.0, width_mm = 0.0;  ///< over all
    std::optional<Trammel> trammel;
    /// Of an oval: from its middle to each of the two points of the string, on the longer axis.
    std::optional<double> focus_mm;
    double reveal_mm = 0.0, kerf_mm = 0.0, run_out_mm = 0.0;
    double largest_off_mm = 0.0, certified_to_mm = 0.0;  ///< of all cuts that were simulated
    std::string largest_off_cut;                         ///< its name
    bool reached = false;                                ///< all of them
};

/// Nearer than this to the line counts as on it.
inline constexpr double reached_mm = 0.01;

/// How the outline is cut. Sides that show end grain come first, so that the next cut takes off what splinters where
/// the teeth leave it; rounded corners last. Fibres are those of the pieces, and of the boards they lie on where
/// given. Not part of the plan: some milliseconds. Pure and deterministic; empty without an outline.
OutlineStudy study_outline(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                           const BoardsStudy* boards = nullptr);

/// R = c²/(8 h) + h/2, of an arc with the chord c and the rise h (both > 0): intersecting chords, (c/2)² = h (2R − h).
double radius_of_arc(double chord_mm, double rise_mm);
/// How far the arc stands out at a part of its chord: √(R² − (c (1/2 − part))²) − (R − h).
double rise_at(double chord_mm, double rise_mm, double part);
/// How much a top of this length leans over its width when its diagonals differ by so much, to the first order:
/// d1² − d2² = 4 L · lean, so lean = difference · d / (2 L).
double lean_of(double difference_mm, double length_mm, double width_mm);

namespace words {
/// Each cut in order, what to set, what to measure; cautions last.
std::vector<Told> outline_text(const OutlineStudy& study, const Plan& plan, const job::Job& job);
/// The settings in a few lines, for the step of the work.
std::vector<std::string> outline_settings_text(const OutlineStudy& study, const job::Job& job);
/// A length the maker sets up by: where his fractions round it, the true value in millimetres stands beside it.
std::string set_by_text(double mm, const units::LengthStyle& style);
}  // namespace words

}  // namespace seamwright::plan
