#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "job/job.h"
#include "shelf/shelf.h"

namespace seamwright::plan {

// What the shop has learnt from work that was done (shelf/records.h): medians, which one slip of the pen or one bad day
// does not move (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.1 "Measures of Location", from memory).

/// The middle one; of an even number the mean of the two in the middle. Throws std::invalid_argument for none.
double median(std::vector<double> values);

/// "rout" of "rout-2": the id of a step without its number.
std::string kind_of_step(std::string_view id);

/// How many times what was told it took.
struct Rate {
    double ratio = 1.0;            ///< median, > 0
    double low = 1.0, high = 1.0;  ///< the least and the most there was
    std::size_t count = 0;         ///< steps, or coats
    std::size_t jobs = 0;          ///< of so many jobs
};
struct NamedRate {
    std::string name;
    Rate rate;
};

/// Gaps found at the dry fit, less what was told, of seams cut with one guide and cutter.
struct GapBias {
    std::string guide, cutter;
    double more_mm = 0.0;  ///< median; + wider than told
    std::size_t count = 0, jobs = 0;
    bool same_way = false;  ///< enough of them, all wider or all tighter, and more than a feeler gauge is off
};

/// The outside of a guide, as the offsets found with it tell.
struct GuideFound {
    std::string guide;
    std::size_t index = 0;  ///< on the shelf
    double outside_mm = 0.0, within_mm = 0.0;
    std::size_t count = 0, jobs = 0;
    bool agree = false;    ///< enough of them, and they go together
    bool offered = false;  ///< they agree, and tell more than the shelf knows
};

struct WorkRates {
    std::optional<Rate> overall;      ///< of all steps with hours
    std::vector<NamedRate> kinds;     ///< by the kind of step, those noted often enough; by name
    std::vector<NamedRate> finishes;  ///< by the finish system, all that were measured; by name
    std::vector<GapBias> gaps;        ///< by guide, then cutter
    std::vector<GuideFound> guides;   ///< in the order of the shelf

    /// By which the minutes of common practice are multiplied: the rate of its kind, else the middle of all; where
    /// these are fewer than enough, the usual stands in for those missing.
    double pace_of(std::string_view step_id) const;
    /// By which the litres told are multiplied; 1 with too few coats.
    double spread_of(std::string_view system) const;
};

/// Fewer than these are not told apart from chance (our choice).
inline constexpr std::size_t enough_records = 3;
/// How far an offset measured on the wood, and a gap felt with a gauge, may be off; 95 in 100 (common practice, from
/// memory).
inline constexpr double offset_read_mm = 0.05, gap_read_mm = 0.02;

/// From `shelf.work_done`. What this very job has noted already is left out: its own hours set its own pace. Hours and
/// litres of one step on several days are one. Guides and cutters are looked up by their names on the shelf.
WorkRates rates_of(const shelf::Shelf& shelf, const job::Job& job);

/// How well a diameter is known, 95 in 100.
double size_within_mm(const shelf::Diameter& size, const job::Accuracy& accuracy);

}  // namespace seamwright::plan
