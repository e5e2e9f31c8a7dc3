#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "edit_jobs.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using edit_jobs::edited;
using edit_jobs::refused;

const std::string begin = R"([{"insert": "/shelf/test_cuts/-", "value": {"guide": "30 mm guide",
    "cutter": "10 mm straight cutter", "on": "2026-03-09", "readings": {}}}])";

/// B 30.06, b 9.94, the cutter 0.08 to the right.
OpenJob measured() {
    OpenJob job = edited(edit_jobs::opened(edit_jobs::example("hall-console")), begin).job;
    const char* const readings[] = {"9.94",  "9.94",  "9.94",  "10.06", "10.06", "10.06", "10.06",
                                    "10.06", "10.06", "10.14", "10.12", "10.06", "10.00", "9.98"};
    for (int i = 0; i < 14; ++i) {
        job = edited(job, R"([{"set": "/shelf/test_cuts/0/readings/)" + std::to_string(i + 1) + R"(", "value": ")" +
                              readings[i] + R"("}])")
                  .job;
    }
    return job;
}

TEST(Learn, TakesOverWhatTheTestCutTells) {
    const auto after = edited(measured(), R"([{"learn": "/shelf/test_cuts/0"}])");
    EXPECT_TRUE(after.shelf_changed);
    EXPECT_EQ(after.says, "Sizes of 30 mm guide and 10 mm straight cutter taken over from their test cut");
    const auto& shelf = after.job.document().shelf;
    EXPECT_NEAR(shelf.guides[0].outside.measured_mm.value(), 30.06, 0.01);
    EXPECT_NEAR(shelf.cutters[0].cutting.measured_mm.value(), 9.94, 0.005);
    EXPECT_NEAR(shelf.guides[0].off_centre.value().x_mm, 0.08, 0.01);
    EXPECT_GT(shelf.cutters[0].cutting.measured_within_mm.value(), 0.0);
    ASSERT_EQ(shelf.test_cuts.size(), 1U);
    EXPECT_EQ(shelf.test_cuts[0].readings_mm[9], 10.14);
    // Told in the maker's words, to the hundredth.
    EXPECT_EQ(edited(measured(), R"([{"set": "/shelf/test_cuts/0/readings/2", "value": "9.95"}])").says,
              "Reading 2 of the test cut of 30 mm guide and 10 mm straight cutter: 9.95 mm");
}

TEST(Learn, WorksInInches) {
    OpenJob job = edited(measured(), R"([{"set": "/unit", "value": "in"}])").job;
    job = edited(job, R"([{"learn": "/shelf/test_cuts/0"}])").job;
    EXPECT_NEAR(job.document().shelf.guides[0].outside.measured_mm.value(), 30.06, 0.01);
    EXPECT_EQ(job.document().shelf.test_cuts[0].readings_mm[9].value(), 10.14);
}

TEST(Learn, ASizeMeasuredByHandIsKnownAsWellAsAnyOther) {
    const OpenJob learned = edited(measured(), R"([{"learn": "/shelf/test_cuts/0"}])").job;
    const OpenJob anew = edited(learned, R"([{"set": "/shelf/cutters/0/measured", "value": "9.9"}])").job;
    EXPECT_FALSE(anew.document().shelf.cutters[0].cutting.measured_within_mm);
    EXPECT_TRUE(anew.document().shelf.guides[0].outside.measured_within_mm);
    const OpenJob open = edited(learned, R"([{"set": "/shelf/cutters/0/measured", "value": ""}])").job;
    EXPECT_FALSE(open.document().shelf.cutters[0].cutting.measured_mm);
    EXPECT_FALSE(open.document().shelf.cutters[0].cutting.measured_within_mm);
}

TEST(Learn, FollowsTheNamesOfItsTools) {
    const OpenJob job = edited(measured(), R"([{"set": "/shelf/guides/0/name", "value": "large guide"},
                               {"set": "/shelf/cutters/0/name", "value": "ten"}])")
                            .job;
    EXPECT_EQ(job.document().shelf.test_cuts[0].guide, "large guide");
    EXPECT_EQ(job.document().shelf.test_cuts[0].cutter, "ten");
}

TEST(Learn, RefusesWhatTellsNothing) {
    const OpenJob empty = edited(edit_jobs::opened(edit_jobs::example("hall-console")), begin).job;
    EXPECT_EQ(refused(empty, R"([{"learn": "/shelf/test_cuts/0"}])").front().pointer, "/shelf/test_cuts/0/readings");
    EXPECT_EQ(refused(empty, R"([{"learn": "/shelf/test_cuts/1"}])").front().pointer, "/shelf/test_cuts/1");
    EXPECT_EQ(refused(empty, R"([{"learn": "/shelf/guides/0"}])").front().pointer, "/shelf/guides/0");
    const OpenJob wrong = edited(measured(), R"([{"set": "/shelf/test_cuts/0/readings/5", "value": "10.6"}])").job;
    EXPECT_THAT(refused(wrong, R"([{"learn": "/shelf/test_cuts/0"}])").front().found, testing::HasSubstr("place 5"));
    const OpenJob gone = edited(measured(), R"([{"remove": "/shelf/guides/0"}])").job;
    EXPECT_EQ(refused(gone, R"([{"learn": "/shelf/test_cuts/0"}])").front().pointer, "/shelf/test_cuts/0/guide");
}

}  // namespace
