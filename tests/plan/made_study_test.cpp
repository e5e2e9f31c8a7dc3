// What was noted while a job was made, and what the shop learns from it. Numbers by hand stand beside the checks.
#include "plan/made_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "plan/work_studies.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

struct Studied {
    Document document;
    Plan plan;
    WorkStudies work;
    MadeStudy made;

    const WorkStep& step(const std::string& id) const {
        for (const auto& s : work.shop.steps)
            if (s.task.id == id) return s;
        throw std::out_of_range("no step " + id);
    }
};

Studied studied(Document document) {
    Studied out{std::move(document), {}, {}, {}};
    out.plan = plan_of(out.document);
    out.work = study_work(out.plan, out.document.job, out.document.shelf, 1'000'000);
    out.made = study_made(out.plan, out.document.job, out.document.shelf, out.work.shop, out.work.closing);
    return out;
}

job::Made noted(const std::string& step, const std::string& on) {
    job::Made made;
    made.step = step;
    made.on = *job::read_day(on);
    return made;
}
job::Made hours(const std::string& step, const std::string& on, double hours) {
    job::Made made = noted(step, on);
    made.hours = hours;
    return made;
}

shelf::WorkDone done(const std::string& job, const std::string& step, const std::string& on) {
    shelf::WorkDone done;
    done.job = job;
    done.step = step;
    done.on = on;
    return done;
}
shelf::WorkDone took(const std::string& job, const std::string& step, double hours, double usual_min) {
    shelf::WorkDone record = done(job, step, "2026-11-02");
    record.hours = hours;
    record.usual_min = usual_min;
    return record;
}

std::string all(const words::Told& told) {
    std::string text = told.title + '\n';
    for (const auto& line : told.lines) text += line + '\n';
    for (const auto& line : told.cautions) text += line + '\n';
    return text;
}

// NIST/SEMATECH e-Handbook, 1.3.5.1: the middle value, or the mean of the two in the middle (from memory).
TEST(WorkRates, TheMedianIsTheMiddle) {
    EXPECT_EQ(median({10.0, 1.0, 2.0}), 2.0);
    EXPECT_EQ(median({3.0, 10.0, 1.0, 2.0}), 2.5);
    EXPECT_EQ(median({7.0}), 7.0);
    EXPECT_THROW(median({}), std::invalid_argument);
}

TEST(WorkRates, AKindIsAnIdWithoutItsNumber) {
    EXPECT_EQ(kind_of_step("rout-12"), "rout");
    EXPECT_EQ(kind_of_step("rough-saw"), "rough-saw");
    EXPECT_EQ(kind_of_step("mill"), "mill");
    EXPECT_EQ(kind_of_step("test-"), "test-");
}

// Ratios by pocket calculator: milling 60/60 = 1, 120/60 = 2, 90/60 = 1.5 and, over two days, 600/60 = 10; sanding 3.
TEST(WorkRates, ARatePerKindOnceThereAreEnoughAndTheWholeForOthers) {
    shelf::Shelf shelf;
    shelf.work_done = {took("a", "mill", 1.0, 60.0), took("b", "mill", 2.0, 60.0), took("c", "mill", 1.5, 60.0),
                       took("d", "mill", 4.0, 60.0), took("d", "sand", 3.0, 60.0)};
    shelf.work_done.push_back(took("d", "mill", 6.0, 60.0));
    shelf.work_done.back().on = "2026-11-03";
    const WorkRates rates = rates_of(shelf, {});
    ASSERT_EQ(rates.kinds.size(), 1U);
    EXPECT_EQ(rates.kinds[0].name, "mill");
    EXPECT_EQ(rates.kinds[0].rate.count, 4U);
    EXPECT_EQ(rates.kinds[0].rate.jobs, 4U);
    EXPECT_DOUBLE_EQ(rates.pace_of("mill"), 1.75);
    EXPECT_DOUBLE_EQ(rates.kinds[0].rate.high, 10.0);
    // 1, 1.5, 2, 3, 10.
    EXPECT_DOUBLE_EQ(rates.pace_of("sand"), 2.0);
    EXPECT_DOUBLE_EQ(rates.pace_of("rout-3"), 2.0);
    EXPECT_EQ(rates_of({}, {}).pace_of("mill"), 1.0);
    // With two of a kind the whole counts: 2 and 1.5, and the usual for the third.
    shelf.work_done = {shelf.work_done[1], shelf.work_done[2]};
    EXPECT_DOUBLE_EQ(rates_of(shelf, {}).pace_of("mill"), 1.5);
    EXPECT_TRUE(rates_of(shelf, {}).kinds.empty());
    EXPECT_DOUBLE_EQ(rates_of(shelf, {}).overall->ratio, 1.75) << "told as it is";
    shelf.work_done.resize(1);
    EXPECT_DOUBLE_EQ(rates_of(shelf, {}).pace_of("mill"), 1.0);
}

TEST(WorkRates, WhatThisJobNotedItselfIsNotCountedTwice) {
    Document document = small();
    document.shelf.work_done = {took(document.job.name, "mill", 5.0, 60.0), took("other", "mill", 1.0, 60.0)};
    EXPECT_DOUBLE_EQ(rates_of(document.shelf, document.job).overall->ratio, 3.0);
    document.job.made = {hours("mill", "2026-11-02", 5.0)};
    EXPECT_DOUBLE_EQ(rates_of(document.shelf, document.job).overall->ratio, 1.0);
}

// B = 2o + b: 30.06, 30.04 and 30.08 with a cutter of 10, known to 0.02; √(0.1²/3 + 0.02²) = 0.0611.
TEST(WorkRates, AGuideFoundAgainAndAgainIsOffered) {
    Document document = small();
    shelf::Guide& guide = document.shelf.guides.front();
    shelf::Cutter& cutter = document.shelf.cutters.front();
    cutter.cutting.measured_mm = 10.0;
    for (const double offset : {10.03, 10.02, 10.04}) {
        shelf::WorkDone record = done("job " + std::to_string(offset), "rout-1", "2026-11-02");
        record.guide = guide.name;
        record.cutter = cutter.name;
        record.offset_mm = offset;
        document.shelf.work_done.push_back(record);
    }
    const auto found_in = [](const Document& d) { return rates_of(d.shelf, d.job).guides; };
    auto found = found_in(document);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_NEAR(found[0].outside_mm, 30.06, 1e-9);
    EXPECT_NEAR(found[0].within_mm, std::sqrt(0.01 / 3.0 + 0.0004), 1e-9);
    EXPECT_TRUE(found[0].offered);
    const shelf::Diameter after = outside_found(guide, found[0]);
    EXPECT_DOUBLE_EQ(*after.measured_mm, 30.06);
    EXPECT_DOUBLE_EQ(*after.measured_within_mm, 0.062);
    EXPECT_THAT(words::guide_offer_text(found[0], document.job), HasSubstr("30.06 mm"));
    // Once the shelf has it there is nothing to offer; nor where it knows better.
    guide.outside = after;
    EXPECT_FALSE(found_in(document)[0].offered);
    guide.outside.measured_mm = 30.01;
    guide.outside.measured_within_mm = 0.02;
    EXPECT_FALSE(found_in(document)[0].offered) << "0.05 off, of √(0.061² + 0.02²) = 0.064";
    guide.outside.measured_mm = 29.98;
    EXPECT_TRUE(found_in(document)[0].offered) << "0.08 off";
    // Two are too few, and one that stands out is none of them.
    guide.outside.measured_mm.reset();
    document.shelf.work_done[2].offset_mm = 10.2;
    EXPECT_FALSE(found_in(document)[0].agree);
    document.shelf.work_done.pop_back();
    EXPECT_FALSE(found_in(document)[0].agree);
}

TEST(WorkRates, GapsOfOneGuideAndCutterThatAllGoOneWayAreTold) {
    shelf::Shelf shelf;
    for (const double more : {0.08, 0.05, 0.11}) {
        shelf::WorkDone record = done("job", "fit-1", "2026-11-0" + std::to_string(shelf.work_done.size() + 1));
        record.guide = "30 mm guide";
        record.cutter = "10 mm cutter";
        record.gap_told_mm = 0.04;
        record.gap_mm = 0.04 + more;
        shelf.work_done.push_back(record);
    }
    const auto gaps = rates_of(shelf, {}).gaps;
    ASSERT_EQ(gaps.size(), 1U);
    EXPECT_NEAR(gaps[0].more_mm, 0.08, 1e-9);
    EXPECT_TRUE(gaps[0].same_way);
    EXPECT_THAT(all(words::rates_text(rates_of(shelf, {}), {})), HasSubstr("0.08 mm wider than told, 3 of 3 seams"));
    shelf.work_done[1].gap_mm = 0.02;
    EXPECT_FALSE(rates_of(shelf, {}).gaps[0].same_way);
    // In clamps the wood gives: such gaps tell nothing of the tools.
    for (auto& record : shelf.work_done) record.step = "glue-1";
    EXPECT_TRUE(rates_of(shelf, {}).gaps.empty());
}

TEST(MadeStudy, CountsWhatIsDoneAndWhatIsToGo) {
    Document document = small();
    const Studied before = studied(document);
    EXPECT_EQ(before.made.done, 0U);
    double minutes = 0.0;
    for (const auto& step : before.work.shop.steps) minutes += step.task.hands_on_min;
    EXPECT_NEAR(before.made.hours_to_go, minutes / 60.0, 1e-9);
    // As long as usual, so that the pace stays.
    const double usual = before.step("mill").usual_min / 60.0;
    document.job.made = {hours("mill", "2027-01-12", 0.25 * usual), hours("mill", "2027-01-13", 0.75 * usual),
                         noted("fit-9", "2027-01-14")};
    const Studied after = studied(document);
    EXPECT_EQ(after.made.done, 1U);
    EXPECT_NEAR(after.made.hours_noted, usual, 1e-9);
    EXPECT_NEAR(after.made.hours_to_go, (minutes - before.step("mill").task.hands_on_min) / 60.0, 1e-9);
    ASSERT_TRUE(after.made.entries[0].hours);
    EXPECT_NEAR(after.made.entries[0].hours->ratio(), 1.0, 1e-9);
    EXPECT_FALSE(after.made.entries[1].hours) << "told once, with the first day";
    EXPECT_EQ(after.made.strangers, std::vector<std::size_t>{2});
    EXPECT_THAT(words::made_progress_text(after.made), HasSubstr("1 of "));
}

TEST(MadeStudy, AGapIsHeldAgainstWhatNinetyFiveInAHundredKeepTo) {
    Document document = small();
    const Studied before = studied(document);
    ASSERT_TRUE(before.work.closing[0]);
    const auto& t = before.work.closing[0]->tolerance;
    const auto gap_of = [&](double mm) {
        document.job.made = {noted("fit-1", "2027-01-12")};
        document.job.made[0].gap_mm = mm;
        return *studied(document).made.entries[0].gap;
    };
    const GapFound good = gap_of(t.sampled.most_mm + 0.019), wide = gap_of(t.sampled.most_mm + 0.021);
    EXPECT_TRUE(good.inside);
    EXPECT_FALSE(wide.inside);
    EXPECT_EQ(good.told_mm, t.sampled.half_mm);
    EXPECT_EQ(good.rider, document.shelf.guides[0].name);
    EXPECT_THAT(all(words::entry_text(studied(document).made.entries[0], document.job)), HasSubstr("more than told"));
    document.job.made[0].gap_mm = 0.5;
    EXPECT_THAT(all(words::entry_text(studied(document).made.entries[0], document.job)),
                HasSubstr("wider than your limit"));
}

// Guide 30, cutter 10, both as marked (± 0.10): (30 − 10)/2 = 10. Squares: reading 0.05², half of each diameter 0.05²,
// the guide beside the middle 0.10², its play 0.05²; together 0.02, so ± 0.141. Of 0.20 too much an eighth each is the
// diameters', twice that in diameter: 0.05, known to 0.10·√(7/8) = 0.094.
TEST(MadeStudy, AnOffsetTellsWhichToolMayBeOff) {
    Document document = small();
    document.job.made = {noted("rout-1", "2027-01-12")};
    document.job.made[0].offset_mm = 10.2;
    const Studied s = studied(document);
    ASSERT_TRUE(s.made.entries[0].offset);
    const OffsetFound& o = *s.made.entries[0].offset;
    EXPECT_NEAR(o.told_mm, 10.0, 1e-12);
    EXPECT_NEAR(o.explained_mm, std::sqrt(0.02), 1e-9);
    EXPECT_FALSE(o.inside);
    EXPECT_TRUE(o.test_cut);
    EXPECT_NEAR(o.rider_more_mm, 0.05, 1e-9);
    EXPECT_NEAR(o.cutter_more_mm, -0.05, 1e-9);
    EXPECT_NEAR(o.rider_within_mm, 0.1 * std::sqrt(7.0 / 8.0), 1e-9);
    const std::string text = all(words::entry_text(s.made.entries[0], document.job));
    EXPECT_THAT(text, HasSubstr("0.20 mm more"));
    EXPECT_THAT(text, HasSubstr("0.05 mm ± 0.09 mm larger"));
    EXPECT_THAT(text, HasSubstr("0.05 mm ± 0.09 mm smaller"));
    EXPECT_THAT(text, HasSubstr("Make a test cut"));
    // Within it nothing is to be done.
    document.job.made[0].offset_mm = 10.14;
    const Studied within = studied(document);
    EXPECT_TRUE(within.made.entries[0].offset->inside);
    EXPECT_THAT(all(words::entry_text(within.made.entries[0], document.job)), Not(HasSubstr("test cut")));
    // The guide known to 0.02 and in its place: 0.05² + 0.01² + 0.05² + 0.03² + 0.05² = 0.0085.
    document.shelf.guides[0].outside.measured_mm = 30.1;
    document.shelf.guides[0].off_centre = shelf::OffCentre{0.0, 0.0, 0.03};
    const Studied known = studied(document);
    EXPECT_NEAR(known.made.entries[0].offset->told_mm, 10.05, 1e-12);
    EXPECT_NEAR(known.made.entries[0].offset->explained_mm, std::sqrt(0.0085), 1e-9);
}

TEST(MadeStudy, AMeasurementWithNothingToHoldItAgainstIsSaid) {
    Document document = small();
    document.job.made = {noted("mill", "2027-01-12")};
    document.job.made[0].gap_mm = 0.3;
    const Studied s = studied(document);
    EXPECT_FALSE(s.made.entries[0].gap);
    EXPECT_THAT(all(words::entry_text(s.made.entries[0], document.job)), HasSubstr("tells nothing"));
}

TEST(MadeStudy, LitresAreToldCoatByCoatAndLearntFromThreeCoatsOn) {
    Document document = small();
    document.job.finish = job::Finish{"oil-varnish", "brush", 3};
    const Studied before = studied(document);
    ASSERT_TRUE(before.work.shop.finish);
    const process::Range table = before.work.shop.finish->amounts.litres;
    process::Range sum{0.0, 0.0};
    std::vector<std::string> coats;
    for (const auto& step : before.work.shop.steps) {
        if (!step.litres) continue;
        sum.low += step.litres->low;
        sum.high += step.litres->high;
        coats.push_back(step.task.id);
    }
    EXPECT_NEAR(sum.low, table.low, 1e-9);
    EXPECT_NEAR(sum.high, table.high, 1e-9);
    ASSERT_GE(coats.size(), 3U);

    // Half as much again as the middle of what was told, three coats long.
    for (std::size_t i = 0; i < 3; ++i) {
        const process::Range told = *before.step(coats[i]).litres;
        document.job.made.push_back(noted(coats[i], "2027-01-1" + std::to_string(i)));
        document.job.made.back().litres = 1.5 * 0.5 * (told.low + told.high);
    }
    const Studied measured = studied(document);
    ASSERT_TRUE(measured.made.entries[0].litres);
    const auto records = work_done_of(measured.made, document.job, measured.work.shop);
    ASSERT_EQ(records.size(), 3U);
    EXPECT_EQ(records[0].system, "oil-varnish");

    Document next = small();
    next.job.name = "the next one";
    next.job.finish = document.job.finish;
    next.shelf.work_done = records;
    const Studied learnt = studied(next);
    EXPECT_NEAR(learnt.work.shop.finish->spread, 1.5, 1e-9);
    EXPECT_NEAR(learnt.work.shop.finish->amounts.litres.high, 1.5 * table.high, 1e-9);
    EXPECT_GE(learnt.work.shop.finish->amounts.bought_l, 1.5 * table.high - 1e-9);
    std::string text;
    for (const auto& told : words::finish_text(learnt.work.shop, next.job)) text += all(told);
    EXPECT_THAT(text, HasSubstr("1.50 times the table"));
    // What is learnt does not stand on what was learnt before.
    next.job.made = document.job.made;
    const Studied again = studied(next);
    EXPECT_NEAR(*work_done_of(again.made, next.job, again.work.shop)[0].litres_told, *records[0].litres_told, 1e-9);
    // Two coats are too few.
    next.job.made.clear();
    next.shelf.work_done.pop_back();
    EXPECT_EQ(studied(next).work.shop.finish->spread, 1.0);
}

TEST(MadeStudy, WhatIsKeptSetsThePaceOfOtherJobs) {
    Document document = small();
    const Studied before = studied(document);
    for (const char* step : {"mill", "rough-saw", "fit-1"}) {
        document.job.made.push_back(hours(step, "2027-01-12", 2.0 * before.step(step).usual_min / 60.0));
        document.job.made.back().note = std::string("on ") + step;
    }
    document.job.made.push_back(hours("mill", "2027-01-12", 0.0));
    document.job.made.back().note = "belt torn";
    const Studied s = studied(document);
    const auto records = work_done_of(s.made, document.job, s.work.shop);
    ASSERT_EQ(records.size(), 3U) << "one day's entries of a step are one";
    EXPECT_EQ(records[0].note, "on mill; belt torn");
    EXPECT_DOUBLE_EQ(*records[0].usual_min, before.step("mill").usual_min);

    Document next = small();
    next.job.name = "the next one";
    next.shelf.work_done = records;
    const Studied learnt = studied(next);
    EXPECT_EQ(learnt.work.shop.pace, 1.0);
    for (std::size_t i = 0; i < learnt.work.shop.steps.size(); ++i)
        EXPECT_EQ(learnt.work.shop.steps[i].task.hands_on_min,
                  static_cast<int>(std::ceil(2.0 * before.work.shop.steps[i].usual_min)));
    ASSERT_TRUE(learnt.work.shop.calendar.schedule && before.work.shop.calendar.schedule);
    EXPECT_GT(learnt.work.shop.calendar.schedule->delivery, before.work.shop.calendar.schedule->delivery);
    std::string text;
    for (const auto& told : words::calendar_text(learnt.work.shop)) text += all(told);
    EXPECT_THAT(text, HasSubstr("2.00 times the usual (the middle of 3 steps of 1 job"));
    // The same bytes each time.
    EXPECT_EQ(all(words::rates_text(learnt.work.shop.rates, next.job)),
              all(words::rates_text(studied(next).work.shop.rates, next.job)));
}

TEST(MadeStudy, StepsHaveWordsWithoutTheirPlan) {
    Document document = small();
    EXPECT_EQ(words::step_text("rout-1", document.job), "routing edges of " + document.job.seams[0].name);
    EXPECT_EQ(words::step_text("rout-7", document.job), "routing edges 7");
    EXPECT_EQ(words::step_text("mill", document.job), "jointing and planing");
    EXPECT_EQ(words::step_text("of my own", document.job), "of my own");
    // Every step there is has words of its own.
    for (const std::string& name : example_names()) {
        for (const auto& step : studied(example(name)).work.shop.steps)
            EXPECT_NE(words::step_kind_text(kind_of_step(step.task.id)), kind_of_step(step.task.id)) << step.task.id;
    }
}

}  // namespace
}  // namespace seamwright::plan::testing
