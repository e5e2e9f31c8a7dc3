#include <gtest/gtest.h>

#include "edit_jobs.h"

namespace {

using namespace seamwright;
using edit::OpenJob;

TEST(Open, KeepsTheMakersOwnTextsAndTheOrderOfNames) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("bench-top"));
    EXPECT_EQ(job.written_at("/top/outline/rectangle/length"), "59 1/2 in");
    EXPECT_EQ(job.written_at("/seams/0/curve/arc/from/0"), "-1 1/4 in");
    EXPECT_EQ(job.written_at("/pieces/0/at/0"), "29.75");
    EXPECT_EQ(job.written_at("/pieces/0/at"), std::nullopt);
    EXPECT_EQ(job.written_at("/nowhere"), std::nullopt);
    EXPECT_LT(job.text().find("\"seams\""), job.text().find("\"shelf\""));
    EXPECT_EQ(job.text().back(), '\n');
}

TEST(Open, WritesATextThatReadsTheSameAndIsWrittenTheSame) {
    for (const char* name : {"bench-top", "hall-console", "round-table"}) {
        const OpenJob job = edit_jobs::opened(edit_jobs::example(name));
        const OpenJob again = edit_jobs::opened(job.text());
        EXPECT_EQ(again.text(), job.text());
        EXPECT_EQ(again.plan().inputs_sha256, job.plan().inputs_sha256);
        EXPECT_FALSE(job::any_error(job.problems())) << name;
        EXPECT_FALSE(job.plan().seams.empty());
    }
}

TEST(Open, RefusesWhatCannotBeRead) {
    const auto result = OpenJob::open(R"({"seamwright": 1})");
    const auto* refused = std::get_if<edit::Refused>(&result);
    ASSERT_NE(refused, nullptr);
    EXPECT_FALSE(refused->problems.empty());
}

TEST(Open, FilesAreNotFetchedAndTheRemedySaysWhatToDo) {
    std::string text = edit_jobs::example("hall-console");
    const std::string wave = R"("wave": {)";
    const auto at = text.find(wave);
    ASSERT_NE(at, std::string::npos);
    const auto end = text.find("]\n        }", at) + 11;
    text.replace(at, end - at, R"("points": { "file": "seam.csv" })");
    const auto result = OpenJob::open(text);
    const auto* refused = std::get_if<edit::Refused>(&result);
    ASSERT_NE(refused, nullptr);
    EXPECT_NE((refused->problems.front().found + refused->problems.front().remedy).find("csv"), std::string::npos)
        << job::show(refused->problems.front());
}

TEST(Blank, IsReadableInBothUnitsWithTheGivenShelf) {
    const std::string shelf = edit::shelf_of(edit_jobs::example("hall-console"));
    for (const auto unit : {units::Unit::millimetre, units::Unit::inch}) {
        const OpenJob job = edit_jobs::opened(edit::blank_document(unit, shelf));
        EXPECT_EQ(job.document().shelf.guides.size(), 4u);
        EXPECT_TRUE(job.document().job.seams.empty());
        EXPECT_EQ(job.document().job.style.unit, unit);
        EXPECT_FALSE(job::any_error(job.problems()));
        EXPECT_GT(job.plan().area_mm2, 0.0);
    }
    EXPECT_EQ(edit::shelf_of(edit::blank_document(units::Unit::inch, shelf)), shelf);
}

}  // namespace
