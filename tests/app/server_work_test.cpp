// The work from the boards to the delivery, as the page asks for it: the view, its files, and why one cannot be made.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "run_program.h"
#include "serving.h"
#include "source_folder.h"

namespace seamwright::app {
namespace {

using test::Json;
using test::Page;
using test::Reply;
using test::Serving;
using test::TemporaryFolder;
using ::testing::HasSubstr;
using ::testing::StartsWith;

class Work : public ::testing::Test {
  protected:
    TemporaryFolder folder;
    Serving serving{folder / "jobs.sqlite"};
    Page page{serving.port()};

    Json edited(const Json& base, const Json& edits) { return page.good(page.edit(1, base, edits)); }
};

TEST_F(Work, FilesAreThoseOfTheCommandWithTheirTypes) {
    const std::string job = source_folder() + "/examples/hall-console.json";
    ASSERT_EQ(test::run_program(folder.path(), {"book", job, "-o", "book"}).exit, 0);
    const Json view = page.good(page.get("/api/jobs/1/work"));
    ASSERT_EQ(view["files"].size(), 4u);
    const std::map<std::string, std::string> types{
        {"pdf", "application/pdf"}, {"csv", "text/csv; charset=utf-8"}, {"ics", "text/calendar; charset=utf-8"}};
    for (const Json& file : view["files"]) {
        const auto name = file["name"].get<std::string>();
        SCOPED_TRACE(name);
        EXPECT_EQ(file["lacks"], "");
        const Reply reply = page.get("/api/jobs/1/papers/" + name);
        ASSERT_EQ(reply.status, 200) << reply.body;
        EXPECT_EQ(reply.field("content-type"), types.at(name.substr(name.find('.') + 1)));
        EXPECT_THAT(reply.field("content-disposition"), StartsWith("attachment; filename=\"Hall console " + name));
        // The calendar knows a job by what it was read from, and that is kept in another spelling here.
        const std::string command = test::get(folder.path() / "book" / name);
        if (name == "cut-list.csv") {
            EXPECT_EQ(reply.body, command);
        }
        EXPECT_EQ(reply.body.substr(0, 200), command.substr(0, 200));
    }
}

TEST_F(Work, WithoutAFirstDayTheCalendarIsRefusedWithWhatToDo) {
    edited(1, Json::array({{{"set", "/calendar/first_day"}, {"value", nullptr}}}));
    const Json view = page.good(page.get("/api/jobs/1/work"));
    EXPECT_THAT(view["files"][3]["lacks"].get<std::string>(), HasSubstr("first day of work"));
    const Reply reply = page.get("/api/jobs/1/papers/calendar.ics");
    EXPECT_EQ(reply.status, 422);
    EXPECT_EQ(Json::parse(reply.body)["remedy"], view["files"][3]["lacks"]);
    EXPECT_EQ(page.get("/api/jobs/1/papers/job-book.pdf").status, 200);
}

TEST_F(Work, HoursTooShortForAGlueUpAreNoCalendar) {
    Json hours = Json::object();
    hours["monday"] = Json::array({"08:00-08:10"});
    edited(1, Json::array({{{"set", "/calendar/hours"}, {"value", hours}}}));
    const Json view = page.good(page.get("/api/jobs/1/work"));
    EXPECT_TRUE(view["calendar"].is_null());
    EXPECT_NE(view["files"][3]["lacks"], "");
    EXPECT_EQ(page.get("/api/jobs/1/papers/calendar.ics").status, 422);
    EXPECT_EQ(page.get("/api/jobs/1/papers/quote.pdf").status, 200);
}

TEST_F(Work, WaitsUntilTheJobIsInOrderAndFollowsIt) {
    const Json before = page.good(page.get("/api/jobs/1/work"));
    const Json wrong =
        edited(1, Json::array({{{"set", "/seams/0/curve/wave/to"}, {"value", Json::array({700, 140})}}}));
    const Json view = page.good(page.get("/api/jobs/1/work"));
    EXPECT_EQ(view["version"], wrong["version"]);
    EXPECT_NE(view["lacks"], "");
    EXPECT_EQ(page.get("/api/jobs/1/papers/job-book.pdf").status, 422);
    page.good(page.post("/api/jobs/1/undo", Json{{"base", wrong["version"]}}));
    Json again = page.good(page.get("/api/jobs/1/work"));
    again["version"] = before["version"];
    EXPECT_EQ(again, before);
    EXPECT_EQ(page.get("/api/jobs/9/work").status, 404);
}

}  // namespace
}  // namespace seamwright::app
