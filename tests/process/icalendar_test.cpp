#include "process/icalendar.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>
#include <stdlib.h>
#include <sys/wait.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <stdexcept>

#include "calendar_cases.h"
#include "source_folder.h"

namespace seamwright::process {
namespace {

using nlohmann::json;
using testing::at;
using ::testing::EndsWith;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::task;

std::pair<int, std::string> run(const std::string& command) {
    FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
    if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
    std::string said;
    char part[4096];
    while (const std::size_t n = std::fread(part, 1, sizeof part, pipe)) said.append(part, n);
    const int status = ::pclose(pipe);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, said};
}

std::vector<Task> a_table() {
    const auto after = [](std::string id, After what) { return std::vector<Need>{{std::move(id), what, 0, {}, {}}}; };
    std::vector<Task> tasks{task("rout", 300), task("glue-1", 60, after("rout", After::hands_on)),
                            task("oil", 45, after("glue-1", After::ready)),
                            task("fit; feet", 0, after("oil", After::ready))};
    tasks[0].name = "Rout both edges: seam, then outline; mind the \\ mark\nand the knot";
    tasks[1].name =
        "Leim auftragen und spannen – große Fläche, 12 Zwingen, Längsfuge für Längsfuge (ß, ü, é, 木, 🪵🪵🪵🪵)";
    tasks[1].one_go = true;
    tasks[1].clamps = {{"bar", 8}};
    tasks[1].clamp_wait_min = 90;
    tasks[1].ready_wait_min = 1440;
    tasks[1].wait_name = "Glue comes to full strength";
    tasks[2].ready_wait_min = 5 * 1440;
    return tasks;
}

CalendarText words() {
    CalendarText text;
    text.job_id = "hall table/7";
    text.job_name = "Hall table, \"curved\"";
    text.written =
        std::chrono::sys_days(std::chrono::year{2026} / 12 / 30) + std::chrono::seconds(4 * 3600 + 5 * 60 + 6);
    return text;
}

Schedule of(const std::vector<Task>& tasks, Moment today) {
    Shop shop;
    shop.clamps = {{"bar", 8}};
    return plan_calendar(shop, tasks, today).schedule.value();
}

// RFC 5545, by ical.js: times, texts and kinds come back as they were meant. Friday 2027-01-01 and a leap day.
TEST(Icalendar, ReadByAnIndependentParser) {
    const auto [installed, how] = run(source_folder() + "/tools/web.sh --packages-only");
    ASSERT_EQ(installed, 0) << how;
    std::string name = (std::filesystem::temp_directory_path() / "seamwright-ics-XXXXXX").string();
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    const std::vector<Task> tasks = a_table();
    std::string files;
    std::vector<json> expected;
    const auto shown = [](Moment t) {
        const auto day = std::chrono::floor<std::chrono::days>(t);
        const std::chrono::year_month_day date{day};
        const int minutes = static_cast<int>((t - Moment(day)).count());
        char out[32];
        std::snprintf(out, sizeof out, "%04d-%02u-%02uT%02d:%02d:00", static_cast<int>(date.year()),
                      static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), minutes / 60,
                      minutes % 60);
        return std::string(out);
    };
    for (const Moment today : {at(2027, 1, 1, 13, 0), at(2028, 2, 28)}) {
        const Schedule s = of(tasks, today);
        const std::string file = name + "/" + std::to_string(expected.size()) + ".ics";
        std::ofstream(file, std::ios::binary) << write_icalendar(tasks, s, words());
        files += " " + file;
        const auto event = [&](const std::string& id, Moment from, const std::string& until, bool busy,
                               const std::string& summary) {
            expected.push_back({id + ".hall%20table%2F7@seamwright", shown(from), until,
                                busy ? "OPAQUE" : "TRANSPARENT", summary, "Hall table, \"curved\""});
        };
        for (const std::size_t i : {0u, 1u, 2u}) {
            int k = 0;
            for (const Stretch& work : s.tasks[i].work)
                event("task." + tasks[i].id + ".work." + std::to_string(++k), work.from, shown(work.until), true,
                      tasks[i].name);
            if (i == 1) {
                event("task.glue-1.clamps", s.tasks[1].end, shown(s.tasks[1].clamps_off), false,
                      tasks[1].name + ": in clamps");
                event("task.glue-1.wait", s.tasks[1].clamps_off, shown(s.tasks[1].ready), false,
                      "Glue comes to full strength");
            }
            if (i == 2) event("task.oil.wait", s.tasks[2].end, shown(s.tasks[2].ready), false, "oil: waiting");
        }
        event("task.fit%3B%20feet.moment", s.tasks[3].start, "", false, "fit; feet");
        event("delivery", s.delivery, "", false, "Ready to deliver");
    }
    const auto [code, said] =
        run("node " + source_folder() + "/tests/process/read_calendars.mjs " + source_folder() + files);
    std::filesystem::remove_all(name);
    ASSERT_EQ(code, 0) << said;
    std::istringstream lines(said);
    std::size_t count = 0;
    for (std::string line; std::getline(lines, line); ++count) {
        ASSERT_LT(count, expected.size()) << line;
        EXPECT_EQ(json::parse(line), expected[count]);
    }
    EXPECT_EQ(count, expected.size());
    EXPECT_GT(count, 14u) << "work is split over breaks";
}

// What moves keeps its UID; no two events have the same.
TEST(Icalendar, EventsAreKnownAgain) {
    const std::vector<Task> tasks = a_table();
    const auto uids = [&](Moment today) {
        std::istringstream lines(write_icalendar(tasks, of(tasks, today), words()));
        std::multiset<std::string> found;
        for (std::string line; std::getline(lines, line);)
            if (line.starts_with("UID:")) found.insert(line);
        return found;
    };
    const auto first = uids(at(2027, 1, 4)), later = uids(at(2027, 3, 2));
    EXPECT_EQ(first, later);
    EXPECT_EQ(std::set<std::string>(first.begin(), first.end()).size(), first.size());
    EXPECT_GT(first.size(), 5u);
}

// RFC 5545, section 3.3.11: BACKSLASH, SEMICOLON, COMMA and a line feed as \n; COLON and DQUOTE as they are.
TEST(Icalendar, Escapes) {
    EXPECT_EQ(escape_text("a\\b;c,d:e\"f\ng\r\nh\ri\tj"), "a\\\\b\\;c\\,d:e\"f\\ng\\nh\\ni\tj");
    EXPECT_EQ(escape_text(std::string("a\0b\x1b\x7f", 5)), "a b  ");
    EXPECT_EQ(escape_text("ß"), "ß");
}

// Section 3.1: 75 octets without the line end, the next line begins with a space.
TEST(Icalendar, Folds) {
    EXPECT_EQ(fold_line(std::string(75, 'x')), std::string(75, 'x'));
    EXPECT_EQ(fold_line(std::string(76, 'x')), std::string(75, 'x') + "\r\n x");
    EXPECT_EQ(fold_line(std::string(74 + 75, 'x')), std::string(75, 'x') + "\r\n " + std::string(74, 'x'));
    // Two octets that would lie on both sides.
    EXPECT_EQ(fold_line(std::string(74, 'x') + "ß"), std::string(74, 'x') + "\r\n ß");
    EXPECT_THAT(fold_line(std::string(200, '\x80')), HasSubstr("\r\n "));
}

RC_GTEST_PROP(Icalendar, UnfoldedItIsTheSame, ()) {
    const std::vector<std::string> letters{"x", "ß", "木", "🪵", " ", "\t"};
    std::string line;
    for (int n = *rc::gen::inRange(0, 400); n > 0; --n) line += *rc::gen::elementOf(letters);
    const std::string folded = fold_line(line);
    std::string unfolded;
    std::size_t octets = 0;
    for (std::size_t i = 0; i < folded.size(); ++i) {
        if (folded.compare(i, 3, "\r\n ") == 0) {
            RC_ASSERT(octets <= 75u);
            // No letter is cut: what follows begins one.
            RC_ASSERT((static_cast<unsigned char>(folded[i + 3]) & 0xC0U) != 0x80U);
            octets = 1;
            i += 2;
            continue;
        }
        unfolded += folded[i];
        ++octets;
    }
    RC_ASSERT(octets <= 75u);
    RC_ASSERT(unfolded == line);
}

TEST(Icalendar, Refuses) {
    const std::vector<Task> tasks = a_table();
    const Schedule s = of(tasks, at(2027, 1, 4));
    EXPECT_THROW(write_icalendar({tasks[0]}, s, words()), std::invalid_argument);
    CalendarText text = words();
    text.job_id.clear();
    EXPECT_THROW(write_icalendar(tasks, s, text), std::invalid_argument);
    text = words();
    text.written = std::chrono::sys_days(std::chrono::year{10000} / 1 / 1);
    EXPECT_THROW(write_icalendar(tasks, s, text), std::invalid_argument);
    EXPECT_THAT(write_icalendar(tasks, s, words()), EndsWith("END:VCALENDAR\r\n"));
    EXPECT_THAT(write_icalendar(tasks, s, words()), Not(HasSubstr("\r\n\r\n")));
}

}  // namespace
}  // namespace seamwright::process
