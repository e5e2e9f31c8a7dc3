#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "curves/as_made.h"
#include "curves/elastica.h"
#include "curves/fairness.h"
#include "curves/routable.h"
#include "geometry/parallel.h"
#include "geometry/region.h"
#include "job/job.h"
#include "plan/cut_depth.h"
#include "process/edging.h"
#include "process/passes.h"
#include "seam/chain.h"
#include "seam/closing.h"
#include "seam/simulate.h"
#include "shelf/bending.h"

namespace seamwright::plan {

using geometry::Path;
using geometry::Point;

inline constexpr std::string_view program_version = "0.1.0";

/// One part of the top.
struct PiecePlan {
    std::string name;
    std::string species;
    double grain_rad = 0.0;
    geometry::Region region;
    double area_mm2 = 0.0;
    double weight_kg = 0.0;  ///< at 12 % moisture; 0 when the species is unknown
    geometry::Box box;       ///< its size in the drawing's directions
    Point label_at;
    bool named = false;  ///< the job names it
    /// Whether it comes out of its board; where the job says which.
    struct Board {
        double width_mm = 0.0, margin_mm = 0.0;
        double takes_mm = 0.0;  ///< width of the piece across its grain
        bool fits = false;
        /// How many times as high its seams may be at most; infinite: the board does not limit them. 0: it does not
        /// come out of this board however low they are, or no seam of it has a height.
        double times_as_high = 0.0;
    };
    std::optional<Board> board;
};

/// A full-size template to print or copy.
struct TemplatePlan {
    std::string title;  ///< "North seam, left template"
    std::string seam;
    std::string hand;     ///< "left" / "right"
    bool master = false;  ///< made by hand from paper; others are drawn for checking the copy
    bool body_on_left = true;
    Path edge;                        ///< the working edge with run-in and run-out
    Path seam_line;                   ///< the seam as drawn, within the wood
    std::optional<Path> mating_edge;  ///< the other template's edge
    /// Where the wood is sawn before routing: seam + reveal, waste side. Empty for a template that never lies on the
    /// piece it shapes: one that is only copied, or that cuts from the waste side.
    Path rough_cut;
    Path body;  ///< closed outline of the template blank; empty for a plate, whose closed edge is its whole outline
    std::vector<Point> registration;  ///< marks off the seam
    std::vector<Point> fastening;     ///< on the body, clear of the cut
    std::string rides;                ///< "30 mm guide, 10 mm cutter"
    double offset_mm = 0.0;           ///< template edge to cut edge
    double nominal_n_mm = 0.0;        ///< signed distance of its edge from the seam, + to the right, as the chain says
};

/// A step of the chain with its passes.
struct StepPlan {
    seam::Step step;
    std::string title;               ///< "Copy the mating template"
    std::vector<std::string> lines;  ///< what rides where, which side up, offset, which edge remains
    /// In stages, where the flutes are too short for the depth and stages help: those of all stages, one after another.
    std::optional<process::PassPlan> passes;
    std::optional<process::Speed> speed;
    std::vector<std::string> cautions;
    std::optional<CutDepth> depth = std::nullopt;  ///< of a step that cuts wood

    /// All passes and the skim at the feed, without handling; 0 for work by hand.
    double cutting_minutes() const {
        return (passes ? passes->minutes : 0.0) + (depth && depth->skim ? depth->skim->cut.minutes : 0.0);
    }
};

/// What easing has changed about a seam.
struct EasedPlan {
    Path as_drawn;  ///< what the job file draws
    curves::MovedStretch largest;
    std::vector<curves::MovedStretch> stretches;  ///< that moved by more than 0.05 mm, in order along the seam
    bool unchanged = false;                       ///< it turned no tighter as drawn
};

/// The stick a seam is drawn with, in its tightest bend.
struct StickPlan {
    job::Stick stick;
    bool own = false;                          ///< the seam's, not the job's
    double length_mm = 0.0;                    ///< of the curve: the stick is no shorter
    double radius_mm = HUGE_VAL;               ///< the tightest it has to take; infinite: it lies straight
    double along_mm = 0.0;                     ///< from the start of the curve as drawn
    std::optional<Point> at;                   ///< absent when it lies straight
    double strain = 0.0;                       ///< of its skin
    std::optional<shelf::BendingLimit> limit;  ///< absent for a wood that is not in the tables
    // With a limit only:
    double part_of_rupture = 0.0;             ///< of the strain that breaks it on the average
    double part_that_breaks = 0.0;            ///< of many such sticks
    double greatest_thickness_mm = HUGE_VAL;  ///< that holds
    bool holds = true;
};

/// The template made by hand, as the gauge found it.
struct MadePlan {
    bool template_on_left = true;  ///< its body
    Path edge;                     ///< as meant, from where the seam enters the wood to where it leaves it
    double length_mm = 0.0;        ///< of it
    double wave_mm = 0.0, fair_mm = 0.0;
    curves::AsMade made;    ///< the edge as measured, high and low spots, what sanding alone takes off
    seam::Closing closing;  ///< once they are; .found is false where they could not be cut
    bool closes = false;    ///< within the maker's limit
    std::string verdict;    ///< one or two sentences in the maker's words
};

struct SeamPlan {
    std::string name;
    job::SeamKind kind = job::SeamKind::open;
    curves::Drawn drawn;  ///< whole, as meant; eased where the job asks for it
    std::optional<EasedPlan> eased;
    std::optional<curves::SprungStick> sprung;  ///< of a seam drawn as one; as drawn, not as eased
    std::optional<StickPlan> stick;             ///< where the job names one
    std::vector<curves::Bump> bumps;            ///< where the curve bends most or least among its neighbours
    std::optional<MadePlan> as_made;            ///< where the job has readings, and they can be used
    Path in_wood;                               ///< from edge to edge
    double length_mm = 0.0;
    std::vector<seam::Chain> chains;  ///< ranked for this seam; [chosen] is the one carried out
    std::size_t chosen = 0;
    bool any_exact = false;
    std::vector<seam::Advice> advice;
    seam::Simulation simulation;  ///< of the chosen chain
    std::vector<StepPlan> steps;
    std::vector<TemplatePlan> templates;
    bool closes = false;                    ///< largest gap within the maker's limit and no stopping reach problem
    std::string verdict;                    ///< one sentence in the maker's words
    std::string left_pieces, right_pieces;  ///< names of the pieces it parts, several joined by "and"
    /// The heaviest wood on either side, as the job names it; empty: the tables know none of them.
    std::string left_species, right_species;
    std::vector<job::Problem> problems;  ///< found about this seam; they stand among those of the plan too
};

/// An edging sawn in segments out of straight boards.
struct SegmentedEdging {
    std::size_t seam = 0, piece = 0;
    Path outer;             ///< the ring's outer edge, its wood on the left
    double width_mm = 0.0;  ///< inward from there
    process::EdgingWish wish;
    /// No segments where there is no way to saw them; the problems of the plan say why.
    process::EdgingPlan ring;
    /// What the joints keep clear of, as stations of `outer`: ends of seams, or joints of the ring inside this one.
    struct Meeting {
        double at_mm = 0.0;
        std::size_t seam = 0;  ///< of the plan
        bool joint = false;    ///< of the segments that this seam bounds
    };
    std::vector<Meeting> meetings;
};

struct Plan {
    std::string name, note;
    units::LengthStyle style;
    double thickness_mm = 0.0;  ///< of the finished top, without a build-up
    /// What boards are planed to, and the seams routed in: what getting the glued top flat takes off is still on.
    double milled_mm = 0.0;
    Path outline;
    double area_mm2 = 0.0;
    geometry::Box box;
    std::vector<PiecePlan> pieces;
    std::vector<SeamPlan> seams;
    std::vector<SegmentedEdging> edgings;  ///< in the order of their seams
    std::vector<job::Problem> problems;    ///< errors and warnings found while planning
    job::Paper paper;
    job::TemplateSheet sheet;
    job::Limits limits;
    std::string inputs_sha256;  ///< of the canonical job document
    /// The first eight of the fingerprint: it changes with any change of the job or the shelf, and stands on every
    /// paper.
    std::string revision() const { return inputs_sha256.substr(0, 8); }
};

/// The one computation. Pure and deterministic: same input, same bytes; no clock, file, network or globals.
/// With errors among `problems`, what could not be computed is left empty.
Plan make_plan(const job::Job& job, const shelf::Shelf& shelf);

/// A plan with what it was made of.
struct Made {
    const job::Job& job;
    const shelf::Shelf& shelf;
    const Plan& plan;
};
/// The same plan to the last bit, sooner: seams that nothing has touched since `before` are taken over from it.
Plan make_plan(const job::Job& job, const shelf::Shelf& shelf, const Made& before);

/// plan.json, everything in mm, following schema/plan.schema.json. Deterministic bytes.
std::string write_plan(const Plan& plan);
std::string_view plan_schema();

}  // namespace seamwright::plan
