#include "app/plain_text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <string>

namespace seamwright::app {
namespace {

TEST(Printable, KeepsLettersOfEveryScript) {
    for (const std::string text : {"Ahorn, Nuß", "59½″", "tête de bois", "樫", "\U0001F333"}) {
        EXPECT_EQ(printable(text), text);
    }
}

TEST(Printable, TakesTheSteeringOutOfATerminal) {
    EXPECT_EQ(printable("\x1b[2Jtop"), "\uFFFD[2Jtop");
    EXPECT_EQ(printable("one\ntwo\rthree"), "one\uFFFDtwo\uFFFDthree");
    EXPECT_EQ(printable("a\u202Eb"), "a\uFFFDb");  // turns the writing round
    EXPECT_EQ(printable("a\u009Bb"), "a\uFFFDb");  // one-character form of ESC [
    EXPECT_EQ(printable(std::string("a\0b", 3)), "a\uFFFDb");
}

// Sequences from Unicode 15.0, section 3.9, tables 3-8 to 3-11.
TEST(Printable, MarksBrokenUtf8ByteByByte) {
    EXPECT_EQ(printable("\xC0\xAF"), "\uFFFD\uFFFD");            // not the shortest form
    EXPECT_EQ(printable("\xED\xA0\x80"), "\uFFFD\uFFFD\uFFFD");  // surrogate
    EXPECT_EQ(printable("\xF4\x91\x92\x93"), "\uFFFD\uFFFD\uFFFD\uFFFD");
    EXPECT_EQ(printable("\xE1\x80"), "\uFFFD\uFFFD");
    EXPECT_EQ(printable("\xF0\x9F\x8C"
                        "a"),
              "\uFFFD\uFFFD\uFFFD"
              "a");
}

RC_GTEST_PROP(Printable, IsItsOwnFixedPoint, (const std::string& bytes)) {
    const std::string once = printable(bytes);
    RC_ASSERT(printable(once) == once);
    RC_ASSERT(columns(once) <= bytes.size());
}

TEST(Wrapped, HangsFurtherLinesUnderTheFirst) {
    const std::string word(30, 'w');
    const std::string text = word + ' ' + word + ' ' + word + ' ' + word;
    EXPECT_EQ(wrapped(" 1. ", text), " 1. " + word + ' ' + word + ' ' + word + "\n    " + word + "\n");
    EXPECT_EQ(wrapped("- ", "short"), "- short\n");
}

TEST(Wrapped, CountsCharactersNotBytes) {
    const std::string fifty = [] {
        std::string text;
        for (int i = 0; i < 49; ++i) text += "½";
        return text;
    }();
    EXPECT_EQ(wrapped("", fifty + " " + fifty), fifty + " " + fifty + "\n");
}

TEST(Wrapped, CutsWhatIsLongerThanALine) {
    std::string pointer;
    for (int i = 0; i < 50; ++i) pointer += "/½x";
    EXPECT_EQ(columns(pointer), 150U);
    const std::string result = wrapped("at ", "it " + pointer + " end");
    const std::size_t cut = result.find("\n   ", result.find('/'));
    EXPECT_EQ(result.substr(0, 9), "at it\n   ");
    EXPECT_EQ(columns(result.substr(6, cut - 6)), widest_line);
    std::string back = result;
    for (std::size_t at = 0; (at = back.find("\n   ", at)) != std::string::npos;) back.erase(at, 4);
    EXPECT_EQ(back, "at it" + pointer + " end\n");
    EXPECT_EQ(printable(result.substr(6, cut - 6)), result.substr(6, cut - 6)) << "cut inside a character";
}

RC_GTEST_PROP(Wrapped, LosesNoWordAndKeepsTheWidth, (const std::vector<unsigned char>& sizes)) {
    std::string text;
    for (const unsigned char size : sizes) text += std::string(1 + size % 40U, 'x') + ' ';
    const std::string result = wrapped("    ", text);
    std::string joined;
    std::size_t from = 0;
    while (from < result.size()) {
        const std::size_t end = result.find('\n', from);
        RC_ASSERT(end != std::string::npos);
        const std::string line = result.substr(from, end - from);
        RC_ASSERT(columns(line) <= widest_line);
        RC_ASSERT(line.starts_with("    "));
        if (line.size() > 4) joined += line.substr(4) + ' ';
        from = end + 1;
    }
    RC_ASSERT(joined == text);
}

TEST(Table, AlignsWordsLeftAndNumbersRight) {
    EXPECT_EQ(table("  ", {{"insert", "8.5 mm"}, {"back board", "12.0 mm"}}),
              "  insert       8.5 mm\n  back board  12.0 mm\n");
}

TEST(Table, FallsBackToLinesWhenTooWide) {
    const std::string name(95, 'n');
    EXPECT_EQ(table("  ", {{name, "8.5 mm"}, {"short", "1 mm"}}), "  " + name + ",\n  8.5 mm\n  short, 1 mm\n");
}

}  // namespace
}  // namespace seamwright::app
