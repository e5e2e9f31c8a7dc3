// `seamwright trace`, from a picture file to a trace or a job, as a maker runs it. The photograph is made by the tests'
// own camera (tests/trace/camera.h), and smaller than a phone's.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "run_program.h"
#include "sample_photo.h"
#include "source_folder.h"

namespace seamwright::app {
namespace {

using test::get;
using test::put;
using test::run_program;
using test::TemporaryFolder;
using ::testing::HasSubstr;
using ::testing::Not;

const std::string console = source_folder() + "/examples/hall-console.json";

TEST(TraceCommand, TellsTheLineAndWhatItIsGoodFor) {
    const TemporaryFolder here;
    put(here.path() / "bench.jpg", sample().jpeg);
    const auto ran = run_program(here.path(), {"trace", "bench.jpg", "--tape", sample().tape});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("line of"));
    EXPECT_THAT(ran.out, HasSubstr("18 marks"));
    EXPECT_THAT(ran.out, HasSubstr("Good for taking over a drawn line."));
    EXPECT_THAT(ran.out, Not(HasSubstr("rests on the printed marks alone")));
    const auto in = run_program(here.path(), {"trace", "bench.jpg", "--unit", "in"});
    EXPECT_THAT(in.out, HasSubstr(" in"));
    EXPECT_THAT(in.out, HasSubstr("rests on the printed marks alone"));
}

TEST(TraceCommand, WritesATraceThatAJobTakes) {
    const TemporaryFolder here;
    put(here.path() / "bench.jpg", sample().jpeg);
    const auto ran = run_program(here.path(), {"trace", "bench.jpg", "--tape", sample().tape, "-o", "line.json"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    const auto document = nlohmann::json::parse(get(here.path() / "line.json"));
    const auto& traced = document.at("traced");
    EXPECT_EQ(traced.at("picture").at("marks"), 18);
    EXPECT_EQ(traced.at("picture").at("file"), "bench.jpg");
    EXPECT_EQ(traced.at("picture").at("sha256").get<std::string>().size(), 64u);
    EXPECT_THAT(traced.at("smooth_below").get<std::string>(), HasSubstr(" mm"));
    // Put into a job by hand it reads back.
    auto job = nlohmann::json::parse(get(console));
    auto& curve = job["seams"][0]["curve"];
    curve = document;
    curve["traced"]["at"] = {"750 mm", "225 mm"};
    put(here.path() / "job.json", job.dump());
    const auto checked = run_program(here.path(), {"check", "job.json"});
    EXPECT_THAT(checked.out + checked.err, Not(HasSubstr("traced")));
}

TEST(TraceCommand, PutsItIntoAJob) {
    const TemporaryFolder here;
    put(here.path() / "bench.jpg", sample().jpeg);
    put(here.path() / "job.json", get(console));
    const auto ran = run_program(here.path(), {"trace", "bench.jpg", "--tape", sample().tape, "--into", "job.json",
                                               "-o", "new.json", "--smooth-below", "200 mm"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    const auto before = nlohmann::json::parse(get(console)),
               after = nlohmann::json::parse(get(here.path() / "new.json"));
    ASSERT_EQ(after.at("seams").size(), before.at("seams").size() + 1);
    EXPECT_EQ(after.at("seams").back().at("curve").at("traced").at("smooth_below"), "200 mm");
    EXPECT_EQ(get(here.path() / "job.json"), get(console)) << "the job itself was not asked to change";
    const std::string first = before.at("seams").at(0).at("name");
    const auto again = run_program(here.path(), {"trace", "bench.jpg", "--tape", sample().tape, "--into", "job.json",
                                                 "--seam", first, "-o", "job.json"});
    ASSERT_EQ(again.exit, 0) << again.err;
    const auto changed = nlohmann::json::parse(get(here.path() / "job.json"));
    EXPECT_EQ(changed.at("seams").size(), before.at("seams").size());
    EXPECT_TRUE(changed.at("seams").at(0).at("curve").contains("traced"));
}

TEST(TraceCommand, RefusesWithAReasonAndWritesNothing) {
    const TemporaryFolder here;
    put(here.path() / "bench.jpg", sample().jpeg);
    put(here.path() / "cut.jpg", sample().jpeg.substr(0, sample().jpeg.size() / 2));
    put(here.path() / "text.jpg", "no picture");
    put(here.path() / "job.json", get(console));
    const std::vector<std::pair<std::vector<std::string>, std::string>> cases = {
        {{"trace", "none.jpg"}, "cannot be read"},
        {{"trace", "cut.jpg"}, "cut"},
        {{"trace", "text.jpg"}, "JPEG"},
        {{"trace", "bench.jpg", "bench.jpg"}, "Several photos"},
        {{"trace", "bench.jpg", "--tape", "0=1200"}, "no measured distance"},
        {{"trace", "bench.jpg", "--tape", "0-900=1200"}, "no measured distance"},
        {{"trace", "bench.jpg", "--tape", "0-17=12,5"}, "--tape"},
        {{"trace", "bench.jpg", "--from", "here"}, "no place"},
        {{"trace", "bench.jpg", "--per-inch", "300"}, "for scans"},
        {{"trace", "bench.jpg", "--scan", "--tape", "0-17=1200"}, "for photos"},
        {{"trace", "bench.jpg", "--into", "job.json"}, "without -o"},
        {{"trace", "bench.jpg", "--seam", "x", "-o", "new.json"}, "without --into"},
        {{"trace", "bench.jpg", "--into", "job.json", "--seam", "no such", "-o", "new.json"}, "no seam named"},
        {{"trace", "bench.jpg", "--into", "none.json", "-o", "new.json"}, "none.json"},
        // A distance in inches where millimetres were measured.
        {{"trace", "bench.jpg", "--tape", sample().tape + " in", "-o", "new.json"}, "measured"},
    };
    for (const auto& [arguments, reason] : cases) {
        const auto ran = run_program(here.path(), arguments);
        EXPECT_EQ(ran.exit, 2) << reason;
        EXPECT_THAT(ran.err, HasSubstr(reason));
        EXPECT_EQ(ran.out, "");
    }
    EXPECT_FALSE(std::filesystem::exists(here.path() / "new.json"));
    const auto unwritable = run_program(here.path(), {"trace", "bench.jpg", "-o", "no/such/folder/new.json"});
    EXPECT_EQ(unwritable.exit, 3) << unwritable.err;
}

TEST(MarksCommand, WritesSheetsAndRefusesOddWishes) {
    const TemporaryFolder here;
    const auto ran = run_program(here.path(), {"marks", "-o", "marks.pdf", "--strips", "3", "--sheet", "letter"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("2 sheets"));
    EXPECT_THAT(get(here.path() / "marks.pdf").substr(0, 5), "%PDF-");
    for (const std::vector<std::string>& odd : {std::vector<std::string>{"marks", "-o", "x.pdf", "--sheet", "A9"},
                                                {"marks", "-o", "x.pdf", "--strips", "1"},
                                                {"marks", "-o", "x.pdf", "--measured-x", "50"},
                                                {"marks"}}) {
        EXPECT_EQ(run_program(here.path(), odd).exit, 2);
    }
    EXPECT_FALSE(std::filesystem::exists(here.path() / "x.pdf"));
}

}  // namespace
}  // namespace seamwright::app
