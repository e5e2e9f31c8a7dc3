#include "plan/calendar_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <string_view>
#include <utility>

namespace seamwright::plan {
namespace {

using Bar = CalendarPicture::Bar;
using process::Moment;
using process::Stretch;

std::chrono::local_days day_of(Moment moment) {
    return std::chrono::floor<std::chrono::days>(moment);
}

bool on_chain(const process::Schedule& schedule, std::size_t task, Bar::Kind kind, const Stretch& when) {
    using Link = process::ChainStep::Kind;
    return std::any_of(schedule.chain.begin(), schedule.chain.end(), [&](const process::ChainStep& link) {
        if (link.task != task || link.when.until <= when.from || when.until <= link.when.from) return false;
        // A wait is counted from the last hand on, clamps or not.
        return kind == Bar::Kind::work      ? link.kind == Link::work
               : kind == Bar::Kind::clamped ? link.kind == Link::clamped || link.kind == Link::wait
                                            : link.kind == Link::wait;
    });
}

std::vector<Bar> bars_of(const process::Schedule& schedule, std::size_t task) {
    const process::Planned& planned = schedule.tasks[task];
    std::vector<Bar> bars;
    const auto add = [&](Bar::Kind kind, Stretch when) {
        if (when.from < when.until) bars.push_back({kind, when, on_chain(schedule, task, kind, when)});
    };
    for (const Stretch& work : planned.work) add(Bar::Kind::work, work);
    add(Bar::Kind::clamped, {planned.end, planned.clamps_off});
    add(Bar::Kind::wait, {std::max(planned.end, planned.clamps_off), planned.ready});
    return bars;
}

std::vector<CalendarPicture::Shade> shaded(const process::Shop& shop, std::chrono::local_days first,
                                           std::chrono::local_days last) {
    const auto days = static_cast<int>((last - first).count());
    const process::OpenHours open(shop.hours, shop.days_off, first, days);
    constexpr int day_min = 24 * 60;
    std::vector<CalendarPicture::Shade> out;
    const auto close = [&](int from, int until, bool whole) {
        if (from < until)
            out.push_back(
                {whole, {Moment(first) + std::chrono::minutes(from), Moment(first) + std::chrono::minutes(until)}});
    };
    for (int day = 0; day < days; ++day) {
        const int midnight = day * day_min;
        int closed_from = midnight;
        open.each_open(midnight, midnight + day_min, [&](int from, int until) {
            close(closed_from, from, false);
            closed_from = until;
        });
        close(closed_from, midnight + day_min, closed_from == midnight);
    }
    return out;
}

/// Days and shades around bars that are there.
CalendarPicture framed(const ShopStudy& study, std::vector<CalendarPicture::Row> rows) {
    CalendarPicture picture;
    picture.rows = std::move(rows);
    picture.dated = study.dated;
    picture.delivery = study.calendar.schedule->delivery;
    // What waits before the first hand, and the day it is delivered, belong to it.
    Moment first = picture.delivery, last = picture.delivery;
    for (const auto& row : picture.rows) {
        for (const Bar& bar : row.bars) {
            first = std::min(first, bar.when.from);
            last = std::max(last, bar.when.until);
        }
    }
    picture.first = day_of(first);
    picture.last = day_of(last - std::chrono::minutes(last > first ? 1 : 0)) + std::chrono::days(1);
    picture.shaded = shaded(study.shop, picture.first, picture.last);
    return picture;
}

/// One bar of work for each day with any, and waits between them and after the last.
std::vector<Bar> day_by_day(const std::vector<Bar>& bars) {
    std::map<std::chrono::local_days, Stretch> work;
    Moment from = bars.front().when.from, until = bars.front().when.until;
    for (const Bar& bar : bars) {
        from = std::min(from, bar.when.from);
        until = std::max(until, bar.when.until);
        if (bar.kind != Bar::Kind::work) continue;
        const auto [at, first] = work.try_emplace(day_of(bar.when.from), bar.when);
        if (first) continue;
        at->second.from = std::min(at->second.from, bar.when.from);
        at->second.until = std::max(at->second.until, bar.when.until);
    }
    std::vector<Bar> out;
    const auto wait = [&](Moment a, Moment b) {
        if (a < b) out.push_back({Bar::Kind::wait, {a, b}, false});
    };
    for (const auto& [day, when] : work) {
        wait(from, when.from);
        out.push_back({Bar::Kind::work, when, false});
        from = std::max(from, when.until);
    }
    wait(from, until);
    return out;
}

struct Stage {
    std::string_view name;
    /// Of the ids of its steps.
    std::vector<std::string_view> prefixes;
};
const std::array<Stage, 6>& stages() {
    static const std::array<Stage, 6> all{{{"Wood and templates", {"boards", "mill", "templates", "test-cut"}},
                                           {"Cutting and fitting", {"panel", "rough-saw", "rout", "fit"}},
                                           {"Gluing", {"glue"}},
                                           {"Edge and surface", {"outline", "build-up", "edg", "sand"}},
                                           {"Finish", {"finish"}},
                                           {"Delivery", {"deliver"}}}};
    return all;
}

}  // namespace

std::optional<CalendarPicture> calendar_picture(const ShopStudy& study) {
    if (!study.calendar.schedule) return std::nullopt;
    std::vector<CalendarPicture::Row> rows;
    for (std::size_t i = 0; i < study.steps.size(); ++i) {
        CalendarPicture::Row row{study.steps[i].task.name, i, bars_of(*study.calendar.schedule, i), false};
        row.on_chain = std::any_of(row.bars.begin(), row.bars.end(), [](const Bar& bar) { return bar.on_chain; });
        rows.push_back(std::move(row));
    }
    return framed(study, std::move(rows));
}

std::optional<CalendarPicture> stages_picture(const ShopStudy& study) {
    if (!study.calendar.schedule) return std::nullopt;
    std::vector<CalendarPicture::Row> rows;
    std::size_t now = 0;
    std::array<std::optional<std::size_t>, 6> row_of{};
    for (std::size_t i = 0; i < study.steps.size(); ++i) {
        const std::string& id = study.steps[i].task.id;
        // A step that is none of these belongs where the one before did.
        for (std::size_t k = 0; k < stages().size(); ++k) {
            const auto& prefixes = stages().at(k).prefixes;
            if (std::any_of(prefixes.begin(), prefixes.end(), [&](std::string_view p) { return id.starts_with(p); }))
                now = k;
        }
        const std::vector<Bar> bars = bars_of(*study.calendar.schedule, i);
        if (bars.empty()) continue;
        auto& at = row_of.at(now);
        if (!at) {
            at = rows.size();
            rows.push_back({std::string(stages().at(now).name), i, {}, false});
        }
        auto& row = rows[*at];
        row.bars.insert(row.bars.end(), bars.begin(), bars.end());
    }
    for (auto& row : rows) row.bars = day_by_day(row.bars);
    return framed(study, std::move(rows));
}

namespace words {
std::string short_day_text(std::chrono::local_days day, const CalendarPicture& picture) {
    static constexpr std::array<const char*, 7> names{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    const char* name = names.at(std::chrono::weekday(day).c_encoding());
    if (picture.dated) return fmt::format("{} {}", name, job::show(std::chrono::year_month_day(day)));
    return fmt::format("day {}, {}", (day - picture.first).count() + 1, name);
}
}  // namespace words

}  // namespace seamwright::plan
