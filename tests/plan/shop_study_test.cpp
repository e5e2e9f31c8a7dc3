#include "plan/shop_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "edge_jobs.h"
#include "studied.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;

Studied studied(Document document) {
    return Studied(std::move(document));
}

std::string all(const std::vector<words::Told>& parts) {
    std::string text;
    for (const auto& told : parts) {
        text += told.title + '\n';
        for (const auto& line : told.lines) text += line + '\n';
        for (const auto& line : told.cautions) text += line + '\n';
    }
    return text;
}

TEST(Shop, EveryStepWaitsForWhatItNeedsAndNobodyDoesTwoThingsAtOnce) {
    std::vector<std::string> names = example_names();
    names.push_back("stack-of-boards");
    for (const std::string& name : names) {
        const Studied s = studied(example(name));
        ASSERT_TRUE(s.shop.calendar.schedule) << name << all(words::calendar_text(s.shop));
        const auto& planned = s.shop.calendar.schedule->tasks;
        EXPECT_TRUE(std::is_sorted(planned.begin(), planned.end(), [](const auto& a, const auto& b) {
            return a.start < b.start;
        })) << name;
        std::map<std::string, std::size_t> number;
        for (std::size_t i = 0; i < s.shop.steps.size(); ++i) {
            const auto& task = s.shop.steps[i].task;
            EXPECT_TRUE(number.emplace(task.id, i).second) << name << task.id;
            for (const auto& need : task.needs) {
                // Steps stand in the order of the work.
                ASSERT_TRUE(number.contains(need.task)) << name << ": " << task.id << " needs " << need.task;
                const auto& before = planned[number[need.task]];
                const auto from = need.after == process::After::ready        ? before.ready
                                  : need.after == process::After::clamps_off ? before.clamps_off
                                                                             : before.end;
                EXPECT_GE(planned[i].start, from) << name << ": " << task.id;
            }
        }
        // One person.
        std::vector<process::Stretch> work;
        for (const auto& p : planned)
            for (const auto& stretch : p.work) work.push_back(stretch);
        std::sort(work.begin(), work.end(), [](const auto& a, const auto& b) { return a.from < b.from; });
        for (std::size_t i = 0; i + 1 < work.size(); ++i) EXPECT_LE(work[i].until, work[i + 1].from) << name;
    }
}

// An edge that runs across two pieces cannot be routed before they are one.
TEST(Shop, AnEdgeAcrossSeveralPiecesIsRoutedOnceTheyAreGlued) {
    const Studied s = studied(testing::ring_table());
    ASSERT_TRUE(s.shop.calendar.schedule);
    const auto at = [&](const std::string& id) {
        const auto found = std::find_if(s.shop.steps.begin(), s.shop.steps.end(),
                                        [&](const WorkStep& step) { return step.task.id == id; });
        EXPECT_NE(found, s.shop.steps.end()) << id;
        return static_cast<std::size_t>(found - s.shop.steps.begin());
    };
    const auto& planned = s.shop.calendar.schedule->tasks;
    ASSERT_EQ(s.plan.seams[0].kind, job::SeamKind::edging);
    EXPECT_GE(planned[at("rout-1")].start, planned[at("glue-1")].clamps_off);
    // Its field splits: told where it is glued.
    EXPECT_THAT(s.shop.steps[at("glue-2")].cautions, ::testing::Contains(::testing::HasSubstr("Do not glue it on")));
}

TEST(Shop, GluingAndFinishingComeInTheirOrder) {
    const Studied s = studied(example("stack-of-boards"));
    std::vector<std::string> ids;
    for (const auto& step : s.shop.steps) ids.push_back(step.task.id);
    const auto at = [&](const std::string& id) { return std::find(ids.begin(), ids.end(), id) - ids.begin(); };
    EXPECT_LT(at("boards"), at("mill"));
    EXPECT_LT(at("mill"), at("rough-saw"));
    EXPECT_LT(at("rough-saw"), at("rout-1"));
    EXPECT_LT(at("rout-1"), at("glue-1"));
    EXPECT_LT(at("glue-1"), at("outline"));
    EXPECT_LT(at("outline"), at("edges"));
    EXPECT_LT(at("edges"), at("sand"));
    EXPECT_LT(at("sand"), at("finish-1"));
    EXPECT_EQ(ids.back(), "deliver");
    // PVA comes to full strength in a day before anything stresses the seam.
    for (const auto& step : s.shop.steps) {
        if (step.task.id != "glue-1") continue;
        EXPECT_TRUE(step.task.one_go);
        EXPECT_GE(step.task.ready_wait_min, 24 * 60);
    }
}

// A rectangle of 1000 × 400 × 30 with square edges, by pocket calculator.
TEST(Shop, FinishIsReckonedForTheTrueArea) {
    Document document = small();
    document.job.finish = job::Finish{"oil-varnish", "brush", 3};
    const Studied s = studied(document);
    ASSERT_TRUE(s.shop.edges.areas);
    EXPECT_NEAR(s.shop.edges.areas->top_mm2, 400'000.0, 1e-6);
    EXPECT_NEAR(s.shop.edges.areas->edge_mm2, 2800.0 * 30.0, 1e-6);
    ASSERT_TRUE(s.shop.finish);
    ASSERT_EQ(s.shop.finish->amounts.coats.size(), 3U);
    EXPECT_NEAR(s.shop.finish->amounts.coats[0].area_m2, 0.4 + 0.4 + 0.084, 1e-9);
    EXPECT_GE(s.shop.finish->amounts.bought_l, s.shop.finish->amounts.litres.high - 1e-12);
    // Both ends, grain along x: two edges of 400.
    EXPECT_NEAR(studied(two_pieces()).shop.edges.end_grain_mm, 800.0, 20.0);
}

TEST(Shop, BoardsArePlanedThickEnoughToGetTheTopFlat) {
    Document document = example("stack-of-boards");
    for (auto& board : document.shelf.boards) board.planed_mm = board.thickness_mm = 40.0;
    const Studied s = studied(document);
    const auto& flat = s.shop.flattening;
    // To the next tenth of a millimetre.
    EXPECT_GE(flat.milled_mm, document.job.thickness_mm + flat.plan.spare_mm - 1e-6);
    EXPECT_LT(flat.milled_mm, document.job.thickness_mm + flat.plan.spare_mm + 0.1);
    EXPECT_NEAR(10.0 * flat.milled_mm, std::round(10.0 * flat.milled_mm), 1e-6);
    EXPECT_TRUE(flat.thin.empty());
    const auto at = [&](const char* id) {
        const auto found = std::find_if(s.shop.steps.begin(), s.shop.steps.end(),
                                        [&](const WorkStep& step) { return step.task.id == id; });
        EXPECT_NE(found, s.shop.steps.end()) << id;
        return found;
    };
    EXPECT_LT(at("flatten"), at("outline"));
    EXPECT_THAT(at("mill")->lines.front(), HasSubstr(units::show(flat.milled_mm, document.job.style)));

    for (auto& board : document.shelf.boards) board.planed_mm = document.job.thickness_mm + 0.2;
    const Studied thin = studied(document);
    ASSERT_FALSE(thin.shop.flattening.thin.empty());
    EXPECT_THAT(all({words::flattening_text(thin.shop, document.job)}),
                HasSubstr(thin.shop.flattening.thin.front().name + " gives no more than 34.2 mm"));
}

TEST(Shop, CrossedFibresAreNotPlaned) {
    Document document = two_pieces();
    EXPECT_EQ(studied(document).shop.flattening.plan.way, process::FlatteningWay::hand_plane);
    document.job.pieces[1].grain_rad = geometry::pi / 4.0;
    EXPECT_EQ(studied(document).shop.flattening.plan.way, process::FlatteningWay::bridge);
    // Half a turn is the same way.
    document.job.pieces[1].grain_rad = geometry::pi;
    EXPECT_EQ(studied(document).shop.flattening.plan.way, process::FlatteningWay::hand_plane);
}

TEST(Shop, AnUnknownFinishIsNamedWithThoseThatAreKnown) {
    Document document = small();
    document.job.finish = job::Finish{"magic", "", 0};
    const std::string text = all(words::finish_text(studied(document).shop, document.job));
    EXPECT_THAT(text, HasSubstr("There is no finish called \"magic\"; known are"));
    EXPECT_THAT(text, HasSubstr("hardwax-oil"));
}

TEST(Shop, OwnHoursSetThePace) {
    Document document = example("hall-console");
    const Studied before = studied(document);
    EXPECT_EQ(before.shop.pace, 1.0);
    double minutes = 0.0;
    for (const auto& step : before.shop.steps)
        if (step.task.id == "mill") minutes = step.usual_min;
    ASSERT_GT(minutes, 0.0);
    job::Made made;
    made.step = "mill";
    made.on = *job::read_day("2027-01-12");
    made.hours = 2.0 * minutes / 60.0;
    document.job.made = {made};
    const Studied after = studied(document);
    EXPECT_NEAR(after.shop.pace, 2.0, 1e-9);
    for (std::size_t i = 0; i < after.shop.steps.size(); ++i)
        EXPECT_EQ(after.shop.steps[i].task.hands_on_min,
                  static_cast<int>(std::ceil(2.0 * before.shop.steps[i].usual_min)));
    EXPECT_THAT(all(words::calendar_text(after.shop)), HasSubstr("2.00 times the usual"));
}

TEST(Shop, TheSumIsThatOfItsLines) {
    const Studied s = studied(example("stack-of-boards"));
    std::int64_t sum = 0;
    bool complete = true;
    for (const auto& line : s.shop.costs.lines) {
        if (line.amount) sum += line.amount->hundredths;
        complete = complete && line.amount.has_value();
    }
    EXPECT_EQ(sum, s.shop.costs.sum.hundredths);
    EXPECT_TRUE(complete);
    EXPECT_TRUE(s.shop.costs.complete);
    // Without a rate for labour the sum says what is missing.
    Document document = example("stack-of-boards");
    document.job.prices->labour_per_hour.reset();
    const Studied open = studied(document);
    EXPECT_FALSE(open.shop.costs.complete);
    EXPECT_THAT(words::cost_text(open.shop, document.job).lines.front(), HasSubstr("walnut 1"));
}

TEST(Shop, WithoutAFirstDayDaysAreCounted) {
    Document document = example("hall-console");
    document.job.calendar->start.reset();
    const Studied s = studied(document);
    EXPECT_FALSE(s.shop.dated);
    const std::string text = all(words::calendar_text(s.shop));
    EXPECT_THAT(text, HasSubstr("Day 1, a Monday"));
    EXPECT_THAT(text, HasSubstr("first_day"));
}

TEST(Shop, DaysOffAreKeptFree) {
    Document document = example("hall-console");
    document.job.calendar->off = {*job::read_day("2027-01-12")};
    const Studied s = studied(document);
    ASSERT_TRUE(s.shop.calendar.schedule);
    for (const auto& task : s.shop.calendar.schedule->tasks)
        for (const auto& work : task.work)
            EXPECT_NE(job::show(std::chrono::year_month_day(std::chrono::floor<std::chrono::days>(work.from))),
                      "2027-01-12");
}

TEST(Shop, TheSameTwice) {
    const Document document = example("round-table");
    EXPECT_EQ(all(words::calendar_text(studied(document).shop)), all(words::calendar_text(studied(document).shop)));
}

}  // namespace
}  // namespace seamwright::plan::testing
