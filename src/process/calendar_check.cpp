#include "calendar_check.h"

#include <fmt/format.h>

#include <algorithm>

namespace seamwright::process::calendar {
namespace {

using Why = Refusal::Why;

constexpr int most_minutes = 100'000;  // 69 days: no step takes or waits longer
constexpr int most_clamps = 10'000;

bool counts(int minutes) {
    return minutes >= 0 && minutes <= most_minutes;
}

std::string wrong_number(const Task& task) {
    const auto out = [](const char* what, int value) {
        return fmt::format("{} is {} minutes; it lies between 0 and {}.", what, value, most_minutes);
    };
    if (!counts(task.hands_on_min)) return out("Its hands-on time", task.hands_on_min);
    if (!counts(task.clamp_wait_min)) return out("The time in clamps", task.clamp_wait_min);
    if (!counts(task.ready_wait_min)) return out("The time until it is ready", task.ready_wait_min);
    if (task.people < 1 || task.people > 2)
        return fmt::format("It is for {} people; 1 or 2 can be planned.", task.people);
    for (const ClampCount& clamps : task.clamps)
        if (clamps.count < 1 || clamps.count > most_clamps)
            return fmt::format("It needs {} clamps of the kind '{}'; at least 1.", clamps.count, clamps.kind);
    for (const Need& need : task.needs) {
        if (!counts(need.wait_min)) return out("A wait before it", need.wait_min);
        if (need.within_min && !counts(*need.within_min)) return out("The longest wait before it", *need.within_min);
        if (need.extra_if_late_min && !counts(*need.extra_if_late_min))
            return out("The time it takes more when late", *need.extra_if_late_min);
        if (need.extra_if_late_min && !need.within_min) return "It takes more time when late, but is never late.";
        if (need.extra_if_late_min.value_or(0) > 0 && task.hands_on_min == 0)
            return "It takes more time when late, but nobody works on it.";
    }
    return "";
}

class Checker {
  public:
    Checker(const Shop& shop, const std::vector<Task>& tasks) : shop_(shop), tasks_(tasks) {}

    std::vector<Refusal> run() {
        if (tasks_.empty()) refuse(Why::no_tasks, {}, "There is nothing to do.", "Plan the job's steps first.");
        if (tasks_.size() > most_tasks)
            refuse(Why::no_tasks, {}, fmt::format("{} steps are more than can be planned.", tasks_.size()),
                   fmt::format("Join some: at most {}.", most_tasks));
        if (const std::string why = why_no_hours(shop_.hours); !why.empty())
            refuse(Why::no_hours, {}, why, "Write the shop's hours for at least one day of the week.");
        if (const std::string why = why_no_days_off(shop_.days_off); !why.empty())
            refuse(Why::no_hours, {}, why, "Write each day off as a day of the calendar, the first before the last.");
        if (shop_.people < 1 || shop_.people > 2)
            refuse(Why::people, {}, fmt::format("The shop has {} people.", shop_.people), "1 or 2 can be planned.");
        if (!refusals_.empty()) return refusals_;
        for (std::size_t i = 0; i < tasks_.size(); ++i) numbers(i);
        if (!refusals_.empty()) return refusals_;
        for (std::size_t i = 0; i < tasks_.size(); ++i) {
            needs(i);
            sharing(i);
        }
        if (refusals_.empty()) cycle();
        return refusals_;
    }

  private:
    void refuse(Why why, std::vector<std::size_t> tasks, std::string says, std::string remedy) {
        refusals_.push_back({why, std::move(tasks), std::move(says), std::move(remedy)});
    }

    void numbers(std::size_t i) {
        const Task& task = tasks_[i];
        if (task.id.empty())
            refuse(Why::bad_task, {i}, fmt::format("Step {} has no id.", i + 1), "Give it one.");
        else if (const auto [it, is_new] = ids_.emplace(task.id, i); !is_new)
            refuse(Why::bad_task, {it->second, i}, fmt::format("Two steps have the id '{}'.", task.id),
                   "Give each its own.");
        if (const std::string wrong = wrong_number(task); !wrong.empty())
            refuse(Why::bad_task, {i}, fmt::format("{}: {}", called(task), wrong), "Correct the number.");
    }

    void needs(std::size_t i) {
        const Task& task = tasks_[i];
        for (const Need& need : task.needs) {
            const auto before = ids_.find(need.task);
            if (before == ids_.end()) {
                refuse(Why::unknown_task, {i},
                       fmt::format("{} needs '{}', and there is no such step.", called(task), need.task),
                       "Name a step of this job.");
                continue;
            }
            const Task& earlier = tasks_[before->second];
            const int lag = lag_min(earlier, need);
            if (need.within_min && *need.within_min < lag)
                refuse(Why::window, {before->second, i},
                       fmt::format("{} must start within {} after {}, but has to wait {}.", called(task),
                                   show_minutes(*need.within_min), called(earlier), show_minutes(lag)),
                       "Allow it more time, or let it wait less.");
        }
    }

    void sharing(std::size_t i) {
        const Task& task = tasks_[i];
        if (task.people > shop_.people && task.hands_on_min > 0)
            refuse(Why::people, {i}, fmt::format("{} needs two people, and there is one.", called(task)),
                   "Ask somebody in for it, or find a way for one: shorter sections, a slower glue, supports.");
        const auto there_are = clamps_there_are(shop_);
        std::map<std::string, int> wanted;
        for (const ClampCount& clamps : task.clamps) wanted[clamps.kind] += clamps.count;
        for (const auto& [kind, count] : wanted) {
            const auto it = there_are.find(kind);
            const int have = it == there_are.end() ? 0 : it->second;
            if (count > have)
                refuse(Why::clamps, {i},
                       fmt::format("{} needs {} clamps of the kind '{}', and there are {}.", called(task), count, kind,
                                   have),
                       "Get more of them, or glue in more than one go.");
        }
        int longest = 0, run = 0;
        // A stretch may run on over midnight; twice round the week sees every one of them.
        int last_end = -1;
        for (std::size_t day = 0; day < 14; ++day)
            for (const DaySpan& span : shop_.hours.days[day % 7]) {
                const int from = static_cast<int>(day) * 1440 + span.from_min;
                run = from == last_end ? run + span.until_min - span.from_min : span.until_min - span.from_min;
                last_end = static_cast<int>(day) * 1440 + span.until_min;
                longest = std::max(longest, run);
            }
        // Open round the clock, only days off end a stretch.
        const bool round_the_clock = longest >= 14 * 1440;
        if (task.one_go && task.hands_on_min > longest && !round_the_clock)
            refuse(Why::one_go, {i},
                   fmt::format("{} takes {} in one go, and the shop is never open longer than {} at a stretch.",
                               called(task), show_minutes(task.hands_on_min), show_minutes(longest)),
                   fmt::format("Do it in smaller parts, work on it with two, or keep the shop open for {} on one "
                               "day.",
                               show_minutes(task.hands_on_min)));
    }

    void cycle() {
        // Depth first; a step met again while still being followed closes a ring.
        enum class Seen : char { no, on_the_way, done };
        std::vector<Seen> seen(tasks_.size(), Seen::no);
        std::vector<std::size_t> way, next;
        for (std::size_t root = 0; root < tasks_.size(); ++root) {
            if (seen[root] != Seen::no) continue;
            way.assign(1, root);
            next.assign(1, 0);
            seen[root] = Seen::on_the_way;
            while (!way.empty()) {
                const Task& task = tasks_[way.back()];
                if (next.back() == task.needs.size()) {
                    seen[way.back()] = Seen::done;
                    way.pop_back();
                    next.pop_back();
                    continue;
                }
                const std::size_t before = ids_.at(task.needs[next.back()++].task);
                if (seen[before] == Seen::on_the_way) return tell_cycle(way, before);
                if (seen[before] == Seen::done) continue;
                seen[before] = Seen::on_the_way;
                way.push_back(before);
                next.push_back(0);
            }
        }
    }

    void tell_cycle(const std::vector<std::size_t>& way, std::size_t from) {
        std::vector<std::size_t> ring(std::find(way.begin(), way.end(), from), way.end());
        std::string names;
        for (const std::size_t i : ring) names += called(tasks_[i]) + " needs ";
        names += called(tasks_[from]);
        refuse(Why::cycle, ring, fmt::format("None of these can begin: {}.", names), "Take one of these needs away.");
    }

    const Shop& shop_;
    const std::vector<Task>& tasks_;
    std::map<std::string, std::size_t> ids_;
    std::vector<Refusal> refusals_;
};

}  // namespace

std::string called(const Task& task) {
    return task.name.empty() ? task.id : task.name;
}

std::map<std::string, int> clamps_there_are(const Shop& shop) {
    std::map<std::string, int> there_are;
    for (const ClampCount& clamps : shop.clamps) there_are[clamps.kind] += std::clamp(clamps.count, 0, most_clamps);
    return there_are;
}

int lag_min(const Task& before, const Need& need) {
    const int clamps_off = before.clamp_wait_min;
    switch (need.after) {
        case After::hands_on:
            return need.wait_min;
        case After::clamps_off:
            return clamps_off + need.wait_min;
        case After::ready:
            return std::max(clamps_off, before.ready_wait_min) + need.wait_min;
    }
    return need.wait_min;
}

std::vector<Refusal> check(const Shop& shop, const std::vector<Task>& tasks) {
    return Checker(shop, tasks).run();
}

}  // namespace seamwright::process::calendar
