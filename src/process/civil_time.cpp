// All questions come down to counting open minutes. Each stretch knows how many lie before it, so that "w minutes after
// s" is: count at s, add w, look up who has that count. The last of w minutes decides where work ends, so the end is
// one past that minute: work that fills the morning ends at noon and not when the shop opens again.

#include "process/civil_time.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace seamwright::process {
namespace {

constexpr int day_min = 1440;
constexpr int most_days = 4000;
constexpr std::array<const char*, 7> day_names{"Sunday",   "Monday", "Tuesday", "Wednesday",
                                               "Thursday", "Friday", "Saturday"};

std::string clock(int minutes) {
    return fmt::format("{}:{:02}", minutes / 60, minutes % 60);
}

std::string date(const std::chrono::year_month_day& day) {
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                       static_cast<unsigned>(day.day()));
}

}  // namespace

ShopHours usual_hours() {
    ShopHours hours;
    for (std::size_t day = 1; day <= 5; ++day) hours.days[day] = {{8 * 60, 12 * 60}, {13 * 60, 17 * 60}};
    return hours;
}

std::string why_no_hours(const ShopHours& hours) {
    bool any = false;
    for (std::size_t day = 0; day < hours.days.size(); ++day) {
        int after = 0;
        for (const DaySpan& span : hours.days[day]) {
            if (span.from_min < 0 || span.until_min > day_min)
                return fmt::format("{}: shop hours lie between 0:00 and 24:00.", day_names[day]);
            if (span.from_min >= span.until_min)
                return fmt::format("{}: {} to {} ends before it begins.", day_names[day], clock(span.from_min),
                                   clock(span.until_min));
            if (span.from_min < after)
                return fmt::format("{}: {} to {} begins before the hours written before it are over.", day_names[day],
                                   clock(span.from_min), clock(span.until_min));
            after = span.until_min;
            any = true;
        }
    }
    return any ? "" : "The shop is open on no day of the week.";
}

std::string why_no_days_off(std::span<const DaysOff> days_off) {
    for (const DaysOff& off : days_off) {
        if (!off.first.ok()) return fmt::format("{} is no day of the calendar.", date(off.first));
        if (!off.last.ok()) return fmt::format("{} is no day of the calendar.", date(off.last));
        if (off.last < off.first)
            return fmt::format("Days off from {} to {} end before they begin.", date(off.first), date(off.last));
    }
    return "";
}

std::string show_minutes(int minutes) {
    if (minutes < 60) return fmt::format("{} min", minutes);
    if (minutes % 60 == 0) return fmt::format("{} h", minutes / 60);
    return fmt::format("{} h {} min", minutes / 60, minutes % 60);
}

OpenHours::OpenHours(const ShopHours& hours, std::span<const DaysOff> days_off, std::chrono::local_days first_day,
                     int days)
    : days_(days) {
    if (const std::string why = why_no_hours(hours); !why.empty()) throw std::invalid_argument(why);
    if (const std::string why = why_no_days_off(days_off); !why.empty()) throw std::invalid_argument(why);
    if (days < 1 || days > most_days) throw std::invalid_argument("OpenHours: 1 to 4000 days");
    std::vector<bool> closed(static_cast<std::size_t>(days), false);
    for (const DaysOff& off : days_off) {
        const auto from = (std::chrono::local_days(off.first) - first_day).count();
        const auto until = (std::chrono::local_days(off.last) - first_day).count() + 1;
        for (auto day = std::max<decltype(from)>(0, from); day < std::min<decltype(from)>(days, until); ++day)
            closed[static_cast<std::size_t>(day)] = true;
    }
    unsigned weekday = std::chrono::weekday(first_day).c_encoding();
    int before = 0;
    for (int day = 0; day < days; ++day, weekday = (weekday + 1) % 7) {
        of_day_.push_back(spans_.size());
        if (closed[static_cast<std::size_t>(day)]) continue;
        for (const DaySpan& span : hours.days[weekday]) {
            const int from = day * day_min + span.from_min, until = day * day_min + span.until_min;
            if (!spans_.empty() && spans_.back().until == from) {
                spans_.back().until = until;
                if (span.from_min == 0) of_day_.back() = spans_.size() - 1;
            } else {
                spans_.push_back({from, until, before});
            }
            before += until - from;
        }
    }
    for (const Span& span : spans_) longest_ = std::max(longest_, span.until - span.from);
}

std::size_t OpenHours::at_or_after(int t) const {
    if (t < 0) return 0;
    if (t >= end()) return spans_.size();
    std::size_t i = of_day_[static_cast<std::size_t>(t / day_min)];
    while (i < spans_.size() && spans_[i].until <= t) ++i;
    return i;
}

bool OpenHours::is_open(int t) const {
    const std::size_t i = at_or_after(t);
    return i < spans_.size() && spans_[i].from <= t;
}

int OpenHours::next_open(int t) const {
    const std::size_t i = at_or_after(t);
    return i < spans_.size() ? std::max(t, spans_[i].from) : never;
}

int OpenHours::worked(int t) const {
    const std::size_t i = at_or_after(t);
    if (i < spans_.size()) return spans_[i].before + std::max(0, t - spans_[i].from);
    return spans_.empty() ? 0 : spans_.back().before + spans_.back().until - spans_.back().from;
}

int OpenHours::open_minute(int number) const {
    const auto after =
        std::upper_bound(spans_.begin(), spans_.end(), number, [](int n, const Span& span) { return n < span.before; });
    if (after == spans_.begin()) return never;
    const Span& span = *std::prev(after);
    const int t = span.from + number - span.before;
    return t < span.until ? t : never;
}

// Most work is done within a stretch or two: going along them is faster than looking the count up.
int OpenHours::after_work(int s, int work) const {
    for (std::size_t i = at_or_after(s); i < spans_.size(); ++i) {
        const int from = std::max(s, spans_[i].from);
        if (from + work <= spans_[i].until) return from + work;
        work -= spans_[i].until - from;
    }
    return never;
}

int OpenHours::last_work(int until, int work) const {
    std::size_t i = at_or_after(until);
    if (i == spans_.size() || spans_[i].from >= until) {
        if (i == 0) return -1;
        --i;
    }
    for (;; --i) {
        const int end = std::min(until, spans_[i].until);
        if (end - work >= spans_[i].from) return end - work;
        work -= end - spans_[i].from;
        if (i == 0) return -1;
    }
}

int OpenHours::first_work(int until, int work) const {
    return open_minute(std::max(0, worked(until - 1) - work + 1));
}

int OpenHours::next_fit(int t, int work) const {
    for (std::size_t i = at_or_after(t); i < spans_.size(); ++i) {
        const int from = std::max(t, spans_[i].from);
        if (from + work <= spans_[i].until) return from;
    }
    return never;
}

int OpenHours::last_fit(int until, int work) const {
    std::size_t i = std::min(at_or_after(until), spans_.empty() ? 0 : spans_.size() - 1);
    if (spans_.empty()) return -1;
    for (;; --i) {
        const int last = std::min(until, spans_[i].until) - work;
        if (last >= spans_[i].from) return last;
        if (i == 0) return -1;
    }
}

}  // namespace seamwright::process
