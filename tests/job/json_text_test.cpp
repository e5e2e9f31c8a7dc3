#include <gtest/gtest.h>

#include "job_files.h"

namespace seamwright::job::testing {
namespace {

Problem only_problem(std::string_view text) {
    const Reading reading = read(text);
    EXPECT_FALSE(reading.document);
    EXPECT_EQ(reading.problems.size(), 1u) << show_all(reading.problems);
    return reading.problems.empty() ? Problem{} : reading.problems.front();
}

std::string with_name(const std::string& bytes) {
    return small_job("\"Small\"", "\"" + bytes + "\"");
}

// Table 3-7 of the Unicode standard (well-formed UTF-8 byte sequences; RFC 3629 section 4): the ends of every row.
TEST(JsonText, TakesWellFormedUtf8) {
    for (const std::string text : {"\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xE0\xBF\xBF", "\xEC\xBF\xBF",
                                   "\xED\x80\x80", "\xED\x9F\xBF", "\xEE\x80\x80", "\xEF\xBF\xBF", "\xF0\x90\x80\x80",
                                   "\xF0\xBF\xBF\xBF", "\xF3\xBF\xBF\xBF", "\xF4\x8F\xBF\xBF"}) {
        const Reading reading = read(with_name(text));
        ASSERT_TRUE(reading.document) << show_all(reading.problems);
        EXPECT_EQ(reading.document->job.name, text);
    }
}

TEST(JsonText, RefusesWhatIsNotUtf8) {
    for (const std::string text :
         {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xC2", "\xE0\x9F\xBF", "\xE1\x80", "\xED\xA0\x80", "\xED\xBF\xBF",
          "\xF0\x8F\xBF\xBF", "\xF1\x80\x80", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFE", "\xFF"}) {
        const Problem problem = only_problem(with_name(text));
        EXPECT_NE(problem.found.find("line 1, column 28"), std::string::npos) << show(problem);
        EXPECT_NE(problem.found.find("not UTF-8"), std::string::npos) << show(problem);
    }
}

TEST(JsonText, CountsColumnsInCharacters) {
    EXPECT_NE(only_problem("{\n \"größe\": nan }").found.find("line 2, column 11: nan"), std::string::npos);
}

TEST(JsonText, TakesAByteOrderMark) {
    EXPECT_TRUE(read("\xEF\xBB\xBF" + small_job()).document);
}

TEST(JsonText, RefusesATooLargeDocumentBeforeReadingIt) {
    std::string huge = small_job();
    huge.resize(largest_document_bytes, ' ');
    EXPECT_TRUE(read(huge).document);
    huge += ' ';
    EXPECT_NE(only_problem(huge).found.find("67108865 bytes"), std::string::npos);
}

TEST(JsonText, RefusesDeepNestingAtTheLimit) {
    const auto nested = [](int deep) {
        return std::string(static_cast<std::size_t>(deep), '[') + std::string(static_cast<std::size_t>(deep), ']');
    };
    EXPECT_NE(only_problem(nested(deepest_nesting)).found.find("a list"), std::string::npos);
    EXPECT_NE(only_problem(nested(deepest_nesting + 1)).found.find("nested more than 32 deep"), std::string::npos);
    EXPECT_NE(only_problem(nested(1'000'000)).found.find("nested more than 32 deep"), std::string::npos);
}

TEST(JsonText, EscapesPointers) {
    // RFC 6901 section 3: "~" is ~0, "/" is ~1.
    EXPECT_EQ(only_problem(small_job("\"name\"", "\"m~n/o\": 1, \"name\"")).pointer, "/m~0n~1o");
}

TEST(JsonText, ListsBothADoubledNameAndWhatElseIsWrong) {
    const Reading reading = read(small_job("\"unit\": \"mm\"", "\"unit\": \"mm\", \"name\": \"Again\", \"colour\": 1"));
    ASSERT_EQ(reading.problems.size(), 2u) << show_all(reading.problems);
    EXPECT_EQ(reading.problems[0].pointer, "/name");
    EXPECT_EQ(reading.problems[1].pointer, "/colour");
}

TEST(JsonText, CutsAnEndlessListOfProblemsOff) {
    std::string many;
    for (int i = 0; i < 5000; ++i) many += "\"x" + std::to_string(i) + "\": 0, ";
    const Reading reading = read(small_job("\"name\"", many + "\"name\""));
    ASSERT_EQ(reading.problems.size(), most_problems + 1);
    EXPECT_NE(reading.problems.back().found.find("5000 problems"), std::string::npos);
}

TEST(JsonText, QuotesLongTextsShortly) {
    const Reading reading = read(small_job("\"mm\"", "\"" + std::string(100'000, 'm') + "\""));
    ASSERT_EQ(reading.problems.size(), 1u);
    EXPECT_LT(reading.problems[0].found.size(), 100u);
}

TEST(Problems, AreShownWithPlaceFoundAllowedAndRemedy) {
    const Problem problem = only_problem(small_job("\"thickness\": 30", "\"thickness\": -3"));
    EXPECT_EQ(show(problem),
              "error at /top/thickness: found -3 mm\n  allowed: 1 mm to 300 mm\n  do this: take the minus sign away");
    EXPECT_TRUE(any_error({problem}));
    EXPECT_FALSE(any_error({{Problem::Weight::warning, "", "", "", "", {}}}));
}

}  // namespace
}  // namespace seamwright::job::testing
