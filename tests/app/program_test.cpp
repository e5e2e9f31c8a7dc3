// Runs the program itself, from the command line to the files, the way a maker uses it.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "app/plain_text.h"
#include "run_program.h"
#include "source_folder.h"

namespace seamwright::app {
namespace {

namespace fs = std::filesystem;

using test::contents;
using test::get;
using test::put;
using test::Ran;
using test::run_program;
using test::TemporaryFolder;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

const std::string source = source_folder();
const std::string console = source + "/examples/hall-console.json";

/// Names only: the files themselves are too much to print.
std::string names(const fs::path& folder) {
    std::string all;
    for (const auto& [name, bytes] : contents(folder)) all += name + ' ';
    return all;
}

void expect_plain_text(const std::string& text) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        EXPECT_LE(columns(line), widest_line) << line;
        EXPECT_EQ(printable(line), line);
        EXPECT_FALSE(line.ends_with(' ')) << line;
    }
}

/// The example, changed in one place.
std::string changed(const std::string& from, const std::string& to) {
    std::string text = get(console);
    const std::size_t at = text.find(from);
    if (at == std::string::npos) throw std::logic_error("the example has no " + from);
    return text.replace(at, from.size(), to);
}

// ---------------------------------------------------------------------------------------------------- the command line

TEST(Program, ShowsHelpAndVersion) {
    const TemporaryFolder here;
    for (const std::vector<std::string>& asked :
         {std::vector<std::string>{"--help"}, {"plan", "--help"}, {"check", "-h"}}) {
        const Ran ran = run_program(here.path(), asked);
        EXPECT_EQ(ran.exit, 0);
        EXPECT_THAT(ran.err, IsEmpty());
        EXPECT_THAT(ran.out, HasSubstr("seamwright"));
        EXPECT_THAT(ran.out, HasSubstr("JOB"));
    }
    EXPECT_THAT(run_program(here.path(), {"plan", "--help"}).out, HasSubstr("--output"));
    const Ran version = run_program(here.path(), {"--version"});
    EXPECT_EQ(version.exit, 0);
    EXPECT_EQ(version.out, "seamwright 0.1.0\n");
}

TEST(Program, RefusesAWrongCommandLine) {
    const TemporaryFolder here;
    const std::vector<std::vector<std::string>> wrong = {{},
                                                         {"--colour"},
                                                         {"plan"},
                                                         {"plan", console},
                                                         {"plan", console, "-o"},
                                                         {"plan", console, "-o", "out", "--fast"},
                                                         {"plan", console, "-o", "out", "more"},
                                                         {"check"},
                                                         {"check", console, "-o", "out"},
                                                         {"draw", console},
                                                         {"plan", console, "-o", ""}};
    for (const auto& arguments : wrong) {
        const Ran ran = run_program(here.path(), arguments);
        EXPECT_NE(ran.exit, 0);
        EXPECT_EQ(ran.exit, arguments.size() == 4 && arguments.back().empty() ? 3 : 2) << ran.err;
        EXPECT_THAT(ran.err, Not(IsEmpty()));
        EXPECT_THAT(ran.out, IsEmpty());
        expect_plain_text(ran.err);
    }
    EXPECT_TRUE(contents(here.path()).empty());
}

// ------------------------------------------------------------------------------------------------------------ good
// jobs

class Example : public ::testing::TestWithParam<const char*> {
  protected:
    std::string job() const { return source + "/examples/" + GetParam() + ".json"; }
};

TEST_P(Example, IsPlannedInAMakersWords) {
    const TemporaryFolder here;
    const Ran ran = run_program(here.path(), {"plan", job(), "-o", "papers"});
    ASSERT_EQ(ran.exit, 0) << ran.err << ran.out;
    EXPECT_THAT(ran.err, IsEmpty());
    expect_plain_text(ran.out);
    for (const char* said : {"thick", "Seam \"", "largest gap", "Proof:", "Reach:", "Way of copying:", " 1. ",
                             "Written into papers:", "plan.json", "100 %"}) {
        EXPECT_THAT(ran.out, HasSubstr(said));
    }
    const auto files = contents(here / "papers");
    EXPECT_EQ(files.count("plan.json"), 1U);
    EXPECT_GE(files.size(), 4U);
    for (const auto& [name, bytes] : files) {
        EXPECT_FALSE(bytes.empty()) << name;
        EXPECT_EQ(name.ends_with(".pdf"), bytes.starts_with("%PDF-")) << name;
        // Each paper is named to the maker.
        EXPECT_TRUE(name == "seamwright.sha256" || ran.out.find(name) != std::string::npos) << name;
    }
    EXPECT_EQ(contents(here.path()).size(), files.size() + 1) << "something was left behind";
}

// The router can hurt: every job with a router step says the usual cautions.
TEST_P(Example, SaysTheCautionsAtTheRouter) {
    const TemporaryFolder here;
    const Ran ran = run_program(here.path(), {"check", job()});
    ASSERT_EQ(ran.exit, 0) << ran.err << ran.out;
    EXPECT_THAT(ran.out, HasSubstr("      ! "));
    EXPECT_THAT(ran.out, HasSubstr("what the makers of the router"));
    EXPECT_TRUE(contents(here.path()).empty());
}

TEST_P(Example, GivesTheSameBytesEveryTime) {
    const TemporaryFolder here;
    const Ran one = run_program(here.path(), {"plan", job(), "-o", "papers"});
    const auto first = contents(here / "papers");
    fs::remove_all(here / "papers");
    const Ran other = run_program(here.path(), {"plan", job(), "-o", "papers"});
    EXPECT_EQ(one.out, other.out);
    ASSERT_GE(first.size(), 4U);
    for (const auto& [name, bytes] : contents(here / "papers")) {
        EXPECT_TRUE(first.contains(name) && first.at(name) == bytes) << name << " differs";
    }
}

INSTANTIATE_TEST_SUITE_P(Program, Example, ::testing::Values("hall-console", "bench-top", "round-table"),
                         [](const auto& tested) {
                             std::string name = tested.param;
                             std::erase(name, '-');
                             return name;
                         });

TEST(Program, ReadsTheJobFromStandardInput) {
    const TemporaryFolder here;
    const Ran named = run_program(here.path(), {"plan", console, "-o", "papers"});
    const auto from_file = contents(here / "papers");
    fs::remove_all(here / "papers");
    const Ran piped = run_program(here.path(), {"plan", "-", "-o", "papers"}, get(console));
    EXPECT_EQ(piped.exit, 0) << piped.err;
    EXPECT_EQ(piped.out, named.out);
    EXPECT_TRUE(contents(here / "papers") == from_file);
}

TEST(Program, PlansIntoTheSameFolderAgain) {
    const TemporaryFolder here;
    ASSERT_EQ(run_program(here.path(), {"plan", console, "-o", "papers"}).exit, 0);
    const auto first = contents(here / "papers");
    put(here / "papers/notes.txt", "mine");
    put(here / "job.json", changed("\"front seam\"", "\"bow seam\""));
    const Ran again = run_program(here.path(), {"plan", "job.json", "-o", "papers"});
    ASSERT_EQ(again.exit, 0) << again.err;
    const auto second = contents(here / "papers");
    EXPECT_EQ(second.at("notes.txt"), "mine");
    EXPECT_TRUE(second.at("plan.json") != first.at("plan.json"));
    // A template of the seam that is gone must not lie among today's.
    for (const auto& [name, bytes] : second) EXPECT_EQ(name.find("front-seam"), std::string::npos) << name;
}

// ------------------------------------------------------------------------------------------------------------- bad
// jobs

/// Exit code 2, a problem with a remedy, nothing written, from both commands.
void expect_refused(const std::string& text, const std::string& said) {
    const TemporaryFolder here;
    put(here / "job.json", text);
    const auto before = contents(here.path());
    const Ran planned = run_program(here.path(), {"plan", "job.json", "-o", "papers"});
    EXPECT_EQ(planned.exit, 2) << planned.err.substr(0, 2000);
    EXPECT_THAT(planned.err, HasSubstr(said));
    EXPECT_THAT(planned.err, HasSubstr("Error at"));
    EXPECT_THAT(planned.err, HasSubstr("do this: "));
    EXPECT_THAT(planned.err, HasSubstr("Nothing was written."));
    EXPECT_EQ(planned.out.substr(0, 200), "");
    EXPECT_LT(planned.err.size(), 100'000U);
    expect_plain_text(planned.err);
    const Ran checked = run_program(here.path(), {"check", "job.json"});
    EXPECT_EQ(checked.exit, 2);
    EXPECT_THAT(checked.out, HasSubstr(said));
    EXPECT_TRUE(contents(here.path()) == before) << "something was written: " << names(here.path());
}

TEST(BadJob, Empty) {
    expect_refused("", "the job as a whole");
    expect_refused("   \n", "the job as a whole");
    expect_refused("{}", "seamwright");
    expect_refused("null", "the job as a whole");
}

TEST(BadJob, Huge) {
    const TemporaryFolder here;
    put(here / "job.json", "{");
    fs::resize_file(here / "job.json", 200U << 20U);
    const Ran ran = run_program(here.path(), {"plan", "job.json", "-o", "papers"});
    EXPECT_EQ(ran.exit, 2);
    EXPECT_THAT(ran.err, HasSubstr("larger than 64 MiB"));
    EXPECT_FALSE(fs::exists(here / "papers"));
    expect_refused(std::string(60U << 20U, ' '), "the job as a whole");
}

TEST(BadJob, DeeplyNested) {
    expect_refused(std::string(1'000'000, '['), "Error at");
    std::string braces;
    for (int i = 0; i < 100'000; ++i) braces += "{\"top\":";
    expect_refused(braces, "Error at");
}

TEST(BadJob, NotUtf8) {
    expect_refused(changed("Hall console", "Hall cons\xFFole"), "Error at");
    // UTF-16, as some editors save it.
    expect_refused(std::string("\xFF\xFE{\0}\0", 6), "Error at");
}

TEST(BadJob, StrangeNumbers) {
    expect_refused(changed("\"thickness\": 34", "\"thickness\": NaN"), "Error at");
    expect_refused(changed("\"thickness\": 34", "\"thickness\": 1e999"), "Error at");
    expect_refused(changed("\"thickness\": 34", "\"thickness\": -34"), "/top/thickness");
    expect_refused(changed("\"thickness\": 34", "\"thickness\": 0"), "/top/thickness");
    expect_refused(changed("\"length\": 1510", "\"length\": 0"), "/top/outline/rectangle/length");
    expect_refused(changed("\"length\": 1510", "\"length\": -1510"), "/top/outline/rectangle/length");
}

TEST(BadJob, ZeroLengthSeam) {
    expect_refused(changed("\"to\": [1550, 140]", "\"to\": [-40, 170]"), "/seams/0/curve/wave");
}

TEST(BadJob, EmptyShelf) {
    const std::string text = get(console);
    const std::size_t from = text.find("\"shelf\"");
    const std::size_t to = text.find("\"template\"");
    expect_refused(text.substr(0, from) + text.substr(to), "shelf");
    expect_refused(text.substr(0, from) + R"("shelf": {}, )" + text.substr(to), "shelf");
    expect_refused(
        text.substr(0, from) + R"("shelf": {"guides": [], "bearings": [], "cutters": []}, )" + text.substr(to),
        "shelf");
}

TEST(BadJob, CutterLargerThanItsGuide) {
    const std::string text = get(console);
    const std::size_t from = text.find("\"shelf\"");
    const std::size_t to = text.find("\"template\"");
    expect_refused(text.substr(0, from) + R"("shelf": {
        "guides": [{"name": "small guide", "outside": 17, "barrel": 9, "bore": 14}],
        "cutters": [{"name": "large cutter", "diameter": 20, "cutting_length": 60, "shank": 12}]}, )" +
                       text.substr(to),
                   "shelf");
}

TEST(BadJob, OutlineThatCrossesItself) {
    const std::string text = get(console);
    const std::size_t from = text.find("\"rectangle\"");
    const std::size_t to = text.find("\"seams\"");
    expect_refused(
        text.substr(0, from) +
            R"("drawn": {"pins": {"points": [[0, 0], [1500, 400], [1500, 0], [0, 400]], "closed": true}}}}, )" +
            text.substr(to),
        "/top/outline");
}

TEST(BadJob, SeamThatCrossesAnother) {
    expect_refused(changed("[755, 255]", "[755, 60]"), "/seams/");
}

// As a tracing program or a measuring arm would give it, back and forth over itself: it cannot be cut. What matters is
// that a million points are told apart from a seam in reasonable time.
TEST(BadJob, MillionPointsThatDoubleBack) {
    const TemporaryFolder here;
    std::string points;
    for (int i = 0; i < 1'000'000; ++i) {
        points += std::to_string(i % 1000) + "." + std::to_string(i / 1000) + "," + std::to_string(150 + i % 7) + "\n";
    }
    put(here / "trace.csv", points);
    std::string text = get(console);
    const std::size_t from = text.find("\"wave\"");
    const std::size_t to = text.find("\"name\": \"back seam\"");
    put(here / "job.json", text.substr(0, from) + R"("points": {"file": "trace.csv"}}}, {)" + text.substr(to));
    const std::string before = names(here.path());
    const Ran ran = run_program(here.path(), {"plan", "job.json", "-o", "papers"});
    EXPECT_EQ(ran.exit, 2) << ran.err.substr(0, 2000);
    EXPECT_THAT(ran.err.substr(0, 2000), HasSubstr("/seams/0"));
    EXPECT_EQ(names(here.path()), before);
}

TEST(BadJob, PutsNoControlCharactersOnTheTerminal) {
    const TemporaryFolder here;
    const Ran ran = run_program(here.path(), {"check", "-"}, changed("\"unit\": \"mm\"", "\"unit\": \"\\u001b[2J\""));
    EXPECT_EQ(ran.exit, 2);
    EXPECT_EQ((ran.out + ran.err).find('\x1b'), std::string::npos);
}

TEST(BadJob, MissingFile) {
    const TemporaryFolder here;
    const Ran ran = run_program(here.path(), {"plan", "none.json", "-o", "papers"});
    EXPECT_EQ(ran.exit, 2);
    EXPECT_THAT(ran.err, HasSubstr("none.json"));
    EXPECT_TRUE(contents(here.path()).empty());
}

// --------------------------------------------------------------------------------------------- a folder that says no

TEST(Program, LeavesNothingWhenTheFolderCannotBeWritten) {
    const TemporaryFolder here;
    put(here / "papers", "this is a file");
    for (const char* folder : {"papers", "papers/below", "/proc/seamwright/papers"}) {
        const Ran ran = run_program(here.path(), {"plan", console, "-o", folder});
        EXPECT_EQ(ran.exit, 3);
        EXPECT_THAT(ran.err, HasSubstr(folder));
        EXPECT_THAT(ran.out, IsEmpty());
    }
    EXPECT_EQ(get(here / "papers"), "this is a file");
    EXPECT_EQ(contents(here.path()).size(), 1U);
}

TEST(Program, TellsWhenItsTextCannotBeWritten) {
    const TemporaryFolder here;
    const std::string command =
        std::string(SEAMWRIGHT_PROGRAM) + " check " + console + " > /dev/full 2> " + (here / "err").string();
    const int status = std::system(command.c_str());
    EXPECT_EQ(WEXITSTATUS(status), 3);
    EXPECT_THAT(get(here / "err"), HasSubstr("could not be written"));
}

// --------------------------------------------------------------------------------------------------- where to sand

TEST(Sanding, TellsTheSpotsAndWritesTheMap) {
    const TemporaryFolder here;
    const std::string job = source + "/examples/measured-template.json";
    const Ran ran = run_program(here.path(), {"sanding", job, "-o", "map.pdf"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    expect_plain_text(ran.out);
    EXPECT_THAT(ran.out, HasSubstr("stands proud by 0.007 in at 16 1/2 in"));
    EXPECT_THAT(ran.out, HasSubstr("To sand, nothing filled"));
    EXPECT_THAT(ran.out, HasSubstr("extraction and a mask"));
    EXPECT_EQ(get(here.path() / "map.pdf").substr(0, 5), "%PDF-");
    const Ran none = run_program(here.path(), {"sanding", console, "-o", "none.pdf"});
    EXPECT_EQ(none.exit, 2);
    EXPECT_THAT(none.err, HasSubstr("No template of this job was measured."));
    EXPECT_EQ(run_program(here.path(), {"sanding", job, "--seam", "nowhere"}).exit, 2);
    EXPECT_FALSE(fs::exists(here.path() / "none.pdf"));
}

TEST(Closing, TellsWhetherTheSeamsCloseAndWritesThePages) {
    const TemporaryFolder here;
    const Ran ran = run_program(here.path(), {"closing", console, "-o", "closing.pdf", "--samples", "100"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    expect_plain_text(ran.out);
    EXPECT_THAT(ran.out, HasSubstr("It most likely closes"));
    EXPECT_THAT(ran.out, HasSubstr("Of 100 such seams"));
    EXPECT_THAT(ran.out, HasSubstr("toward the back"));
    EXPECT_THAT(ran.out, HasSubstr("keep fingers out of the seam"));
    EXPECT_THAT(ran.out, HasSubstr("Order of the glue-ups"));
    EXPECT_EQ(get(here.path() / "closing.pdf").substr(0, 5), "%PDF-");
    const Ran other = run_program(here.path(), {"closing", console, "--seam", "nowhere", "-o", "none.pdf"});
    EXPECT_EQ(other.exit, 2);
    EXPECT_THAT(other.err, HasSubstr("Its seams: front seam, back seam."));
    EXPECT_FALSE(fs::exists(here.path() / "none.pdf"));
    const Ran one = run_program(here.path(), {"closing", console, "--seam", "back seam", "--samples", "20"});
    EXPECT_EQ(one.exit, 0);
    EXPECT_THAT(one.out, Not(HasSubstr("front seam\"")));
}

TEST(Wood, TellsWhichPieceComesFromWhichBoardAndPutsItOnPaper) {
    const TemporaryFolder here;
    const std::string stack = source_folder() + "/examples/stack-of-boards.json";
    const Ran ran = run_program(here.path(), {"wood", stack, "-o", "wood.pdf"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    expect_plain_text(ran.out);
    EXPECT_THAT(ran.out, HasSubstr("insert: saw 1590.0 mm"));
    EXPECT_THAT(ran.out, HasSubstr("Over the year where it stands"));
    EXPECT_THAT(ran.out, HasSubstr("Written to wood.pdf."));
    EXPECT_EQ(get(here.path() / "wood.pdf").substr(0, 5), "%PDF-");
    const Ran again = run_program(here.path(), {"wood", stack});
    EXPECT_EQ(again.out + "\nWritten to wood.pdf.\n", ran.out);
}

TEST(TestCut, WritesItsSheetTellsTheRealSizesAndKeepsThem) {
    const TemporaryFolder here;
    const Ran sheet = run_program(here.path(), {"test-cut", console, "-o", "sheet.pdf"});
    ASSERT_EQ(sheet.exit, 0) << sheet.err;
    EXPECT_EQ(get(here.path() / "sheet.pdf").substr(0, 5), "%PDF-");
    const Ran none = run_program(here.path(), {"test-cut", console});
    EXPECT_EQ(none.exit, 2);
    EXPECT_THAT(none.err, HasSubstr("Print a sheet first"));
    const Ran unknown = run_program(here.path(), {"test-cut", console, "-o", "none.pdf", "--guide", "31"});
    EXPECT_EQ(unknown.exit, 2);
    EXPECT_THAT(unknown.err, HasSubstr("30 mm guide, 24 mm guide"));
    EXPECT_FALSE(fs::exists(here.path() / "none.pdf"));

    std::string job = get(console);
    const std::string cut =
        R"("test_cuts": [{"guide": "30 mm guide", "cutter": "10 mm straight cutter", "on": "2026-03-09", "readings": {)"
        R"("1": 9.94, "2": 9.93, "3": 9.95, "4": 10.06, "5": 10.07, "6": 10.06, "7": 10.06, "8": 10.05, "9": 10.06, )"
        R"("10": 10.14, "11": 10.12, "12": 10.06, "13": 10.0, "14": 9.98}}], )";
    const auto guides = job.find("\"guides\"");
    ASSERT_NE(guides, std::string::npos);
    put(here.path() / "job.json", job.insert(guides, cut));
    const Ran told = run_program(here.path(), {"test-cut", "job.json", "--keep", "kept.json"});
    ASSERT_EQ(told.exit, 0) << told.err;
    expect_plain_text(told.out);
    EXPECT_THAT(told.out, HasSubstr("30.06 mm ±"));
    EXPECT_THAT(told.out, HasSubstr("What the real sizes change"));
    const std::string kept = get(here.path() / "kept.json");
    EXPECT_THAT(kept, HasSubstr("\"off_centre\""));
    const Ran again = run_program(here.path(), {"test-cut", "kept.json"});
    EXPECT_EQ(again.exit, 0);
    EXPECT_THAT(again.out, HasSubstr("the same way is the best"));
}

}  // namespace
}  // namespace seamwright::app
