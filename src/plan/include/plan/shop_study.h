#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/boards_study.h"
#include "plan/build_up_study.h"
#include "plan/closing_study.h"
#include "plan/movement_study.h"
#include "plan/outline_study.h"
#include "plan/work_rates.h"
#include "process/calendar.h"
#include "process/costing.h"
#include "process/edge_profile.h"
#include "process/finish_plan.h"
#include "process/flattening.h"
#include "process/sanding.h"

namespace seamwright::plan {

// The work from the boards to the delivery: every step in order, how long it takes by hand and how long it then waits,
// and on which day of the calendar it falls.

/// The edges of the top as they are routed, and what there is to sand and to finish.
struct EdgesStudy {
    process::EdgeShape shape;
    process::EdgeFindings findings;
    std::optional<process::TrueAreas> areas;  ///< absent where the profiles meet
    double length_mm = 0.0;                   ///< of the outline
    double end_grain_mm = 0.0;                ///< of it, across the fibres
};

/// How the glued top is got flat and to its thickness.
struct FlatteningStudy {
    process::FlatteningPlan plan;
    double milled_mm = 0.0;  ///< thickness the boards are planed to, so that enough is left for it
    struct Thin {
        std::string name;
        double planes_to_mm = 0.0;
    };
    std::vector<Thin> thin;  ///< boards of the top that do not give so much
};

/// How the top is finished.
struct FinishStudy {
    const process::FinishSystem* system = nullptr;
    process::Way way = process::Way::brush;
    process::FinishAmounts amounts;  ///< by what the shop has learnt, where it has
    process::CoatSchedule coats;
    double spread = 1.0;  ///< litres are so many times those of the table (plan/work_rates.h)
};

/// One step of the work.
struct WorkStep {
    process::Task task;  ///< its id is what `made` in the job file names
    std::vector<std::string> lines, cautions;
    std::vector<std::string> write_down;  ///< what to measure, with room for it in the book
    double usual_min = 0.0;               ///< hands-on by common practice; the task's own may be learnt
    std::vector<std::size_t> seams = {};  ///< that it makes the templates of, routs, fits or glues
    /// Of a step that puts a coat on: litres from the can, as the amounts have them, and what they cover.
    std::optional<process::Range> litres = std::nullopt;
    double area_m2 = 0.0;
};

struct ShopStudy {
    EdgesStudy edges;
    FlatteningStudy flattening;
    process::SandingPlan sanding;
    std::optional<FinishStudy> finish;
    std::vector<std::string> finish_lacks;  ///< why there is none though the job asks for it
    std::vector<WorkStep> steps;            ///< in the order of the work
    process::Calendar calendar;             ///< without a first day: from a Monday that stands for any
    bool dated = false;
    process::Shop shop = {};  ///< hours, people and clamps the calendar counts on
    process::CostSheet costs;
    WorkRates rates;  ///< learnt from other work; they multiply the minutes by common practice
    /// How much longer than that this maker takes here, by what was noted in the job; 1 without notes.
    double pace = 1.0;
};

struct ShopInputs {
    const BoardsStudy* boards = nullptr;  ///< nullptr: not known
    const MovementStudy* movement = nullptr;
    std::vector<std::optional<ClosingStudy>> closing;  ///< seam by seam
    const OutlineStudy* outline = nullptr;             ///< nullptr: not known
    const BuildUpStudy* build_up = nullptr;            ///< nullptr: none, or not known
};

/// Not part of the plan: some tens of milliseconds. Deterministic: today is the job's first day of work, no clock is
/// read. `inputs` are of this plan.
ShopStudy study_shop(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const ShopInputs& inputs);

namespace words {
Told edges_text(const ShopStudy& study, const job::Job& job);
Told flattening_text(const ShopStudy& study, const job::Job& job);
Told sanding_text(const ShopStudy& study);
/// Empty without a finish.
std::vector<Told> finish_text(const ShopStudy& study, const job::Job& job);
/// What the shop has learnt from the work of other jobs, and where it is used; no lines without any.
Told rates_text(const WorkRates& rates, const job::Job& job);
/// Of the hours alone.
std::vector<std::string> pace_lines(const WorkRates& rates);
/// Every line of the cost sheet, and the sum.
Told cost_text(const ShopStudy& study, const job::Job& job);
/// When it can be delivered; each day; what decides the end. Or why there is no calendar.
std::vector<Told> calendar_text(const ShopStudy& study);
}  // namespace words

}  // namespace seamwright::plan
