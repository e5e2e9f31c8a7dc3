// Small plans against trying every start of every task, minute by minute. The shop opens for a few minutes only, so
// that all of them can be tried; nothing in calendar.h knows how long a minute is.

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <climits>

#include "calendar_cases.h"
#include "process/calendar.h"

namespace seamwright::process {
namespace {

using testing::at;

constexpr int days_tried = 11;

struct Small {
    Shop shop;
    std::vector<Task> tasks;
    Moment today;
};

class EveryWay {
  public:
    explicit EveryWay(const Small& small) : small_(small), first_(std::chrono::floor<std::chrono::days>(small.today)) {
        for (int t = 0; t < days_tried * 1440; ++t) {
            const auto day = first_ + std::chrono::days(t / 1440);
            bool open = false;
            for (const DaySpan& span : small.shop.hours.days[std::chrono::weekday(day).c_encoding()])
                open = open || (span.from_min <= t % 1440 && t % 1440 < span.until_min);
            for (const DaysOff& off : small.shop.days_off)
                open = open && !(std::chrono::local_days(off.first) <= day && day <= std::chrono::local_days(off.last));
            if (open) minutes_.push_back(t);
        }
        people_.assign(minutes_.size(), 0);
    }

    /// Minutes from the first midnight, or -1: there is no way within the days tried.
    int best() {
        go(0, 0);
        return best_ == INT_MAX ? -1 : best_;
    }

  private:
    struct Done {
        int start = 0, end = 0, off = 0, ready = 0;
    };

    // Tasks come in an order in which each needs earlier ones only.
    void go(std::size_t i, int last) {
        if (last >= best_) return;
        if (i == small_.tasks.size()) {
            best_ = last;
            return;
        }
        const Task& task = small_.tasks[i];
        int earliest = static_cast<int>((small_.today - Moment(first_)).count());
        if (task.not_before)
            earliest = std::max(earliest, static_cast<int>((*task.not_before - Moment(first_)).count()));
        for (const Need& need : task.needs) {
            const Done& before = done_[index(need.task)];
            const int since = need.after == After::hands_on     ? before.end
                              : need.after == After::clamps_off ? before.off
                                                                : before.ready;
            earliest = std::max(earliest, since + need.wait_min);
        }
        for (std::size_t k = 0; k < minutes_.size(); ++k) {
            if (minutes_[k] < earliest) continue;
            if (minutes_[k] >= best_) return;
            place(i, k, last);
        }
    }

    std::size_t index(const std::string& id) const {
        for (std::size_t i = 0;; ++i)
            if (small_.tasks[i].id == id) return i;
    }

    void place(std::size_t i, std::size_t k, int last) {
        const Task& task = small_.tasks[i];
        int work = task.hands_on_min;
        for (const Need& need : task.needs)
            if (need.within_min && minutes_[k] > done_[index(need.task)].end + *need.within_min) {
                if (!need.extra_if_late_min) return;
                work = std::max(work, task.hands_on_min + *need.extra_if_late_min);
            }
        const auto length = static_cast<std::size_t>(work);
        if (k + length > minutes_.size()) return;
        if (task.one_go && minutes_[k + length - 1] != minutes_[k] + work - 1) return;
        for (std::size_t m = k; m < k + length; ++m)
            if (people_[m] + task.people > small_.shop.people) return;
        const int end = minutes_[k + length - 1] + 1;
        const int off = end + task.clamp_wait_min;
        const Done mine{minutes_[k], end, off, std::max(off, end + task.ready_wait_min)};
        for (const ClampCount& mine_wants : task.clamps) {
            int there_are = 0;
            for (const ClampCount& clamps : small_.shop.clamps)
                if (clamps.kind == mine_wants.kind) there_are += clamps.count;
            // Use rises only where a task starts.
            std::vector<int> times{mine.start};
            for (const Done& other : done_)
                if (mine.start < other.start && other.start < mine.off) times.push_back(other.start);
            for (const int t : times) {
                int sum = mine_wants.count;
                for (std::size_t j = 0; j < done_.size(); ++j)
                    for (const ClampCount& clamps : small_.tasks[j].clamps)
                        if (clamps.kind == mine_wants.kind && done_[j].start <= t && t < done_[j].off)
                            sum += clamps.count;
                if (sum > there_are) return;
            }
        }
        for (std::size_t m = k; m < k + length; ++m) people_[m] += task.people;
        done_.push_back(mine);
        go(i + 1, std::max(last, mine.ready));
        done_.pop_back();
        for (std::size_t m = k; m < k + length; ++m) people_[m] -= task.people;
    }

    const Small& small_;
    std::chrono::local_days first_;
    std::vector<int> minutes_;
    std::vector<int> people_;
    std::vector<Done> done_;
    int best_ = INT_MAX;
};

Small any_small() {
    // As wide in the first cases as in the last.
    const auto pick = [](int low, int high) {
        return *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(low, high + 1));
    };
    Small small;
    small.today = at(2027, 2, 25, 0, 0) + std::chrono::days(pick(0, 6));
    small.shop.hours = {};
    for (std::size_t day = 1; day <= 5; ++day) {
        small.shop.hours.days[day] = {{480, 480 + pick(2, 4)}};
        if (pick(0, 1)) small.shop.hours.days[day].push_back({490, 490 + pick(1, 3)});
    }
    if (pick(0, 2) == 0) {
        const std::chrono::year_month_day off{
            std::chrono::floor<std::chrono::days>(small.today + std::chrono::days(pick(0, 4)))};
        small.shop.days_off.push_back({off, off});
    }
    small.shop.people = pick(1, 2);
    small.shop.clamps = {{"bar", pick(2, 4)}, {"strap", 1}};
    const int count = pick(3, 6);
    for (int i = 0; i < count; ++i) {
        Task task = testing::task(std::string(1, static_cast<char>('a' + i)), pick(1, 4));
        task.one_go = pick(0, 2) == 0;
        // One in one go that fits no stretch is refused; that is another test.
        if (task.one_go) task.hands_on_min = std::min(task.hands_on_min, 2);
        task.people = pick(1, small.shop.people);
        if (pick(0, 2) == 0) {
            task.clamps.push_back({"bar", pick(1, 2)});
            task.clamp_wait_min = pick(0, 1) ? pick(0, 6) : pick(100, 2000);
        }
        if (pick(0, 4) == 0) task.clamps.push_back({"strap", 1});
        if (pick(0, 1)) task.ready_wait_min = pick(0, 1) ? pick(0, 6) : pick(100, 3000);
        if (pick(0, 5) == 0) task.not_before = small.today + std::chrono::minutes(pick(0, 3000));
        for (int j = 0; j < i; ++j) {
            if (pick(0, 2) != 0) continue;
            Need need{small.tasks[static_cast<std::size_t>(j)].id, static_cast<After>(pick(0, 2)), 0, {}, {}};
            if (pick(0, 3) == 0) need.wait_min = pick(1, 5);
            if (pick(0, 2) == 0) {
                const Task& before = small.tasks[static_cast<std::size_t>(j)];
                need.after = After::hands_on;
                need.within_min = need.wait_min + (pick(0, 1) ? pick(1, 8) : pick(1000, 2000));
                if (pick(0, 2)) need.extra_if_late_min = pick(0, 2);
                if (pick(0, 1) && before.clamp_wait_min <= *need.within_min) need.after = After::clamps_off;
                if (need.after == After::clamps_off) need.wait_min = 0;
            }
            task.needs.push_back(need);
        }
        small.tasks.push_back(task);
    }
    return small;
}

std::string told(const Small& small, const Calendar& calendar, int best) {
    std::string text = "best " + std::to_string(best) + "; people " + std::to_string(small.shop.people) + " bars " +
                       std::to_string(small.shop.clamps[0].count) + " hours";
    for (const auto& spans : small.shop.hours.days)
        for (const DaySpan& span : spans)
            text += " " + std::to_string(span.from_min) + "-" + std::to_string(span.until_min);
    text += "\n";
    for (const Task& task : small.tasks) {
        text += task.id + " " + std::to_string(task.hands_on_min) + (task.one_go ? " one go" : "") +
                (task.not_before ? " not before " + std::to_string((*task.not_before - small.today).count()) : "") +
                " people " + std::to_string(task.people) + " clamps " + std::to_string(task.clamp_wait_min) +
                " ready " + std::to_string(task.ready_wait_min);
        for (const ClampCount& clamps : task.clamps) text += " " + std::to_string(clamps.count) + clamps.kind;
        for (const Need& need : task.needs)
            text += " | " + need.task + " after " + std::to_string(static_cast<int>(need.after)) + " wait " +
                    std::to_string(need.wait_min) + " within " + std::to_string(need.within_min.value_or(-1)) +
                    " extra " + std::to_string(need.extra_if_late_min.value_or(-1));
        text += "\n";
    }
    for (const Refusal& refusal : calendar.refusals) text += refusal.says + "\n";
    if (calendar.schedule)
        for (const Planned& p : calendar.schedule->tasks)
            text +=
                std::to_string((p.start - Moment(std::chrono::floor<std::chrono::days>(small.today))).count()) + " ";
    if (calendar.schedule)
        text += std::to_string(
            (calendar.schedule->load_bound - Moment(std::chrono::floor<std::chrono::days>(small.today))).count());
    return text;
}

// Laws C1–C6, and the earliest finish is the earliest. Plans that cannot be are refused as such.
RC_GTEST_PROP(CalendarOptimum, SameAsTryingEveryWay, ()) {
    const Small small = any_small();
    const Calendar calendar = plan_calendar(small.shop, small.tasks, small.today);
    const int best = EveryWay(small).best();
    RC_LOG() << told(small, calendar, best);
    RC_CLASSIFY(best < 0, "impossible");
    if (best < 0) {
        // Nothing within the days tried by hand: then not in fewer days here either.
        if (calendar.schedule)
            RC_ASSERT(calendar.schedule->finish - small.today > std::chrono::days(days_tried - 1));
        else
            RC_ASSERT(calendar.refusals.at(0).why == Refusal::Why::window ||
                      calendar.refusals.at(0).why == Refusal::Why::no_way_found);
        return;
    }
    RC_ASSERT(calendar.schedule.has_value());
    const Schedule& s = *calendar.schedule;
    RC_ASSERT(testing::broken_law(small.shop, small.tasks, small.today, s) == "");
    const auto finish = (s.finish - Moment(std::chrono::floor<std::chrono::days>(small.today))).count();
    // A start on a day not tried may end earlier than what only a wait after the days tried ends.
    RC_ASSERT(finish == best || (best > days_tried * 1440 && finish < best));
    RC_ASSERT(s.proven);
    RC_CLASSIFY(s.finish > s.path_bound, "people or clamps decide");
    RC_CLASSIFY(s.finish > s.load_bound, "needs a search");
    bool late = false, held = false;
    for (const Planned& p : s.tasks) late = late || !p.late_after.empty();
    for (const ChainStep& step : s.chain) held = held || step.kind == ChainStep::Kind::held_back;
    RC_CLASSIFY(late, "late");
    RC_CLASSIFY(held, "held back");
}

}  // namespace
}  // namespace seamwright::process
