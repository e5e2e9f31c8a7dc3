#include "process/calendar.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "calendar_cases.h"

namespace seamwright::process {
namespace {

using std::chrono::days;
using std::chrono::minutes;
using testing::at;
using testing::broken_law;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::task;

Schedule planned(const Shop& shop, const std::vector<Task>& tasks, Moment today) {
    const Calendar calendar = plan_calendar(shop, tasks, today);
    for (const Refusal& refusal : calendar.refusals) ADD_FAILURE() << refusal.says;
    if (!calendar.schedule) throw std::runtime_error("no schedule");
    EXPECT_EQ(broken_law(shop, tasks, today, *calendar.schedule), "");
    return *calendar.schedule;
}

Refusal refused(const Shop& shop, const std::vector<Task>& tasks) {
    const Calendar calendar = plan_calendar(shop, tasks, at(2027, 1, 4));
    EXPECT_FALSE(calendar.schedule);
    EXPECT_EQ(calendar.refusals.size(), 1u);
    if (calendar.refusals.empty()) throw std::runtime_error("not refused");
    EXPECT_FALSE(calendar.refusals[0].says.empty());
    EXPECT_FALSE(calendar.refusals[0].remedy.empty());
    return calendar.refusals[0];
}

// The construction project of Hillier and Lieberman, Introduction to Operations Research, chapter "Project management
// with PERT/CPM" (figures from memory): 44 weeks, A B C E F J L N critical; slack D 4, G 4, H 4, I 2, K 1, M 4. Weeks
// are taken as days that pass by themselves.
TEST(Calendar, TextbookCriticalPath) {
    struct Activity {
        const char* id;
        int duration;
        const char* before;
        int slack;
    };
    const std::vector<Activity> activities{{"A", 2, "", 0},  {"B", 4, "A", 0},  {"C", 10, "B", 0}, {"D", 6, "C", 4},
                                           {"E", 4, "C", 0}, {"F", 5, "E", 0},  {"G", 7, "D", 4},  {"H", 9, "EG", 4},
                                           {"I", 7, "C", 2}, {"J", 8, "FI", 0}, {"K", 4, "J", 1},  {"L", 5, "J", 0},
                                           {"M", 2, "H", 4}, {"N", 6, "KL", 0}};
    std::vector<Task> tasks;
    for (const Activity& activity : activities) {
        Task t = task(activity.id, 0);
        t.ready_wait_min = activity.duration * 1440;
        for (const char* before = activity.before; *before; ++before)
            t.needs.push_back({std::string(1, *before), After::ready, 0, {}, {}});
        tasks.push_back(t);
    }
    const Schedule s = planned({}, tasks, at(2027, 1, 4));
    EXPECT_EQ(s.finish - at(2027, 1, 4), days(44));
    EXPECT_TRUE(s.proven);
    std::string chain;
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        EXPECT_EQ(s.tasks[i].latest_start - s.tasks[i].start, days(activities[i].slack)) << tasks[i].id;
        if (s.tasks[i].on_chain) chain += tasks[i].id;
    }
    EXPECT_EQ(chain, "ABCEFJLN");
}

// The 6 × 6 job shop of Muth and Thompson, Industrial Scheduling (1963), least makespan 55 (both from memory). Each
// machine is a clamp of its own, held for the time the operation takes.
TEST(Calendar, JobShopOfSixBySix) {
    const int machine_and_time[6][12] = {{2, 1, 0, 3, 1, 6, 3, 7, 5, 3, 4, 6}, {1, 8, 2, 5, 4, 10, 5, 10, 0, 10, 3, 4},
                                         {2, 5, 3, 4, 5, 8, 0, 9, 1, 1, 4, 7}, {1, 5, 0, 5, 2, 5, 3, 3, 4, 8, 5, 9},
                                         {2, 9, 1, 3, 4, 5, 5, 4, 0, 3, 3, 1}, {1, 3, 3, 3, 5, 9, 0, 10, 4, 4, 2, 1}};
    Shop shop;
    for (int m = 0; m < 6; ++m) shop.clamps.push_back({std::to_string(m), 1});
    std::vector<Task> tasks;
    for (int job = 0; job < 6; ++job)
        for (int k = 0; k < 6; ++k) {
            Task t = task(std::to_string(job) + "." + std::to_string(k), 0);
            t.clamps = {{std::to_string(machine_and_time[job][2 * k]), 1}};
            t.clamp_wait_min = machine_and_time[job][2 * k + 1];
            if (k > 0) t.needs.push_back({tasks.back().id, After::clamps_off, 0, {}, {}});
            tasks.push_back(t);
        }
    const Moment today = at(2027, 1, 4);
    const Calendar calendar = plan_calendar(shop, tasks, today, {5'000'000});
    ASSERT_TRUE(calendar.schedule);
    EXPECT_EQ(broken_law(shop, tasks, today, *calendar.schedule), "");
    EXPECT_EQ((calendar.schedule->finish - today).count(), 55);
    EXPECT_TRUE(calendar.schedule->proven);
}

Task coat(std::string id, std::vector<Need> needs = {}) {
    Task t = task(std::move(id), 30, std::move(needs));
    t.one_go = true;
    t.ready_wait_min = 7 * 1440;
    return t;
}
// Recoat after 4 hours, before 24 (as a product's sheet would have it).
Need recoat(std::string before, std::optional<int> sanding_min) {
    return {std::move(before), After::hands_on, 240, 1440, sanding_min};
}

// Friday 2027-01-08. Coat, 4 h to wait: the second is in time the same day, the third would come on Monday, too late.
TEST(Calendar, RecoatWindowOverTheWeekend) {
    const std::vector<Task> sanded{coat("1"), coat("2", {recoat("1", 45)}), coat("3", {recoat("2", 45)})};
    const Schedule s = planned({}, sanded, at(2027, 1, 8));
    EXPECT_EQ(s.tasks[0].start, at(2027, 1, 8, 8, 0));
    EXPECT_EQ(s.tasks[1].start, at(2027, 1, 8, 13, 0));
    EXPECT_EQ(s.tasks[2].start, at(2027, 1, 11, 8, 0));
    EXPECT_THAT(s.tasks[2].late_after, ElementsAre(1u));
    EXPECT_EQ(s.tasks[2].hands_on_min, 75);
    EXPECT_EQ(s.finish, at(2027, 1, 18, 9, 15));

    // Where it must not be late, all three wait for Monday.
    const std::vector<Task> strict{coat("1"), coat("2", {recoat("1", {})}), coat("3", {recoat("2", {})})};
    const Schedule kept = planned({}, strict, at(2027, 1, 8));
    EXPECT_EQ(kept.tasks[0].start, at(2027, 1, 8, 16, 30) + days(3) - minutes(510));
    EXPECT_EQ(kept.tasks[1].start, at(2027, 1, 11, 13, 0));
    EXPECT_EQ(kept.tasks[2].start, at(2027, 1, 12, 8, 0));
    EXPECT_TRUE(kept.proven);
    bool held = false;
    for (const ChainStep& step : kept.chain) held = held || (step.kind == ChainStep::Kind::held_back && step.task == 0);
    EXPECT_TRUE(held);

    // Sanding that costs more than the weekend would: it waits too.
    auto dear = sanded;
    for (Task& t : dear) t.ready_wait_min = 0;
    dear[2].needs[0].extra_if_late_min = 200;
    const Schedule chosen = planned({}, dear, at(2027, 1, 8));
    EXPECT_EQ(chosen.finish, at(2027, 1, 11, 11, 50)) << "sanding and coat in one morning";
}

TEST(Calendar, AWindowNoHoursCanMeet) {
    // 4 to 6 hours after, and the shop is open in the morning only.
    Shop shop;
    for (auto& spans : shop.hours.days) spans = {{480, 600}};
    std::vector<Task> tasks{coat("base coat"), coat("top coat", {{"base coat", After::hands_on, 240, 360, {}}})};
    const Refusal refusal = refused(shop, tasks);
    EXPECT_EQ(refusal.why, Refusal::Why::window);
    EXPECT_EQ(refusal.says, "top coat can never start within 6 h after base coat in the shop's hours.");
    tasks[1].needs[0].extra_if_late_min = 10;
    EXPECT_EQ(planned(shop, tasks, at(2027, 1, 4)).tasks[1].hands_on_min, 40);
}

TEST(Calendar, OneGoNeverCrossesABreak) {
    std::vector<Task> tasks{task("rout", 150), task("glue up", 120, {{"rout", After::hands_on, 0, {}, {}}})};
    tasks[1].one_go = true;
    const Schedule s = planned({}, tasks, at(2027, 1, 4));
    EXPECT_EQ(s.tasks[1].start, at(2027, 1, 4, 13, 0)) << "10:30 to 12:30 would cross noon";
    ASSERT_EQ(s.chain.size(), 5u);
    EXPECT_EQ(s.chain[0].kind, ChainStep::Kind::closed);
    EXPECT_EQ(s.chain[1].kind, ChainStep::Kind::work);
    EXPECT_EQ(s.chain[2], (ChainStep{ChainStep::Kind::too_short, 1, {at(2027, 1, 4, 10, 30), at(2027, 1, 4, 12)}}));
    EXPECT_EQ(s.chain[3], (ChainStep{ChainStep::Kind::closed, 1, {at(2027, 1, 4, 12), at(2027, 1, 4, 13)}}));
    EXPECT_EQ(s.chain[4].kind, ChainStep::Kind::work);
    // Without being bound to one go it takes up the rest of the morning.
    tasks[1].one_go = false;
    EXPECT_EQ(planned({}, tasks, at(2027, 1, 4)).finish, at(2027, 1, 4, 13, 30));
}

// Two glue-ups of eight clamps, ten there: the second waits for the clamps, and the edges are routed meanwhile.
TEST(Calendar, ClampsAreWaitedFor) {
    Shop shop;
    shop.clamps = {{"bar", 6}, {"bar", 4}};
    std::vector<Task> tasks{task("glue left", 60), task("glue right", 60), task("template", 60)};
    for (std::size_t i = 0; i < 2; ++i) {
        tasks[i].one_go = true;
        tasks[i].clamps = {{"bar", 8}};
        tasks[i].clamp_wait_min = 90;
        tasks[i].ready_wait_min = 1440;
    }
    const Schedule s = planned(shop, tasks, at(2027, 1, 4));
    EXPECT_EQ(s.tasks[0].start, at(2027, 1, 4, 8, 0));
    EXPECT_EQ(s.tasks[0].clamps_off, at(2027, 1, 4, 10, 30));
    EXPECT_EQ(s.tasks[1].start, at(2027, 1, 4, 10, 30));
    EXPECT_EQ(s.tasks[2].start, at(2027, 1, 4, 9, 0));
    EXPECT_EQ(s.finish, at(2027, 1, 5, 11, 30));
    EXPECT_EQ(s.delivery, s.finish);
    EXPECT_TRUE(s.proven);
    EXPECT_LT(s.path_bound, s.finish);
    ASSERT_FALSE(s.together.empty());
    EXPECT_EQ(s.together[0].when, (Stretch{at(2027, 1, 4, 9, 0), at(2027, 1, 4, 10, 0)}));
    EXPECT_THAT(s.together[0].at_work, ElementsAre(2u));
    EXPECT_THAT(s.together[0].waiting, ElementsAre(0u));
    // Later, the same hands would be late for the second glue-up.
    EXPECT_EQ(s.tasks[2].slack_min, 30);
    EXPECT_FALSE(s.tasks[2].on_chain);
    EXPECT_EQ(s.tasks[1].slack_min, 0);
}

TEST(Calendar, TwoPeopleWorkSideBySide) {
    Shop shop;
    std::vector<Task> tasks{task("a", 120), task("b", 120), task("lift", 60, {{"a", After::hands_on, 0, {}, {}}})};
    EXPECT_EQ(planned(shop, tasks, at(2027, 1, 4)).finish, at(2027, 1, 4, 14, 0));
    shop.people = 2;
    tasks[2].people = 2;
    const Schedule s = planned(shop, tasks, at(2027, 1, 4));
    EXPECT_EQ(s.finish, at(2027, 1, 4, 11, 0));
    EXPECT_THAT(s.tasks[2].people, ElementsAre(0, 1));
    EXPECT_THAT(s.together.at(0).at_work, ElementsAre(0u, 1u));
}

// Cured on Sunday, delivered on Monday; a holiday moves it to Tuesday. The year ends in between.
TEST(Calendar, DeliveryWhenTheShopOpens) {
    Shop shop;
    std::vector<Task> tasks{task("oil", 60)};
    tasks[0].ready_wait_min = 2 * 1440 + 600;
    EXPECT_EQ(planned(shop, tasks, at(2027, 12, 31)).finish, at(2028, 1, 2, 19, 0));
    EXPECT_EQ(planned(shop, tasks, at(2027, 12, 31)).delivery, at(2028, 1, 3, 8, 0));
    shop.days_off = {{std::chrono::year{2028} / 1 / 1, std::chrono::year{2028} / 1 / 3}};
    EXPECT_EQ(planned(shop, tasks, at(2027, 12, 31)).delivery, at(2028, 1, 4, 8, 0));
    // Done when the day ends: delivered then, not the next morning.
    tasks = {task("sand", 480)};
    EXPECT_EQ(planned(shop, tasks, at(2027, 12, 30)).delivery, at(2027, 12, 30, 17, 0));
}

TEST(Calendar, WaitsForTheBoards) {
    std::vector<Task> tasks{task("plane", 60)};
    tasks[0].not_before = at(2028, 2, 29, 10, 0);
    const Schedule s = planned({}, tasks, at(2028, 2, 28, 9, 30));
    EXPECT_EQ(s.finish, at(2028, 2, 29, 11, 0));
    EXPECT_EQ(s.chain.front(),
              (ChainStep{ChainStep::Kind::not_before, 0, {at(2028, 2, 28, 9, 30), at(2028, 2, 29, 10, 0)}}));
}

TEST(Calendar, Refusals) {
    using Why = Refusal::Why;
    const Shop shop;
    EXPECT_EQ(refused(shop, {}).why, Why::no_tasks);
    const auto need = [](std::string id) { return std::vector<Need>{{std::move(id), After::ready, 0, {}, {}}}; };
    const Refusal ring = refused(
        shop, {task("a", 1, need("c")), task("b", 1, need("a")), task("c", 1, need("b")), task("d", 1, need("a"))});
    EXPECT_EQ(ring.why, Why::cycle);
    EXPECT_EQ(ring.says, "None of these can begin: a needs c needs b needs a.");
    EXPECT_THAT(ring.tasks, ElementsAre(0u, 2u, 1u));
    EXPECT_EQ(refused(shop, {task("a", 1, need("x"))}).why, Why::unknown_task);
    EXPECT_EQ(refused(shop, {task("a", 1), task("a", 1)}).why, Why::bad_task);
    EXPECT_EQ(refused(shop, {task("a", -1)}).why, Why::bad_task);
    EXPECT_EQ(refused(shop, {task("", 1)}).why, Why::bad_task);
    EXPECT_EQ(refused(shop, {task("a", 1), task("b", 0, {{"a", After::hands_on, 0, 30, 10}})}).why, Why::bad_task);
    Task t = task("glue up", 60);
    t.people = 2;
    EXPECT_EQ(refused(shop, {t}).says, "glue up needs two people, and there is one.");
    t.people = 3;
    EXPECT_EQ(refused(shop, {t}).why, Why::bad_task);
    t.people = 1;
    t.clamps = {{"bar", 3}, {"bar", 2}};
    Shop few = shop;
    few.clamps = {{"bar", 4}, {"cam", 20}};
    EXPECT_EQ(refused(few, {t}).says, "glue up needs 5 clamps of the kind 'bar', and there are 4.");
    t.clamps.clear();
    t.one_go = true;
    t.hands_on_min = 241;
    const Refusal too_long = refused(shop, {t});
    EXPECT_EQ(too_long.why, Why::one_go);
    EXPECT_THAT(too_long.says, HasSubstr("4 h 1 min in one go"));
    EXPECT_THAT(too_long.remedy, HasSubstr("4 h 1 min on one day"));
    Shop closed = shop;
    closed.hours = {};
    EXPECT_EQ(refused(closed, {task("a", 1)}).why, Why::no_hours);
    EXPECT_EQ(refused(shop, {task("a", 1), task("b", 1, {{"a", After::ready, 60, 30, {}}})}).why, Why::window);
    Task late = task("a", 1);
    late.not_before = at(2040, 1, 1);
    EXPECT_EQ(refused(shop, {late}).why, Why::beyond_horizon);
    // One person cannot be in time at both.
    const std::vector<Task> both{task("a", 60), task("b", 60, {{"a", After::hands_on, 0, 30, {}}}),
                                 task("c", 60, {{"a", After::hands_on, 0, 30, {}}})};
    EXPECT_THAT(refused(shop, both).says, HasSubstr("b after a; c after a"));
    Shop two = shop;
    two.people = 2;
    EXPECT_EQ(planned(two, both, at(2027, 1, 4)).finish, at(2027, 1, 4, 10, 0));
}

std::vector<Task> any_plan(int count, int people, const auto& pick) {
    std::vector<Task> tasks;
    for (int i = 0; i < count; ++i) {
        Task t = task("t" + std::to_string(i), pick(0, 8) ? 15 * pick(1, 20) : 0);
        // Being late adds up to an hour; a whole stretch has four.
        t.one_go = pick(0, 2) == 0 && t.hands_on_min <= 180;
        t.people = pick(0, 4) ? 1 : people;
        if (pick(0, 3) == 0) {
            t.clamps = {{"bar", pick(1, 8)}};
            t.clamp_wait_min = 30 * pick(1, 8);
            t.ready_wait_min = 1440;
        } else if (pick(0, 4) == 0) {
            t.ready_wait_min = 60 * pick(1, 48);
        }
        for (int k = pick(0, 2); k > 0 && i > 0; --k) {
            Need need{"t" + std::to_string(std::max(0, i - pick(1, 6))), static_cast<After>(pick(0, 2)), 0, {}, {}};
            if (pick(0, 5) == 0) {
                need.after = After::hands_on;
                need.wait_min = 60 * pick(0, 4);
                need.within_min = need.wait_min + 60 * pick(4, 30);
                need.extra_if_late_min = t.hands_on_min > 0 ? 15 * pick(0, 4) : 0;
            }
            t.needs.push_back(need);
        }
        tasks.push_back(t);
    }
    return tasks;
}

// Laws C1–C6 where there are too many ways to try; the same twice; no later with another pair of hands, where the first
// end was proven.
RC_GTEST_PROP(Calendar, LawsHoldForLargePlans, ()) {
    const auto pick = [](int low, int high) {
        return *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(low, high + 1));
    };
    Shop shop;
    shop.people = pick(1, 2);
    shop.clamps = {{"bar", pick(8, 20)}};
    shop.days_off = {{std::chrono::year{2028} / 2 / 28, std::chrono::year{2028} / 3 / 1}};
    const std::vector<Task> tasks = any_plan(pick(10, 60), shop.people, pick);
    const Moment today = at(2028, 2, 20) + minutes(pick(0, 10000));
    const Calendar calendar = plan_calendar(shop, tasks, today, {20'000});
    RC_ASSERT(calendar.schedule.has_value());
    const Schedule& s = *calendar.schedule;
    RC_ASSERT(broken_law(shop, tasks, today, s) == "");
    const Schedule again = plan_calendar(shop, tasks, today, {20'000}).schedule.value();
    RC_ASSERT(again.finish == s.finish && again.chain == s.chain);
    for (std::size_t i = 0; i < tasks.size(); ++i) RC_ASSERT(again.tasks[i].start == s.tasks[i].start);
    RC_CLASSIFY(s.proven, "proven");
    if (shop.people == 1) {
        shop.people = 2;
        const Schedule with_two = plan_calendar(shop, tasks, today, {20'000}).schedule.value();
        RC_ASSERT(!with_two.proven || with_two.finish <= s.finish);
    }
}

}  // namespace
}  // namespace seamwright::process
