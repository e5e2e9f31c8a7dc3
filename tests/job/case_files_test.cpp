#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "job_files.h"
#include "same_document.h"

// tests/cases/job: good/*.json are accepted, bad/*.json refused with exactly the problems listed in the .expect beside
// them ("weight|pointer|words of the message", in the order of the document). schema_test.cpp runs the published schema
// over the same files.
namespace seamwright::job::testing {
namespace {

namespace fs = std::filesystem;

std::vector<fs::path> cases(const std::string& folder) {
    std::vector<fs::path> found;
    for (const auto& entry : fs::directory_iterator(source("tests/cases/job/" + folder))) {
        if (entry.path().extension() == ".json") found.push_back(entry.path());
    }
    std::sort(found.begin(), found.end());
    return found;
}

struct Expected {
    std::string weight, pointer, words;
};
std::vector<Expected> expected_problems(fs::path path) {
    std::vector<Expected> list;
    path.replace_extension(".expect");
    std::istringstream lines(slurp(path));
    std::string line;
    std::getline(lines, line);  // the kind, for the schema test
    while (std::getline(lines, line)) {
        const std::size_t first = line.find('|'), second = line.find('|', first + 1);
        list.push_back({line.substr(0, first), line.substr(first + 1, second - first - 1), line.substr(second + 1)});
    }
    return list;
}

void check_problems(const fs::path& path, const std::vector<Problem>& problems) {
    const auto expected = expected_problems(path);
    ASSERT_EQ(problems.size(), expected.size()) << path << "\n" << show_all(problems);
    for (std::size_t i = 0; i < expected.size(); ++i) {
        const bool is_error = problems[i].weight == Problem::Weight::error;
        EXPECT_EQ(is_error ? "error" : "warning", expected[i].weight) << path << "\n" << show(problems[i]);
        EXPECT_EQ(problems[i].pointer, expected[i].pointer) << path << "\n" << show(problems[i]);
        EXPECT_NE(show(problems[i]).find(expected[i].words), std::string::npos)
            << path << ": no \"" << expected[i].words << "\" in\n"
            << show(problems[i]);
        EXPECT_FALSE(problems[i].found.empty()) << path;
        EXPECT_FALSE(problems[i].allowed.empty()) << path;
        EXPECT_FALSE(problems[i].remedy.empty()) << path;
    }
}

TEST(CaseFiles, GoodOnesAreAcceptedAndSurviveBeingWritten) {
    const auto files = cases("good");
    ASSERT_GE(files.size(), 30u);
    for (const fs::path& path : files) {
        const Reading reading = read(slurp(path));
        ASSERT_TRUE(reading.document) << path << "\n" << show_all(reading.problems);
        check_problems(path, reading.problems);

        const std::string written = write_document(*reading.document);
        const Reading again = read(written);
        ASSERT_TRUE(again.document) << path << "\n" << show_all(again.problems) << written;
        EXPECT_TRUE(same(*reading.document, *again.document)) << path << "\n" << written;
        EXPECT_EQ(write_document(*again.document), written) << path;
    }
}

TEST(CaseFiles, BadOnesAreRefusedWithTheirProblems) {
    const auto files = cases("bad");
    ASSERT_GE(files.size(), 100u);
    for (const fs::path& path : files) {
        const Reading reading = read(slurp(path));
        EXPECT_FALSE(reading.document) << path;
        check_problems(path, reading.problems);
    }
}

}  // namespace
}  // namespace seamwright::job::testing
