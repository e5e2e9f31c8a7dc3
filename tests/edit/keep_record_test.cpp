// Notes of the work by edits, one by one, and kept for other jobs.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "edit_jobs.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using edit_jobs::edited;
using edit_jobs::opened;
using edit_jobs::refused;
using testing::HasSubstr;

const std::string milled = R"({"insert": "/made/-", "value": {"step": "mill", "on": "2027-01-12", "hours": "1.5"}})";
const std::string fitted = R"({"insert": "/made/-", "value": {"step": "fit-1", "on": "2027-01-14", "gap": "0.12 mm",
    "note": "tight at the far end"}})";

OpenJob console() {
    return opened(edit_jobs::example("hall-console"));
}

TEST(Notes, AreWrittenChangedAndTakenAwayOneByOne) {
    const auto one = edited(console(), "[" + milled + "]");
    EXPECT_EQ(one.says, "The note on jointing and planing, 2027-01-12 added");
    ASSERT_EQ(one.job.document().job.made.size(), 1U);
    EXPECT_EQ(one.job.document().job.made[0].hours, 1.5);
    EXPECT_FALSE(one.shelf_changed);
    const auto two = edited(one.job, "[" + fitted + "]");
    EXPECT_THAT(two.says, HasSubstr("The note on dry fitting of front seam"));
    const auto more = edited(two.job, R"([{"set": "/made/0/hours", "value": "2.25"}])");
    EXPECT_EQ(more.says, "Hours in the note on jointing and planing, 2027-01-12: 2.25");
    EXPECT_EQ(more.job.document().job.made[0].hours, 2.25);
    const auto open = edited(more.job, R"([{"set": "/made/0/hours", "value": null}])");
    EXPECT_FALSE(open.job.document().job.made[0].hours);
    const auto gone = edited(open.job, R"([{"remove": "/made/0"}])");
    EXPECT_EQ(gone.says, "The note on jointing and planing, 2027-01-12 removed");
    ASSERT_EQ(gone.job.document().job.made.size(), 1U);
    EXPECT_EQ(gone.job.document().job.made[0].note, "tight at the far end");
}

TEST(Notes, AreRefusedWhereTheyCannotBeRead) {
    EXPECT_EQ(
        refused(console(), R"([{"insert": "/made/-", "value": {"step": "mill", "on": "yesterday"}}])").front().pointer,
        "/made/0/on");
    EXPECT_EQ(refused(console(), R"([{"insert": "/made/-", "value": {"step": "mill", "on": "2027-01-12",
                                   "hours": "long"}}])")
                  .front()
                  .pointer,
              "/made/0/hours");
    EXPECT_EQ(
        refused(console(), R"([{"insert": "/made/-", "value": {"step": "", "on": "2027-01-12"}}])").front().pointer,
        "/made/0/step");
}

TEST(KeepRecord, PutsTheNotesOnTheShelfWithWhatWasTold) {
    const OpenJob job = edited(console(), "[" + milled + ", " + fitted + "]").job;
    const auto kept = edited(job, R"([{"keep_record": true}])");
    EXPECT_TRUE(kept.shelf_changed);
    EXPECT_EQ(kept.says, "2 records of Hall console kept on the shelf for other jobs");
    const auto& records = kept.job.document().shelf.work_done;
    ASSERT_EQ(records.size(), 2U);
    EXPECT_EQ(records[0].job, "Hall console");
    EXPECT_EQ(records[0].step, "mill");
    EXPECT_EQ(records[0].on, "2027-01-12");
    EXPECT_EQ(records[0].hours, 1.5);
    EXPECT_GT(records[0].usual_min.value(), 0.0);
    EXPECT_NEAR(records[1].gap_mm.value(), 0.12, 1e-9);
    EXPECT_GT(records[1].gap_told_mm.value(), 0.0);
    EXPECT_EQ(records[1].cutter, "10 mm straight cutter");
    EXPECT_EQ(records[1].note, "tight at the far end");
    // Again: nothing twice; what has changed is in its place.
    const OpenJob again = edited(kept.job, R"([{"set": "/made/0/hours", "value": "3"}, {"keep_record": true}])").job;
    ASSERT_EQ(again.document().shelf.work_done.size(), 2U);
    EXPECT_EQ(again.document().shelf.work_done[0].hours, 3.0);
    EXPECT_EQ(edited(kept.job, R"([{"keep_record": true}])").job.text(), kept.job.text());
    const auto away = edited(again, R"([{"remove": "/shelf/work_done/0"}])");
    EXPECT_THAT(away.says, HasSubstr("ecord of jointing and planing, 2027-01-12"));
    EXPECT_EQ(away.job.document().shelf.work_done.size(), 1U);
}

TEST(KeepRecord, WorksInInchesAndBringsInWhatTheShopKnows) {
    OpenJob job = edited(console(), "[" + fitted + R"(, {"set": "/unit", "value": "in"}])").job;
    const std::string shop = R"({"work_done": [
        {"job": "Elsewhere", "step": "fit-1", "on": "2026-10-01", "gap": "0.3 mm", "gap_told": "0.1 mm"},
        {"job": "Hall console", "step": "fit-1", "on": "2027-01-14", "gap": "9 mm"}]})";
    job = edited(job, R"([{"keep_record": true}])", shop).job;
    const auto& records = job.document().shelf.work_done;
    ASSERT_EQ(records.size(), 2U);
    EXPECT_EQ(records[0].job, "Elsewhere");
    EXPECT_NEAR(records[0].gap_mm.value(), 0.3, 1e-9);
    // As an inch document writes it.
    EXPECT_NEAR(records[1].gap_mm.value(), 0.12, 1e-3);
}

TEST(KeepRecord, RefusesWhereThereIsNothing) {
    EXPECT_EQ(refused(console(), R"([{"keep_record": true}])").front().pointer, "/made");
    refused(console(), R"([{"keep_record": false}])");
    refused(console(), R"([{"keep_record": true, "more": 1}])");
    const OpenJob stranger =
        edited(console(), R"([{"insert": "/made/-", "value": {"step": "lunch", "on": "2027-01-12", "hours": 1}}])").job;
    EXPECT_THAT(refused(stranger, R"([{"keep_record": true}])").front().found, HasSubstr("no note about a step"));
}

}  // namespace
