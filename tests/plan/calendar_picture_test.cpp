#include "plan/calendar_picture.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

#include "plan/plan_jobs.h"
#include "plan/studied.h"

namespace seamwright::plan {
namespace {

using Bar = CalendarPicture::Bar;
using testing::Studied;

TEST(CalendarPicture, HasTheBarsOfTheScheduleToTheMinute) {
    for (const char* name : {"hall-console", "bench-top", "round-table"}) {
        const Studied held(testing::example(name));
        const auto picture = calendar_picture(held.shop);
        ASSERT_TRUE(picture) << name;
        const process::Schedule& schedule = *held.shop.calendar.schedule;
        ASSERT_EQ(picture->rows.size(), schedule.tasks.size());
        for (std::size_t i = 0; i < picture->rows.size(); ++i) {
            const auto& row = picture->rows[i];
            const process::Planned& planned = schedule.tasks[i];
            EXPECT_EQ(row.name, held.shop.steps[i].task.name);
            std::vector<process::Stretch> work;
            process::Moment clamps_off = planned.end, ready = planned.end;
            for (const Bar& bar : row.bars) {
                EXPECT_LT(bar.when.from, bar.when.until);
                if (bar.kind == Bar::Kind::work) work.push_back(bar.when);
                if (bar.kind == Bar::Kind::clamped) clamps_off = bar.when.until;
                if (bar.kind != Bar::Kind::work) ready = bar.when.until;
            }
            EXPECT_EQ(work, planned.work) << row.name;
            EXPECT_EQ(clamps_off, planned.clamps_off) << row.name;
            EXPECT_EQ(ready, planned.ready) << row.name;
        }
    }
}

TEST(CalendarPicture, NobodyWorksWhereItIsShadedAndDaysOffAreWhole) {
    const Studied held(testing::example("hall-console"));
    const auto picture = calendar_picture(held.shop);
    ASSERT_TRUE(picture);
    bool saturday = false, closed = false;
    for (const auto& shade : picture->shaded) {
        const auto day = std::chrono::floor<std::chrono::days>(shade.when.from);
        closed = closed || !shade.whole_day;
        if (std::chrono::weekday(day) == std::chrono::Saturday) {
            saturday = true;
            EXPECT_TRUE(shade.whole_day);
            EXPECT_EQ(shade.when.until - shade.when.from, std::chrono::hours(24));
        }
        for (const auto& row : picture->rows) {
            for (const Bar& bar : row.bars) {
                if (bar.kind != Bar::Kind::work) continue;
                EXPECT_TRUE(bar.when.until <= shade.when.from || shade.when.until <= bar.when.from) << row.name;
            }
        }
    }
    EXPECT_TRUE(saturday);
    EXPECT_TRUE(closed);
}

TEST(CalendarPicture, MarksTheChainThatDecidesTheEnd) {
    const Studied held(testing::example("hall-console"));
    const auto picture = calendar_picture(held.shop);
    ASSERT_TRUE(picture);
    using Link = process::ChainStep::Kind;
    for (const auto& link : held.shop.calendar.schedule->chain) {
        if (link.kind != Link::work && link.kind != Link::clamped && link.kind != Link::wait) continue;
        // Every minute of it lies under a bar that is marked; bars are in order.
        process::Moment covered = link.when.from;
        for (const Bar& bar : picture->rows[link.task].bars)
            if (bar.on_chain && bar.when.from <= covered) covered = std::max(covered, bar.when.until);
        EXPECT_GE(covered, link.when.until) << picture->rows[link.task].name;
        EXPECT_TRUE(picture->rows[link.task].on_chain);
    }
}

TEST(CalendarPicture, StagesSpanTheirStepsAndNameNone) {
    const Studied held(testing::example("hall-console"));
    const auto stages = stages_picture(held.shop);
    ASSERT_TRUE(stages);
    std::vector<std::string> names;
    process::Moment last{};
    for (const auto& row : stages->rows) {
        names.push_back(row.name);
        ASSERT_FALSE(row.bars.empty());
        // Without a gap from the first to the last.
        for (std::size_t i = 1; i < row.bars.size(); ++i)
            EXPECT_EQ(row.bars[i].when.from, row.bars[i - 1].when.until) << row.name;
        last = std::max(last, row.bars.back().when.until);
    }
    EXPECT_THAT(names, ::testing::ElementsAre("Wood and templates", "Cutting and fitting", "Gluing", "Edge and surface",
                                              "Finish", "Delivery"));
    EXPECT_EQ(last, held.shop.calendar.schedule->finish);
}

TEST(CalendarPicture, ThereIsNoneWithoutASchedule) {
    Studied held(testing::example("hall-console"));
    held.shop.calendar.schedule.reset();
    EXPECT_FALSE(calendar_picture(held.shop));
    EXPECT_FALSE(stages_picture(held.shop));
}

}  // namespace
}  // namespace seamwright::plan
