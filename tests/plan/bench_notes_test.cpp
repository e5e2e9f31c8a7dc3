#include "plan/bench_notes.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/studied.h"

namespace seamwright::plan {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::Studied;

TEST(BenchNotes, EveryStepTellsWhatIsTakenHowToSeeItIsWellAndWhatComesNext) {
    for (const char* name : {"hall-console", "bench-top", "round-table", "stack-of-boards"}) {
        const Studied held(testing::example(name));
        for (std::size_t i = 0; i < held.shop.steps.size(); ++i) {
            const BenchNotes notes = bench_notes(held.inputs(), i);
            const std::string& step = held.shop.steps[i].task.name;
            EXPECT_FALSE(notes.with.empty()) << step;
            EXPECT_FALSE(notes.how.empty()) << step;
            EXPECT_FALSE(notes.check.empty()) << step;
            EXPECT_FALSE(notes.next.empty()) << step;
            for (const auto* lines : {&notes.first, &notes.with, &notes.how, &notes.check})
                for (const std::string& line : *lines) {
                    EXPECT_TRUE(line.ends_with('.')) << line;
                    EXPECT_EQ(line.find("  "), std::string::npos) << line;
                }
        }
    }
}

TEST(BenchNotes, TheSawLineIsMeasuredFromTheEdgeThatIsOnTheBench) {
    const Studied held(testing::example("hall-console"));
    for (std::size_t i = 0; i < held.shop.steps.size(); ++i) {
        const std::string& id = held.shop.steps[i].task.id;
        const BenchNotes notes = bench_notes(held.inputs(), i);
        // Guide 30, cutter 10: the templates lie (30 - 10) / 2 inside the seam, on either side of it; 6 stay outside.
        if (id == "rough-saw") {
            EXPECT_THAT(notes.how, Contains(HasSubstr(": 16.0 mm outside the template's edge")));
        }
        if (id == "templates-1") {
            EXPECT_THAT(notes.check, Contains(HasSubstr("a block 20.0 mm thick")));
        }
    }
}

// Hardwax oil wants its next coat within 48 h (data/finishing.csv), and a weekend lies between.
TEST(BenchNotes, ACoatThatComesLateIsSandedFirst) {
    const Studied held(testing::example("hall-console"));
    ASSERT_TRUE(held.shop.calendar.schedule);
    const auto& tasks = held.shop.calendar.schedule->tasks;
    const auto at = [&](const std::string& id) {
        std::size_t i = 0;
        while (held.shop.steps[i].task.id != id) ++i;
        return i;
    };
    const auto told = [&](const std::string& id) {
        const BenchNotes notes = bench_notes(held.inputs(), at(id));
        return std::any_of(notes.first.begin(), notes.first.end(),
                           [](const std::string& line) { return line.find("sand that lightly") != std::string::npos; });
    };
    EXPECT_GT((tasks[at("finish-3")].start - tasks[at("finish-1")].end).count(), 48 * 60);
    EXPECT_TRUE(told("finish-3"));
    EXPECT_FALSE(told("finish-1"));
}

TEST(BenchNotes, TheGlueUpHasItsGramsItsClampsAndTheirOrder) {
    const Studied held(testing::example("hall-console"));
    for (std::size_t i = 0; i < held.shop.steps.size(); ++i) {
        if (!held.shop.steps[i].task.id.starts_with("glue-")) continue;
        const BenchNotes notes = bench_notes(held.inputs(), i);
        double grams = 0.0;
        for (const std::size_t s : held.shop.steps[i].seams) grams += held.closing[s]->glue->to_mix_g;
        ASSERT_GT(grams, 0.0);
        EXPECT_THAT(notes.with, Contains(HasSubstr(std::to_string(std::lround(grams)) + " g ready")));
        EXPECT_THAT(notes.with, Contains(HasSubstr(std::to_string(held.closing[0]->pressing->row.count) + " clamps")));
        EXPECT_THAT(notes.how, Contains(HasSubstr("one in the middle first")));
    }
}

std::vector<std::string> titles(const Studied& held) {
    std::vector<std::string> out;
    for (const Trial& trial : trials(held.inputs())) out.push_back(trial.title);
    return out;
}

TEST(Trials, OnlyThoseThatBelongToTheJob) {
    job::Document document = testing::example("hall-console");
    const auto all = titles(Studied(document));
    EXPECT_THAT(all, Contains("Test cut: 30 mm guide with 10 mm straight cutter"));
    EXPECT_THAT(all, Contains("Routed disc: Walnut, black"));
    EXPECT_THAT(all, Contains("Routed disc: Maple, sugar"));
    EXPECT_THAT(all, Contains(HasSubstr("Finish: ")));
    EXPECT_THAT(all, Contains(HasSubstr("Edge: round-over")));
    document.job.finish.reset();
    document.job.edges.reset();
    const auto fewer = titles(Studied(document));
    EXPECT_THAT(fewer, Not(Contains(HasSubstr("Finish: "))));
    EXPECT_THAT(fewer, Not(Contains(HasSubstr("Edge: "))));
}

TEST(Trials, EachSaysWhyHowOnWhatWhatToWriteAndWhatThen) {
    for (const char* name : {"hall-console", "bench-top", "round-table", "stack-of-boards"}) {
        const auto all = trials(Studied(testing::example(name)).inputs());
        EXPECT_GE(all.size(), 5U);
        for (const Trial& trial : all) {
            for (const std::string* text : {&trial.why, &trial.on, &trial.how, &trial.then})
                EXPECT_FALSE(text->empty()) << trial.title;
            EXPECT_FALSE(trial.write_down.empty()) << trial.title;
        }
    }
}

}  // namespace
}  // namespace seamwright::plan
