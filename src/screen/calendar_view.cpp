// Time does not run evenly across: a night, a day off, and a day on which nobody works on this job are drawn narrow, so
// that a quarter of an hour by hand still is seen. Sizes are pixels of the page.

#include "calendar_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace seamwright::screen {
namespace {

using process::ChainStep;
using process::Moment;
using Days = std::chrono::local_days;

constexpr double px_per_min = 0.17;
constexpr double night_px = 6.0, noon_px = 5.0;
constexpr double closed_day_px = 22.0, quiet_day_px = 22.0;
constexpr double head_px = 58.0;
// The names stand in a narrow column: a step is as high as its name takes lines there.
constexpr double least_row_px = 32.0, line_px = 14.0, around_lines_px = 8.0;
constexpr std::size_t letters_in_line = 17;
constexpr double bar_px = 12.0, chain_bar_px = 22.0;
constexpr double least_px = 3.0;
constexpr double margin_px = 4.0;
constexpr double month_px = 116.0;  ///< for the name of a month and the year
constexpr int day_min = 24 * 60;

constexpr std::array<const char*, 7> weekdays{"Su", "Mo", "Tu", "We", "Th", "Fr", "Sa"};
constexpr std::array<const char*, 12> months{"January", "February", "March",     "April",   "May",      "June",
                                             "July",    "August",   "September", "October", "November", "December"};

Days day_of(Moment t) {
    return std::chrono::floor<std::chrono::days>(t);
}
int minute_of(Moment t) {
    return static_cast<int>((t - day_of(t)).count());
}

/// The days across.
class Axis {
  public:
    Axis(const plan::ShopStudy& shop, const job::Job& job) : dated_(shop.dated) {
        const process::Schedule& schedule = *shop.calendar.schedule;
        const job::Calendar calendar = job.calendar.value_or(job::Calendar{{}, 1, job::usual_week(), {}});
        std::set<Days> worked;
        Moment first = schedule.delivery;
        for (const process::Planned& task : schedule.tasks)
            for (const process::Stretch& work : task.work) {
                first = std::min(first, work.from);
                for (Days d = day_of(work.from); d < work.until; d += std::chrono::days(1)) worked.insert(d);
            }
        worked.insert(day_of(schedule.delivery));
        first_ = day_of(first);
        double x = margin_px;
        for (Days d = first_; d <= schedule.delivery; d += std::chrono::days(1)) {
            const std::size_t from_monday = (std::chrono::weekday(d).c_encoding() + 6) % 7;
            const bool off = std::find(calendar.off.begin(), calendar.off.end(), job::Day(d)) != calendar.off.end();
            Day day;
            day.x = x;
            if (off || calendar.week[from_monday].empty()) {
                day.pieces.push_back({0, day_min, closed_day_px, false});
                day.closed = true;
            } else if (!worked.contains(d)) {
                day.pieces.push_back({0, day_min, quiet_day_px, true});
            } else {
                int from = 0;
                for (const auto& hours : calendar.week[from_monday]) {
                    if (hours.from > from)
                        day.pieces.push_back({from, hours.from, from == 0 ? night_px : noon_px, false});
                    day.pieces.push_back({hours.from, hours.to, px_per_min * (hours.to - hours.from), true});
                    from = hours.to;
                }
                if (from < day_min) day.pieces.push_back({from, day_min, night_px, false});
            }
            for (const Piece& piece : day.pieces) x += piece.width;
            day.width = x - day.x;
            days_.push_back(std::move(day));
        }
        // A month that begins near the end still has its name.
        for (std::size_t i = 0; dated_ && i < days_.size(); ++i)
            if (begins_month(i)) x = std::max(x, days_[i].x + month_px);
        width_ = x + margin_px;
    }

    double width() const { return width_; }

    double x(Moment t) const {
        const auto number =
            std::clamp<std::ptrdiff_t>((day_of(t) - first_).count(), 0, static_cast<std::ptrdiff_t>(days_.size()) - 1);
        const Day& day = days_[static_cast<std::size_t>(number)];
        const double minute =
            std::chrono::duration<double, std::ratio<60>>(t - (first_ + std::chrono::days(number))).count();
        double at = day.x;
        for (const Piece& piece : day.pieces) {
            const double part = (minute - piece.from) / (piece.until - piece.from);
            at += piece.width * std::clamp(part, 0.0, 1.0);
        }
        return at;
    }

    /// "Mo 2027-01-11 08:12"; without dates "day 3, 08:12".
    std::string says(Moment t) const {
        const std::string time = job::show_time(minute_of(t));
        if (!dated_) return fmt::format("day {}, {}", (day_of(t) - first_).count() + 1, time);
        return fmt::format("{} {} {}", weekdays.at(std::chrono::weekday(day_of(t)).c_encoding()),
                           job::show(job::Day(day_of(t))), time);
    }

    void write(job::JsonWriter& json) const {
        json.begin_list("months");
        for (std::size_t i = 0; dated_ && i < days_.size(); ++i) {
            const job::Day day(first_ + std::chrono::days(i));
            if (!begins_month(i)) continue;
            json.begin_group();
            json.number("x", days_[i].x);
            json.text("says", fmt::format("{} {}", months.at(static_cast<unsigned>(day.month()) - 1),
                                          static_cast<int>(day.year())));
            json.end_group();
        }
        json.end_list();
        json.begin_list("days");
        for (std::size_t i = 0; i < days_.size(); ++i) {
            const Days d = first_ + std::chrono::days(i);
            json.begin_group();
            json.number("x", days_[i].x);
            json.number("width", days_[i].width);
            json.text("weekday", weekdays.at(std::chrono::weekday(d).c_encoding()));
            json.text("number",
                      dated_ ? fmt::format("{}", static_cast<unsigned>(job::Day(d).day())) : fmt::format("{}", i + 1));
            json.end_group();
        }
        json.end_list();
        json.begin_list("closed");
        for (const Day& day : days_) {
            double x = day.x;
            for (const Piece& piece : day.pieces) {
                if (!piece.open) {
                    json.begin_group();
                    json.number("x", x);
                    json.number("width", piece.width);
                    json.flag("day", day.closed);
                    json.end_group();
                }
                x += piece.width;
            }
        }
        json.end_list();
    }

  private:
    struct Piece {
        int from = 0, until = 0;  ///< minutes of the day
        double width = 0.0;
        bool open = false;
    };
    struct Day {
        double x = 0.0, width = 0.0;
        bool closed = false;
        std::vector<Piece> pieces;
    };
    /// Its name stands there: on its first day, or where the calendar begins unless the next month soon does.
    bool begins_month(std::size_t i) const {
        const auto day = [&](std::size_t k) { return job::Day(first_ + std::chrono::days(k)); };
        if (day(i).day() == std::chrono::day(1)) return true;
        return i == 0 && (days_.size() < 5 || day(4).month() == day(0).month());
    }

    bool dated_;
    Days first_;
    std::vector<Day> days_;
    double width_ = 0.0;
};

double height_of(const process::Task& task) {
    const std::size_t lines = (task.name.size() + letters_in_line - 1) / letters_in_line;
    return std::max(least_row_px, around_lines_px + line_px * static_cast<double>(lines));
}

class Chart {
  public:
    Chart(job::JsonWriter& json, const plan::ShopStudy& shop, const job::Job& job)
        : json_(json), shop_(shop), schedule_(*shop.calendar.schedule), axis_(shop, job) {
        double y = head_px;
        for (const plan::WorkStep& each : shop.steps) {
            tops_.push_back(y);
            y += height_of(each.task);
        }
        tops_.push_back(y);
    }

    void write() {
        json_.begin_group("calendar");
        json_.number("width", axis_.width());
        json_.number("height", tops_.back());
        json_.number("head", head_px);
        axis_.write(json_);
        json_.begin_list("steps");
        for (std::size_t i = 0; i < shop_.steps.size(); ++i) step(i);
        json_.end_list();
        json_.text("chain", chain());
        json_.number("delivery", axis_.x(schedule_.delivery));
        json_.end_group();
    }

  private:
    void step(std::size_t i) {
        const process::Planned& planned = schedule_.tasks[i];
        const process::Task& task = shop_.steps[i].task;
        json_.begin_group();
        json_.text("name", task.name);
        json_.number("y", tops_[i]);
        json_.number("height", tops_[i + 1] - tops_[i]);
        json_.flag("chain", planned.on_chain);
        std::string says = fmt::format("{}: from {} to {}, {} by hand", task.name, axis_.says(planned.start),
                                       axis_.says(planned.end), process::show_minutes(planned.hands_on_min));
        if (planned.ready > planned.end)
            says += fmt::format("; then until {}: {}", axis_.says(planned.ready), wait(task));
        if (planned.on_chain) says += "; decides the delivery";
        json_.text("says", says);
        json_.begin_list("bars");
        if (planned.clamps_off > planned.end) bar("clamps", i, {planned.end, planned.clamps_off});
        const Moment waits = std::max(planned.clamps_off, planned.end);
        if (planned.ready > waits) bar("wait", i, {waits, planned.ready});
        for (const process::Stretch& work : planned.work) bar("work", i, work);
        json_.end_list();
        json_.end_group();
    }

    static std::string wait(const process::Task& task) { return task.wait_name.empty() ? "waiting" : task.wait_name; }

    void bar(std::string_view kind, std::size_t row, const process::Stretch& when) {
        const bool chain = on_chain(row, when);
        const double from = axis_.x(when.from), height = chain ? chain_bar_px : bar_px;
        json_.begin_group();
        json_.text("kind", kind);
        json_.numbers("box",
                      {from, middle_of(row) - 0.5 * height, std::max(least_px, axis_.x(when.until) - from), height});
        json_.flag("chain", chain);
        json_.end_group();
    }

    double middle_of(std::size_t row) const { return 0.5 * (tops_[row] + tops_[row + 1]); }

    /// A link of the chain runs through it.
    bool on_chain(std::size_t task, const process::Stretch& when) const {
        return std::any_of(schedule_.chain.begin(), schedule_.chain.end(), [&](const ChainStep& link) {
            return link.task == task && link.when.from < when.until && when.from < link.when.until;
        });
    }

    /// Along the rows of what decides the end, and down from one to the next.
    std::string chain() const {
        std::string d;
        // The night before the first hour belongs to nothing yet.
        auto link = schedule_.chain.begin();
        while (link != schedule_.chain.end() && link->kind == ChainStep::Kind::closed) ++link;
        for (; link != schedule_.chain.end(); ++link) {
            const double y = middle_of(link->task);
            d += d.empty() ? fmt::format("M{:.1f} {:.1f}", axis_.x(link->when.from), y) : fmt::format("V{:.1f}", y);
            d += fmt::format("H{:.1f}", axis_.x(link->when.until));
        }
        return d;
    }

    job::JsonWriter& json_;
    const plan::ShopStudy& shop_;
    const process::Schedule& schedule_;
    Axis axis_;
    std::vector<double> tops_;  ///< of the steps, and where the last one ends
};

}  // namespace

void write_calendar(job::JsonWriter& json, const plan::ShopStudy& shop, const job::Job& job) {
    if (!shop.calendar.schedule || shop.steps.empty()) {
        json.nothing("calendar");
        return;
    }
    Chart(json, shop, job).write();
}

}  // namespace seamwright::screen
