// From tasks as a maker has them to numbers, and back. In between: the bound first, since a way that meets it needs no
// more search; then, where there are few tasks, every order; where there are many, the better of many orders and what
// is left of the effort for a proof.

#include "process/calendar.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "calendar_chain.h"
#include "calendar_check.h"
#include "calendar_search.h"

namespace seamwright::process {
namespace calendar {
namespace {

// Up to here every order is tried before better orders are looked for.
constexpr std::size_t few = 14;
// Part of the effort spent on orders near the best, where there are more.
constexpr std::uint64_t part_for_orders = 2;

Model model_of(const Shop& shop, const std::vector<Task>& tasks, std::chrono::local_days first_day, Moment today) {
    Model model{OpenHours(shop.hours, shop.days_off, first_day, horizon_days), {}, {shop.people}, {}, {}};
    std::map<std::string, int> kinds;
    for (const auto& [kind, count] : clamps_there_are(shop)) {
        kinds[kind] = static_cast<int>(model.there_is.size());
        model.there_is.push_back(count);
    }
    std::map<std::string, int> ids;
    for (std::size_t i = 0; i < tasks.size(); ++i) ids[tasks[i].id] = static_cast<int>(i);
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        const Task& task = tasks[i];
        const Moment from = std::max(today, task.not_before.value_or(today));
        const auto earliest = std::min<std::chrono::minutes::rep>((from - Moment(first_day)).count(), OpenHours::never);
        Work work{task.hands_on_min,          task.one_go,
                  task.clamp_wait_min,        std::max(task.clamp_wait_min, task.ready_wait_min),
                  static_cast<int>(earliest), {}};
        if (task.hands_on_min > 0) work.uses.push_back({0, task.people, 0});
        std::map<int, int> wanted;
        for (const ClampCount& clamps : task.clamps) wanted[kinds.at(clamps.kind)] += clamps.count;
        for (const auto& [of, count] : wanted) work.uses.push_back({of, count, task.clamp_wait_min});
        model.works.push_back(std::move(work));
        for (const Need& need : task.needs) {
            const int before = ids.at(need.task), to = static_cast<int>(i);
            model.arcs.push_back({before, to, lag_min(tasks[static_cast<std::size_t>(before)], need)});
            if (!need.within_min) continue;
            int extra = need.extra_if_late_min.value_or(-1);
            // What would be too long for the shop's hours when late must not be late.
            if (task.one_go && task.hands_on_min + extra > model.hours.longest()) extra = -1;
            model.windows.push_back({before, to, *need.within_min, extra});
        }
    }
    return model;
}

/// The windows that must be kept: tasks meant, and in words.
struct Kept {
    std::vector<std::size_t> tasks;
    std::string names;
};

Kept kept_windows(const Model& model, const std::vector<Task>& tasks) {
    Kept kept;
    for (const Window& window : model.windows) {
        if (window.extra >= 0) continue;
        kept.tasks.insert(kept.tasks.end(), {at(window.from), at(window.to)});
        kept.names += (kept.names.empty() ? "" : "; ") + called(tasks[at(window.to)]) + " after " +
                      called(tasks[at(window.from)]);
    }
    return kept;
}

/// Nothing shared: the earliest of all, or why there is none.
std::optional<Refusal> path(const Model& model, const std::vector<Task>& tasks, int& finish) {
    Net net(model);
    std::vector<int> start = net.first_starts();
    if (net.raise(start, net.open_ends())) {
        finish = net.finish(start);
        return std::nullopt;
    }
    Model without = model;
    without.windows.clear();
    Net longer(without);
    start = longer.first_starts();
    if (!longer.raise(start, longer.open_ends()))
        return Refusal{Refusal::Why::beyond_horizon,
                       {},
                       fmt::format("The job is not done within {} days.", horizon_days),
                       "Check the dates, the shop's hours and the longest waits."};
    for (const Window& window : model.windows) {
        if (window.extra >= 0) continue;
        without.windows.assign(1, window);
        Net one(without);
        start = one.first_starts();
        if (!one.raise(start, one.open_ends()))
            return Refusal{
                Refusal::Why::window,
                {at(window.from), at(window.to)},
                fmt::format("{} can never start within {} after {} in the shop's hours.", called(tasks[at(window.to)]),
                            show_minutes(window.within), called(tasks[at(window.from)])),
                "Keep the shop open longer, allow it more time, or say what it takes more when it is late."};
    }
    const Kept kept = kept_windows(model, tasks);
    return Refusal{Refusal::Why::window, kept.tasks,
                   fmt::format("These cannot all start in time after one another in the shop's hours: {}.", kept.names),
                   "Keep the shop open longer, allow one more time, or say what it takes more when it is late."};
}

Refusal no_way(const Model& model, const std::vector<Task>& tasks, bool all_tried) {
    const Kept kept = kept_windows(model, tasks);
    if (kept.tasks.empty())
        return {Refusal::Why::beyond_horizon,
                {},
                fmt::format("The job is not done within {} days.", horizon_days),
                "Check the dates, the shop's hours and the longest waits."};
    return {all_tried ? Refusal::Why::window : Refusal::Why::no_way_found, kept.tasks,
            all_tried
                ? fmt::format("With the people and clamps there are these cannot all start in time: {}.", kept.names)
                : fmt::format("No way was found for these all to start in time: {}.", kept.names),
            "Allow one more time, say what it takes more when it is late, or ask somebody in."};
}

}  // namespace
}  // namespace calendar

Calendar plan_calendar(const Shop& shop, const std::vector<Task>& tasks, Moment today,
                       const CalendarSettings& settings) {
    using namespace calendar;
    Calendar answer;
    answer.refusals = check(shop, tasks);
    if (!answer.refusals.empty()) return answer;
    const auto first_day = std::chrono::floor<std::chrono::days>(today);
    const Model model = model_of(shop, tasks, first_day, today);
    int path_bound = 0;
    if (auto refusal = path(model, tasks, path_bound)) {
        answer.refusals.push_back(std::move(*refusal));
        return answer;
    }

    std::uint64_t effort = 0;
    const bool are_few = tasks.size() <= few;
    const std::uint64_t most = std::max<std::uint64_t>(settings.effort, 1);
    Found best = place_in_order(model, path_bound, 0, effort);
    int low = path_bound;
    if (best.any()) low = load_bound(model, path_bound, best.finish, effort);
    if (!are_few && best.finish > low) {
        Found better = place_in_order(model, low, effort + most / part_for_orders, effort);
        if (better.finish < best.finish) best = std::move(better);
    }
    bool proven = best.any() && best.finish == low;
    const bool all_tried = proven || try_every_order(model, best, low, std::max(most, effort + 1), effort);
    proven = proven || (all_tried && best.any());
    if (!proven && are_few) {
        Found better = place_in_order(model, low, effort + most / part_for_orders, effort);
        if (better.finish < best.finish) best = std::move(better);
        proven = best.any() && best.finish == low;
    }
    if (!best.any()) {
        answer.refusals.push_back(no_way(model, tasks, all_tried));
        return answer;
    }

    Schedule schedule;
    const int from = static_cast<int>((today - Moment(first_day)).count());
    lay_out(model, best, from, first_day, schedule);
    const auto moment = [&](int t) { return Moment(first_day) + std::chrono::minutes(t); };
    const int finish = static_cast<int>((schedule.finish - Moment(first_day)).count());
    const bool somebody_there = finish > 0 && model.hours.is_open(finish - 1);
    const int opens = model.hours.next_open(finish);
    schedule.delivery = somebody_there || opens == OpenHours::never ? schedule.finish : moment(opens);
    schedule.path_bound = moment(path_bound);
    schedule.load_bound = moment(low);
    schedule.proven = proven || finish == low;
    schedule.no_earlier_than = schedule.proven ? schedule.finish : schedule.load_bound;
    schedule.effort = effort;
    answer.schedule = std::move(schedule);
    return answer;
}

}  // namespace seamwright::process
