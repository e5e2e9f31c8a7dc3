#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "plan/closing_study.h"
#include "plan/shop_study.h"

namespace seamwright::plan {

// What was noted and measured while a job was made, held against what the plan had said.

/// The hours of one step, of all the days it took.
struct HoursFound {
    double hours = 0.0;
    double usual_h = 0.0;   ///< by common practice
    double learnt_h = 0.0;  ///< by what the shop has learnt from other jobs; as usual without any
    double ratio() const { return hours / usual_h; }
};

/// The widest gap, by feeler gauge.
struct GapFound {
    double found_mm = 0.0;
    double told_mm = 0.0;  ///< half of all such seams come out better
    double most_mm = 0.0;  ///< 95 in 100 do
    double limit_mm = 0.0;
    std::string rider, cutter;  ///< that cut the edges, by their names on the shelf; empty for edges made otherwise
    bool clamped = false;       ///< told for the clamped seam, by how the wood gives
    bool inside = true;         ///< of what 95 in 100 keep to, and what a gauge may be off
};

/// From the template's edge to the near edge of the cut.
///
/// The reading, the seat and the middle of the guide, and both diameters may each be off (all 95 in 100 or ±, taken as
/// independent). What an offset that is off by d tells of one of them is its share of the sum of their squares times d;
/// what is left unknown of it is its own part of that sum (linear least squares with prior knowledge).
struct OffsetFound {
    std::string rider, cutter;  ///< by their names on the shelf
    bool on_bearing = false;
    double found_mm = 0.0, told_mm = 0.0;
    double explained_mm = 0.0;  ///< so far it may be off by all that is known
    bool inside = true;
    double rider_more_mm = 0.0, rider_within_mm = 0.0;    ///< its outside, than the shelf says
    double cutter_more_mm = 0.0, cutter_within_mm = 0.0;  ///< its diameter
    bool test_cut = false;                                ///< worth while
    bool several = false;  ///< the step has cuts with other tools too; these are those of the first
};

struct LitresFound {
    double litres = 0.0, area_m2 = 0.0;
    process::Range told;
    bool inside = true;
};

/// Of one entry; hours stand with the first entry of their step.
struct EntryFound {
    std::optional<HoursFound> hours;
    std::optional<GapFound> gap;
    std::optional<OffsetFound> offset;
    std::optional<LitresFound> litres;
    /// A measurement that this step has nothing to compare with.
    bool nothing_told = false;
};

/// A step with the entries about it: places in job.made, in their order.
struct StepMade {
    std::vector<std::size_t> entries;
    double hours = 0.0;
    bool takes_gap = false, takes_offset = false, takes_litres = false;
};

struct MadeStudy {
    std::vector<StepMade> steps;         ///< in the order of the shop plan
    std::vector<EntryFound> entries;     ///< of job.made, in its order
    std::vector<std::size_t> strangers;  ///< entries about steps that the plan does not have
    std::size_t done = 0;                ///< steps with an entry
    double hours_noted = 0.0;
    double hours_to_go = 0.0;  ///< of steps without one, at this maker's pace
};

/// `shop` and `closing` are of this job. Pure.
MadeStudy study_made(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const ShopStudy& shop,
                     const std::vector<std::optional<ClosingStudy>>& closing);

/// What was noted of known steps, with what had been told of it before anything was learnt, for shelf.work_done; the
/// entries of one step on one day as one (hours and litres added up, the last gap and offset).
std::vector<shelf::WorkDone> work_done_of(const MadeStudy& study, const job::Job& job, const ShopStudy& shop);

/// The same step of the same job on the same day.
bool same_work(const shelf::WorkDone& a, const shelf::WorkDone& b);
/// The same work with the same numbers, as near as a document writes them.
bool same_record(const shelf::WorkDone& a, const shelf::WorkDone& b);
/// The outside of a guide as found again and again, as the shelf may take it over.
shelf::Diameter outside_found(const shelf::Guide& guide, const GuideFound& found);

namespace words {
/// "routing edges", of all the steps of a kind; the kind itself where it is not known.
std::string step_kind_text(const std::string& kind);
/// "routing edges of front seam": a step by its id, without its plan.
std::string step_text(const std::string& id, const job::Job& job);
/// "1.5 h"
std::string hours_text(double hours);
/// "7 of 23 steps done, 14.5 h noted, 19 h to go"
std::string made_progress_text(const MadeStudy& study);
/// What one entry tells, a sentence for each thing measured; nothing where there is nothing to tell.
Told entry_text(const EntryFound& found, const job::Job& job);
/// What all that was noted tells: step by step, those with something to tell.
std::vector<Told> made_text(const MadeStudy& study, const job::Job& job, const ShopStudy& shop);
/// "Take 30.06 mm over as the measured outside of 30 mm guide", for one that is offered.
std::string guide_offer_text(const GuideFound& found, const job::Job& job);
}  // namespace words

}  // namespace seamwright::plan
