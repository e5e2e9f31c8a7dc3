#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <string>

#include "run_program.h"
#include "source_folder.h"
#include "temporary_folder.h"

namespace {

using namespace seamwright::test;
using ::testing::HasSubstr;
using ::testing::StartsWith;

std::string example(const char* name) {
    return source_folder() + "/examples/" + name + ".json";
}

TEST(Book, WritesBookQuoteCutListAndCalendarTheSameEveryTime) {
    const TemporaryFolder here;
    const auto ran = run_program(here.path(), {"book", example("stack-of-boards"), "-o", "one"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("Earliest delivery: "));
    EXPECT_THAT(ran.out, HasSubstr("Together "));
    EXPECT_THAT(ran.out, HasSubstr("Written to one: job-book.pdf, quote.pdf, cut-list.csv, calendar.ics."));
    ASSERT_EQ(run_program(here.path(), {"book", example("stack-of-boards"), "-o", "two"}).exit, 0);
    for (const char* file : {"job-book.pdf", "quote.pdf", "cut-list.csv", "calendar.ics"}) {
        const std::string bytes = get(here.path() / "one" / file);
        EXPECT_FALSE(bytes.empty()) << file;
        EXPECT_EQ(bytes, get(here.path() / "two" / file)) << file;
    }
    EXPECT_THAT(get(here.path() / "one" / "job-book.pdf"), StartsWith("%PDF-"));
    EXPECT_THAT(get(here.path() / "one" / "calendar.ics"), StartsWith("BEGIN:VCALENDAR\r\n"));
}

TEST(Book, WithoutAFirstDayThereIsNoCalendarFile) {
    const TemporaryFolder here;
    std::string job = get(example("hall-console"));
    const std::string day = "\"first_day\": \"2027-01-11\",";
    const auto at = job.find(day);
    ASSERT_NE(at, std::string::npos);
    job.erase(at, day.size());
    put(here.path() / "job.json", job);
    const auto ran = run_program(here.path(), {"book", "job.json", "-o", "book"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    EXPECT_FALSE(std::filesystem::exists(here.path() / "book" / "calendar.ics"));
    EXPECT_TRUE(std::filesystem::exists(here.path() / "book" / "job-book.pdf"));
    EXPECT_THAT(ran.out, HasSubstr("Say on which day the work begins"));
}

TEST(Book, AFinishThatIsNotKnownIsToldAndTheRestIsWritten) {
    const TemporaryFolder here;
    std::string job = get(example("hall-console"));
    const auto at = job.find("hardwax-oil");
    ASSERT_NE(at, std::string::npos);
    job.replace(at, 11, "moon-dust");
    put(here.path() / "job.json", job);
    const auto ran = run_program(here.path(), {"book", "job.json"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("There is no finish called \"moon-dust\""));
}

}  // namespace
