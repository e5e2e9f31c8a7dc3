#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "plan/plan.h"
#include "process/clamping.h"
#include "process/elastic_closing.h"
#include "process/gluing.h"
#include "seam/tolerance.h"
#include "wood/strength.h"

namespace seamwright::plan {

// Will this seam close, and how is it pushed together, clamped and glued? Asked for one seam at a time, apart from the
// plan: it takes a few milliseconds, and papers do not need it.

/// One side of a seam: the grain of the piece there, against the seam.
struct SideStudy {
    std::vector<double> grain_rad;  ///< at each place, 0 along the seam to 90° across it; NaN where nothing is known
    struct Stretch {
        double from_mm = 0.0, to_mm = 0.0;  ///< along the seam
        double steepest_rad = 0.0;
        double steepest_at_mm = 0.0;
        wood::SeamGrain grain = wood::SeamGrain::run_out;
        std::string piece;
        std::optional<wood::JointStrength> strength;  ///< there; a model. Absent for wood that is not in the tables
    };
    std::vector<Stretch> stretches;  ///< where the fibres run out, or end, at the seam
    std::string piece;               ///< the names of the pieces, several joined by "and"
    std::string species;             ///< of the first; empty when unknown
    double width_mm = 0.0;  ///< of the pieces behind the seam: their area over the seam's length across the push
    std::optional<double> moisture_percent;  ///< of the piece whose reading is farthest from what it should be
};

/// Clamps along an open seam.
struct Pressing {
    double wanted_mpa = 0.0;     ///< by the handbook, for woods of that density: seldom reached in a small shop
    double needed_mpa = 0.0;     ///< brings what 95 in 100 seams leave open within the limit, by the model; 0: it is
    double given_mpa = 0.0;      ///< mean, of the row
    std::size_t fewest = 2;      ///< clamps: for the needed pressure, no farther apart than caul and practice allow
    std::size_t for_wanted = 2;  ///< that reach the handbook's pressure
    process::Caul caul;
    process::Behind behind;
    process::ClampRow row;
    process::SeamPressure pressure;
    std::string clamps;     ///< their name on the shelf; empty: none that open wide enough, a force is assumed
    double force_n = 0.0;   ///< that one of them gives
    std::size_t there = 0;  ///< that the shelf has
    double opens_mm = 0.0;  ///< how wide they have to open
    /// Pieces of a wood whose stiffness is not in the tables: a middling hardwood is taken for it.
    std::vector<std::string> stiffness_assumed;
    /// What such clamps still close of the gap that 95 in 100 seams do not exceed.
    std::optional<process::ElasticClosing> elastic;
};

struct ClosingStudy {
    std::vector<seam::SeamPlace> places;
    std::vector<double> planned_gap_mm;  ///< as cut, before pushing, every size as planned
    std::vector<double> pushed_gap_mm;   ///< once pushed together
    seam::SmallClosing planned;
    seam::Assembly assembly;               ///< open seams
    std::optional<seam::Freeing> freeing;  ///< of an open seam that hooks
    double push_rad = 0.0;                 ///< the way the right piece travels; of an open seam
    seam::Tolerance tolerance;
    std::vector<seam::ToleranceAdvice> advice;
    std::array<SideStudy, 2> sides;  ///< left, right
    std::optional<Pressing> pressing;
    std::optional<process::GluePlan> glue;
};

struct StudyWish {
    std::size_t samples = 200;
    std::uint64_t seed = 1;
    bool advice = true;  ///< costs as much again for each thing that could be done otherwise
};

/// Whether the seam comes out as two edges that can be closed.
bool has_two_edges(const SeamPlan& seam);

/// nullopt for a seam without two edges. `job` and `shelf` are those of the plan.
/// Deterministic. Throws std::out_of_range for a seam that is not there.
std::optional<ClosingStudy> study_closing(const Plan& plan, std::size_t seam_index, const job::Job& job,
                                          const shelf::Shelf& shelf, const StudyWish& wish = {});

/// One glue-up: seams that are pushed together at once.
struct GlueUp {
    std::vector<std::size_t> seams;
    std::optional<double> push_rad;  ///< absent for what is set in from above
    std::string why;                 ///< one sentence
};
/// In which order the seams are glued: open seams first, those together whose pushes agree and which one glue-up has
/// time for; then inlays; edgings last, from the inside out. `studies` in the order of the seams.
std::vector<GlueUp> glue_ups(const Plan& plan, const std::vector<std::optional<ClosingStudy>>& studies,
                             const job::Job& job);

namespace words {

/// A part of what is told about a seam: a heading, sentences, and the cautions that belong to it.
struct Told {
    std::string title;
    std::vector<std::string> lines;
    std::vector<std::string> cautions;
};

/// "0.42 MPa", "61 psi".
std::string pressure_text(double mpa, units::Unit unit);
/// "toward the front, 7° over to the left": a direction on the top.
std::string direction_text(double rad);
/// "It closes …": one sentence, the answer.
std::string closing_verdict(const ClosingStudy& study, const SeamPlan& seam, const Plan& plan);
/// "the size of the 10 mm cutter, measured", as a source of error; `several`: of all the steps at which it comes up.
std::string source_text(const seam::ToleranceSource& source, const SeamPlan& seam, bool several = false);
/// Everything about the closing of one seam, in the maker's words and units.
std::vector<Told> closing_text(const ClosingStudy& study, const SeamPlan& seam, const Plan& plan, const job::Job& job);
/// The order of the glue-ups; empty for none.
Told glue_ups_text(const std::vector<GlueUp>& order, const Plan& plan);

}  // namespace words
}  // namespace seamwright::plan
