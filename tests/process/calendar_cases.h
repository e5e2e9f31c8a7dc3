#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <string>
#include <vector>

#include "process/calendar.h"

namespace seamwright::process::testing {

inline Moment at(int y, unsigned m, unsigned d, int hour = 0, int minute = 0) {
    return std::chrono::local_days(
               std::chrono::year_month_day{std::chrono::year{y}, std::chrono::month{m}, std::chrono::day{d}}) +
           std::chrono::hours(hour) + std::chrono::minutes(minute);
}

inline Task task(std::string id, int hands_on_min, std::vector<Need> needs = {}) {
    Task t;
    t.id = id;
    t.name = std::move(id);
    t.hands_on_min = hands_on_min;
    t.needs = std::move(needs);
    return t;
}

/// Laws C1–C4 and C6 read off the schedule alone, with the rules as calendar.h states them and nothing of how they are
/// kept. Empty: all hold.
inline std::string broken_law(const Shop& shop, const std::vector<Task>& tasks, Moment today, const Schedule& s) {
    using std::chrono::minutes;
    if (s.tasks.size() != tasks.size()) return "a task is missing";
    std::map<std::string, std::size_t> ids;
    for (std::size_t i = 0; i < tasks.size(); ++i) ids[tasks[i].id] = i;
    const auto open = [&](Moment t) {
        const auto day = std::chrono::floor<std::chrono::days>(t);
        for (const DaysOff& off : shop.days_off)
            if (std::chrono::local_days(off.first) <= day && day <= std::chrono::local_days(off.last)) return false;
        const int minute = static_cast<int>((t - Moment(day)).count());
        for (const DaySpan& span : shop.hours.days[std::chrono::weekday(day).c_encoding()])
            if (span.from_min <= minute && minute < span.until_min) return true;
        return false;
    };
    std::map<Moment, std::map<int, int>> people_at;
    std::map<std::string, std::map<Moment, int>> clamps_at;
    Moment last = today;
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        const Task& t = tasks[i];
        const Planned& p = s.tasks[i];
        if (p.start < today || (t.not_before && p.start < *t.not_before)) return t.id + " starts too early";
        int extra = 0;
        std::vector<std::size_t> late;
        for (const Need& need : t.needs) {
            const Task& before = tasks[ids[need.task]];
            const Planned& b = s.tasks[ids[need.task]];
            const Moment off = b.end + minutes(before.clamp_wait_min);
            const Moment ready = std::max(off, b.end + minutes(before.ready_wait_min));
            const Moment since = need.after == After::hands_on ? b.end : need.after == After::ready ? ready : off;
            if (p.start < since + minutes(need.wait_min)) return t.id + " does not wait for " + need.task;
            if (need.within_min && p.start > b.end + minutes(*need.within_min)) {
                if (!need.extra_if_late_min) return t.id + " is late after " + need.task;
                extra = std::max(extra, *need.extra_if_late_min);
                late.push_back(ids[need.task]);
            }
        }
        if (late != p.late_after) return t.id + ": late is not told";
        if (p.hands_on_min != t.hands_on_min + extra) return t.id + ": wrong hands-on time";
        minutes worked{0};
        for (std::size_t k = 0; k < p.work.size(); ++k) {
            worked += p.work[k].until - p.work[k].from;
            if (k > 0 && p.work[k].from <= p.work[k - 1].until) return t.id + ": pieces of work touch";
        }
        if (worked.count() != p.hands_on_min) return t.id + ": work does not add up";
        // Minute by minute: every open minute between start and end is worked, and no other.
        for (Moment m = p.start; m < p.end; m += minutes(1)) {
            const bool in =
                std::any_of(p.work.begin(), p.work.end(), [&](const Stretch& w) { return w.from <= m && m < w.until; });
            if (in != open(m)) return t.id + (in ? ": works while closed" : ": rests while open");
            if (in)
                for (const int who : p.people) ++people_at[m][who];
        }
        if (t.one_go && p.work.size() > 1) return t.id + " is broken off";
        if (p.hands_on_min > 0 && (p.work.empty() || p.work.front().from != p.start || p.work.back().until != p.end))
            return t.id + ": start or end is wrong";
        if (p.hands_on_min > 0 && static_cast<int>(p.people.size()) != t.people) return t.id + ": wrong people";
        if (p.clamps_off != p.end + minutes(t.clamp_wait_min)) return t.id + ": clamps off is wrong";
        if (p.ready != p.end + minutes(std::max(t.clamp_wait_min, t.ready_wait_min))) return t.id + ": ready is wrong";
        for (const ClampCount& clamps : t.clamps) {
            clamps_at[clamps.kind][p.start] += clamps.count;
            clamps_at[clamps.kind][p.clamps_off] -= clamps.count;
        }
        last = std::max(last, p.ready);
        if (p.latest_start < p.start || p.slack_min < 0) return t.id + ": slack below nought";
    }
    for (const auto& [m, who] : people_at)
        for (const auto& [person, count] : who)
            if (count > 1 || person < 0 || person >= shop.people) return "a person is used twice at once";
    for (const auto& [kind, changes] : clamps_at) {
        int in_use = 0, there_are = 0;
        for (const ClampCount& clamps : shop.clamps)
            if (clamps.kind == kind) there_are += clamps.count;
        for (const auto& [m, change] : changes)
            if ((in_use += change) > there_are) return "clamps are used twice at once";
    }
    if (s.finish != last) return "the finish is not when the last is ready";
    if (s.delivery < s.finish) return "delivered before it is ready";
    if (!(s.path_bound <= s.load_bound && s.load_bound <= s.no_earlier_than && s.no_earlier_than <= s.finish))
        return "the bounds are out of order";
    Moment so_far = today;
    for (const ChainStep& step : s.chain) {
        if (step.when.from != so_far || step.when.until <= step.when.from) return "the chain has a gap";
        if (!s.tasks[step.task].on_chain) return "a task of the chain is not marked";
        so_far = step.when.until;
    }
    if (so_far != s.finish) return "the chain does not lead to the finish";
    return "";
}

}  // namespace seamwright::process::testing
