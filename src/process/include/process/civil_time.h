#pragma once

#include <array>
#include <chrono>
#include <span>
#include <string>
#include <vector>

namespace seamwright::process {

/// The time on the shop's clock, to the minute: no time zone. Where clocks are changed for summer, a wait over that
/// night is an hour out.
using Moment = std::chrono::local_time<std::chrono::minutes>;

/// A stretch of one day, minutes from midnight: 0 <= from_min < until_min <= 1440.
struct DaySpan {
    int from_min = 0, until_min = 0;
    friend bool operator==(const DaySpan&, const DaySpan&) = default;
};

/// When somebody works, day by day of the week.
struct ShopHours {
    /// Sunday first, as std::chrono::weekday::c_encoding() counts; each day's in order and apart; none: closed.
    std::array<std::vector<DaySpan>, 7> days;
};

/// Monday to Friday 8:00–12:00 and 13:00–17:00 (common practice).
ShopHours usual_hours();

/// Closed from the first to the last of these days, both included; first <= last.
struct DaysOff {
    std::chrono::year_month_day first, last;
};

/// What is wrong with them, in the maker's words; empty: nothing.
std::string why_no_hours(const ShopHours& hours);
std::string why_no_days_off(std::span<const DaysOff> days_off);

/// "45 min", "2 h", "1 h 30 min".
std::string show_minutes(int minutes);

/// From the first moment on, and not including the second.
struct Stretch {
    Moment from, until;
    friend bool operator==(const Stretch&, const Stretch&) = default;
};

/// The hours of a shop from one day on, laid out along the clock, to answer how far work gets. Times are minutes from
/// the midnight that day begins with. Stretches that touch at midnight are one.
///
/// Laws: O1 after_work(s, w) is the first minute by which w minutes of open time have passed since s. O2 after_work and
/// next_fit never go down when their time goes up. O3 last_work and last_fit are the latest starts that still end in
/// time, first_work is the earliest that does not end before a time.
class OpenHours {
  public:
    /// Beyond the days laid out: never.
    static constexpr int never = 1 << 30;

    /// Throws std::invalid_argument for hours, days off or a day that are none, or days outside 1 … 4000.
    OpenHours(const ShopHours& hours, std::span<const DaysOff> days_off, std::chrono::local_days first_day, int days);

    int end() const { return days_ * 1440; }
    int longest() const { return longest_; }  ///< longest stretch in one go, min
    bool is_open(int t) const;
    int next_open(int t) const;  ///< the first open minute from t on
    int worked(int t) const;     ///< open minutes in [0, t)
    /// When `work` > 0 minutes begun at s are done; never at a stretch's beginning but at the end of the one before.
    int after_work(int s, int work) const;
    int last_work(int end, int work) const;   ///< latest open s with after_work(s, work) <= end; < 0: none
    int first_work(int end, int work) const;  ///< earliest open s with after_work(s, work) >= end
    /// The same for work that has to be done in one go: all of [s, s + work) in one stretch.
    int next_fit(int t, int work) const;
    int last_fit(int end, int work) const;  ///< latest s that ends by then; < 0: none
    /// Calls with (from, until) of every open stretch in [from, until), in order.
    template <class Call>
    void each_open(int from, int until, Call call) const {
        for (std::size_t i = at_or_after(from); i < spans_.size() && spans_[i].from < until; ++i) {
            const int a = std::max(from, spans_[i].from), b = std::min(until, spans_[i].until);
            if (a < b) call(a, b);
        }
    }

  private:
    struct Span {
        int from = 0, until = 0;
        int before = 0;  ///< open minutes before it
    };
    /// The first stretch that ends after t.
    std::size_t at_or_after(int t) const;
    int open_minute(int number) const;  ///< the clock's minute of the open minute with this number

    int days_ = 0;
    int longest_ = 0;
    std::vector<Span> spans_;
    std::vector<std::size_t> of_day_;  ///< at_or_after(day's midnight)
};

}  // namespace seamwright::process
