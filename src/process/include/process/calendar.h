#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "process/civil_time.h"

namespace seamwright::process {

// When each step of a job is done, with the people, the clamps and the hours a shop has; and so when it can be
// delivered. Durations are whole minutes. Work stands still while the shop is closed; waits (glue, drying, cure,
// acclimatising) run by the clock, day and night. A step once begun goes on until it is done: nothing else comes
// between but closing time. The products' own sheets govern how long to wait.

struct ClampCount {
    std::string kind;  ///< clamps of one kind may stand in for each other
    int count = 0;
};

/// From what moment of another task a wait is counted.
enum class After {
    hands_on,    ///< the last hand is off it
    clamps_off,  ///< its clamps are off
    ready        ///< it has dried, cured, come to full strength
};

/// What has to come before a task.
struct Need {
    std::string task;  ///< id of the task before
    After after = After::ready;
    int wait_min = 0;  ///< from that moment on, >= 0
    /// Starts at most this long after the hands-on end of the task before: recoat window, open time. Not shorter than
    /// the wait.
    std::optional<int> within_min;
    /// Hands-on minutes more where it starts later than that (sanding before the coat); none: it must not be late.
    /// Only where somebody works on it at all; of several the longest counts.
    std::optional<int> extra_if_late_min;
};

struct Task {
    std::string id;        ///< the only one of its kind, not empty
    std::string name;      ///< in the maker's words
    int hands_on_min = 0;  ///< 0 … 100,000; 0: a moment that needs nobody and may fall in the night
    bool one_go = false;   ///< no break and no night in it: a glue-up, a coat of finish
    int people = 1;        ///< 1 or 2
    std::vector<ClampCount> clamps;
    int clamp_wait_min = 0;  ///< clamps stay on this long after the hands-on end
    int ready_wait_min = 0;  ///< from the hands-on end; it is never ready before the clamps are off
    std::string wait_name;   ///< "Glue comes to full strength"; empty: the name of the task
    std::vector<Need> needs;
    std::optional<Moment> not_before;  ///< boards come that day
};

struct Shop {
    ShopHours hours = usual_hours();
    std::vector<DaysOff> days_off;
    int people = 1;                  ///< 1 or 2
    std::vector<ClampCount> clamps;  ///< counts of a kind that comes twice add up
};

struct CalendarSettings {
    /// How much is tried before the best answer so far is given: tasks placed and times moved, so that the answer does
    /// not depend on the machine. 10⁵ takes some 15 ms.
    std::uint64_t effort = 30'000;
};

/// Why there is no schedule.
struct Refusal {
    enum class Why {
        no_hours,
        no_tasks,
        bad_task,  ///< an id twice, a number out of its range
        unknown_task,
        cycle,
        people,
        clamps,
        one_go,         ///< longer than the shop is ever open in one stretch
        window,         ///< "at most so long after" that can never be kept
        no_way_found,   ///< not proven that there is none
        beyond_horizon  ///< not done within `horizon_days`
    };
    Why why = Why::bad_task;
    std::vector<std::size_t> tasks;  ///< those meant; a cycle in its order
    std::string says, remedy;
};

inline constexpr int horizon_days = 1100;
inline constexpr std::size_t most_tasks = 200;

struct Planned {
    Moment start, end;                    ///< hands-on; equal for a moment that needs nobody
    std::vector<Stretch> work;            ///< without breaks and nights
    Moment clamps_off, ready;             ///< may fall in the night
    std::vector<int> people;              ///< who: 0, 1
    int hands_on_min = 0;                 ///< with what being late adds
    std::vector<std::size_t> late_after;  ///< tasks whose window was missed
    Moment latest_start;  ///< with the end of the whole job kept, and what follows moved along in its order
    int slack_min = 0;    ///< open minutes from start to latest start
    bool on_chain = false;
};

/// One link of the chain that decides the end, without gaps from the first moment to the finish.
struct ChainStep {
    enum class Kind {
        work,
        clamped,     ///< its clamps are on
        wait,        ///< it dries, cures, comes to strength
        closed,      ///< the shop is closed before or within the task
        too_short,   ///< open, but not long enough for a task in one go
        held_back,   ///< could start, but what follows would then come too late after it
        not_before,  ///< waits for the day it may start
    };
    Kind kind = Kind::work;
    std::size_t task = 0;
    Stretch when;
    friend bool operator==(const ChainStep&, const ChainStep&) = default;
};

/// Somebody is at work, and something else is in work or waits at the same time.
struct SideBySide {
    Stretch when;
    std::vector<std::size_t> at_work, waiting;
};

struct Schedule {
    std::vector<Planned> tasks;  ///< as the tasks given
    Moment finish;               ///< all is ready
    Moment delivery;             ///< finish, or when the shop opens next
    /// With people and clamps without end.
    Moment path_bound;
    /// Counted from how much work has to fit between, too.
    Moment load_bound;
    /// Proven: no schedule is done before. The finish itself where it is proven the earliest.
    Moment no_earlier_than;
    bool proven = false;
    std::vector<ChainStep> chain;  ///< in order of time
    std::vector<SideBySide> together;
    std::uint64_t effort = 0;  ///< used
};

struct Calendar {
    std::vector<Refusal> refusals;  ///< all that were found
    std::optional<Schedule> schedule;
};

/// The earliest finish found, proven the earliest where `proven`. The same input gives the same schedule.
///
/// Laws: C1 no person and no clamp is used twice at once. C2 nothing starts before what it needs. C3 work lies in open
/// hours, what is done in one go in one stretch. C4 no window is missed but by tasks that then take their extra time.
/// C5 finish >= no_earlier_than >= load_bound >= path_bound. C6 the chain has no gaps.
///
/// Method: relations resolved by the orders in which tasks may use what they share (De Reyck and Herroelen 1998,
/// European Journal of Operational Research 111), serial placing by latest start (Kolisch 1996), both from memory.
Calendar plan_calendar(const Shop& shop, const std::vector<Task>& tasks, Moment today,
                       const CalendarSettings& settings = {});

}  // namespace seamwright::process
