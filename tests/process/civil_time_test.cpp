#include "process/civil_time.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <stdexcept>

namespace seamwright::process {
namespace {

using namespace std::chrono;

constexpr int day = 1440;

local_days on(int y, unsigned m, unsigned d) {
    return local_days(year_month_day{year{y}, month{m}, std::chrono::day{d}});
}
DaysOff off(int y, unsigned m, unsigned d) {
    const year_month_day one{year{y}, month{m}, std::chrono::day{d}};
    return {one, one};
}

// 2027-01-01 is a Friday (any perpetual calendar).
TEST(CivilTime, WorkGoesOnAfterTheWeekend) {
    const OpenHours hours(usual_hours(), {}, on(2027, 1, 1), 30);
    const int friday = 0, monday = 3 * day;
    EXPECT_EQ(hours.next_open(0), friday + 8 * 60);
    EXPECT_EQ(hours.next_open(12 * 60), friday + 13 * 60);
    EXPECT_EQ(hours.next_open(17 * 60), monday + 8 * 60);
    EXPECT_EQ(hours.after_work(11 * 60, 60), 12 * 60) << "ends at noon, not at one";
    EXPECT_EQ(hours.after_work(11 * 60, 61), 13 * 60 + 1);
    EXPECT_EQ(hours.after_work(16 * 60, 90), monday + 8 * 60 + 30);
    EXPECT_EQ(hours.next_fit(16 * 60, 90), monday + 8 * 60);
    EXPECT_EQ(hours.next_fit(0, 241), OpenHours::never);
    EXPECT_EQ(hours.longest(), 240);
    EXPECT_EQ(hours.last_work(monday + 8 * 60 + 30, 90), 16 * 60);
    EXPECT_EQ(hours.last_fit(monday + 8 * 60 + 30, 90), 15 * 60 + 30);
    EXPECT_EQ(hours.first_work(monday, 30), 16 * 60 + 31) << "done on Monday at 8:01";
    EXPECT_EQ(hours.first_work(16 * 60, 30), 15 * 60 + 30);
}

// 2028 is a leap year, 2100 is none (Gregorian rule: divisible by 4, not by 100 unless by 400).
TEST(CivilTime, LeapYears) {
    ShopHours daily;
    for (auto& spans : daily.days) spans = {{600, 601}};
    const std::vector<DaysOff> leap_day{off(2028, 2, 29)};
    const OpenHours leap(daily, leap_day, on(2028, 2, 28), 10);
    EXPECT_EQ(leap.after_work(0, 2), 2 * day + 601) << "28 February, then 1 March: the 29th is off";
    EXPECT_EQ(why_no_days_off(leap_day), "");
    EXPECT_EQ(why_no_days_off(std::vector{off(2100, 2, 29)}), "2100-02-29 is no day of the calendar.");
    const std::vector<DaysOff> first_of_march{off(2100, 3, 1)};
    EXPECT_EQ(OpenHours(daily, first_of_march, on(2100, 2, 28), 10).after_work(0, 2), 2 * day + 601);
}

TEST(CivilTime, AYearEnds) {
    // Thursday 2026-12-31 to Monday 2027-01-04, closed from Christmas Eve to New Year's Day.
    const std::vector<DaysOff> holidays{{year{2026} / 12 / 24, year{2027} / 1 / 1}};
    const OpenHours hours(usual_hours(), holidays, on(2026, 12, 23), 30);
    EXPECT_EQ(hours.after_work(16 * 60, 61), 12 * day + 8 * 60 + 1);
}

TEST(CivilTime, OpenPastMidnight) {
    ShopHours night;
    night.days[1] = {{22 * 60, 1440}};
    night.days[2] = {{0, 2 * 60}};
    const OpenHours hours(night, {}, on(2027, 1, 4), 7);
    EXPECT_EQ(hours.longest(), 240);
    EXPECT_EQ(hours.next_fit(0, 240), 22 * 60);
    EXPECT_EQ(hours.next_fit(day + 1, 100), day + 1);
    EXPECT_TRUE(hours.is_open(day));
}

TEST(CivilTime, RefusesWhatIsNoHours) {
    EXPECT_NE(why_no_hours({}), "");
    ShopHours hours = usual_hours();
    EXPECT_EQ(why_no_hours(hours), "");
    hours.days[2] = {{8 * 60, 12 * 60}, {11 * 60, 17 * 60}};
    EXPECT_EQ(why_no_hours(hours), "Tuesday: 11:00 to 17:00 begins before the hours written before it are over.");
    hours.days[2] = {{8 * 60, 8 * 60}};
    EXPECT_EQ(why_no_hours(hours), "Tuesday: 8:00 to 8:00 ends before it begins.");
    hours.days[2] = {{8 * 60, 1441}};
    EXPECT_THROW(OpenHours(hours, {}, on(2027, 1, 1), 7), std::invalid_argument);
    const std::vector<DaysOff> back{{year{2027} / 2 / 2, year{2027} / 2 / 1}};
    EXPECT_EQ(why_no_days_off(back), "Days off from 2027-02-02 to 2027-02-01 end before they begin.");
}

// Laws O1 and O3 against counting minute by minute.
RC_GTEST_PROP(CivilTime, O1O3CountedMinuteByMinute, ()) {
    ShopHours hours;
    for (auto& spans : hours.days) {
        int at = 0;
        for (int i = *rc::gen::inRange(0, 4); i > 0 && at < day; --i) {
            const int from = std::min(day - 1, at + *rc::gen::inRange(0, 500));
            const int until = std::min(day, from + *rc::gen::inRange(1, 400));
            spans.push_back({from, until});
            at = until;
        }
    }
    if (!why_no_hours(hours).empty()) hours.days[3] = {{0, 60}};
    std::vector<DaysOff> days_off;
    if (*rc::gen::arbitrary<bool>()) days_off.push_back(off(2027, 1, *rc::gen::inRange(1U, 15U)));
    const OpenHours open(hours, days_off, on(2027, 1, 1), 14);
    std::vector<bool> is(static_cast<std::size_t>(open.end()), false);
    for (int t = 0; t < open.end(); ++t) {
        const local_days date = on(2027, 1, 1) + days{t / day};
        const bool closed = !days_off.empty() && local_days(days_off[0].first) == date;
        for (const DaySpan& span : hours.days[weekday(date).c_encoding()])
            if (!closed && t % day >= span.from_min && t % day < span.until_min) is[static_cast<std::size_t>(t)] = true;
    }
    const auto at = [&](int t) { return t >= 0 && t < open.end() && is[static_cast<std::size_t>(t)]; };
    const auto done = [&](int s, int work) {
        for (int t = s; t < open.end(); ++t)
            if (at(t) && --work == 0) return t + 1;
        return OpenHours::never;
    };
    const auto fits = [&](int s, int work) {
        for (int t = s; t < s + work; ++t)
            if (!at(t)) return false;
        return true;
    };
    const int t = *rc::gen::inRange(0, open.end()), work = *rc::gen::inRange(1, 300);
    RC_ASSERT(open.is_open(t) == at(t));
    int count = 0;
    for (int u = 0; u < t; ++u) count += at(u) ? 1 : 0;
    RC_ASSERT(open.worked(t) == count);
    RC_ASSERT(open.after_work(t, work) == done(t, work));
    int next = t;
    while (next < open.end() && !fits(next, work)) ++next;
    RC_ASSERT(open.next_fit(t, work) == (next < open.end() ? next : OpenHours::never));
    int last = std::max(-1, t - work);
    while (last >= 0 && !fits(last, work)) --last;
    RC_ASSERT(std::max(-1, open.last_fit(t, work)) == last);
    last = t - 1;
    while (last >= 0 && !(at(last) && done(last, work) <= t)) --last;
    RC_ASSERT(std::max(-1, open.last_work(t, work)) == last);
    int first = 0;
    while (first < open.end() && !(at(first) && done(first, work) >= t)) ++first;
    RC_ASSERT(open.first_work(t, work) == (first < open.end() ? first : OpenHours::never));
    RC_ASSERT(open.after_work(t + 1, work) >= open.after_work(t, work));
}

}  // namespace
}  // namespace seamwright::process
