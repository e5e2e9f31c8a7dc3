#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "units/length.h"

namespace seamwright::units {
namespace {

using testing::HasSubstr;

double value_of(std::string_view text, Unit bare = Unit::inch) {
    const auto read = read_length(text, bare);
    if (const auto* refusal = std::get_if<LengthRefusal>(&read)) {
        ADD_FAILURE() << text << ": " << refusal->reason;
        return -12345.0;
    }
    return std::get<double>(read);
}

struct Refused {
    std::string text;
    std::size_t at;
    std::string character;
    std::string in_reason;
    Unit bare = Unit::inch;
};

void expect_refused(const Refused& wanted) {
    SCOPED_TRACE(wanted.text);
    const auto read = read_length(wanted.text, wanted.bare);
    const auto* refusal = std::get_if<LengthRefusal>(&read);
    ASSERT_NE(refusal, nullptr) << "read as " << std::get<double>(read);
    EXPECT_EQ(refusal->at, wanted.at);
    EXPECT_EQ(refusal->character, wanted.character);
    EXPECT_THAT(refusal->reason, HasSubstr(wanted.in_reason));
    if (!wanted.character.empty() && wanted.character != " ") {
        EXPECT_THAT(refusal->reason, HasSubstr("“" + wanted.character + "”"));
    }
}

// The yard is exactly 0.9144 m, so the inch is exactly 25.4 mm and the foot 304.8 mm (international yard and pound
// agreement, 1959; NIST Special Publication 811, appendix B.8).
TEST(ReadLength, ExactFactors) {
    EXPECT_EQ(value_of("1 in"), 25.4);
    EXPECT_EQ(value_of("1 ft"), 304.8);
    EXPECT_EQ(value_of("3 ft"), 914.4);
    EXPECT_EQ(value_of("36 in"), 914.4);
    EXPECT_EQ(value_of("0.001 in"), 0.0254);
}

// Decimal equivalents of the fractions of an inch, in millimetres, as in the usual handbook table (exact to the last
// digit).
TEST(ReadLength, FractionTable) {
    const std::vector<std::pair<std::string, double>> table{
        {"1/64", 0.396875}, {"1/32", 0.79375},  {"3/64", 1.190625},   {"1/16", 1.5875},     {"3/32", 2.38125},
        {"1/8", 3.175},     {"5/32", 3.96875},  {"3/16", 4.7625},     {"1/4", 6.35},        {"5/16", 7.9375},
        {"3/8", 9.525},     {"7/16", 11.1125},  {"1/2", 12.7},        {"17/32", 13.49375},  {"9/16", 14.2875},
        {"5/8", 15.875},    {"11/16", 17.4625}, {"3/4", 19.05},       {"51/64", 20.240625}, {"13/16", 20.6375},
        {"7/8", 22.225},    {"15/16", 23.8125}, {"63/64", 25.003125}, {"1", 25.4},
    };
    for (const auto& [text, mm] : table) {
        EXPECT_EQ(value_of(text), mm) << text;
        EXPECT_EQ(value_of(text + " in", Unit::millimetre), mm) << text;
    }
}

TEST(ReadLength, OneLengthInManyHands) {
    for (const char* text : {"59 1/2 in",
                             "59-1/2\"",
                             "59 1/2\"",
                             "4 ft 11 1/2 in",
                             "4' 11 1/2\"",
                             "4'11-1/2\"",
                             "4'-11 1/2\"",
                             "4' - 11 1/2 in",
                             "59½″",
                             "59 ½ in",
                             "59-½ in",
                             "4′ 11½″",
                             "4’ 11½”",
                             "4‘11 1/2“",
                             "59 1⁄2 in",
                             "59 1∕2 in",
                             "59¹⁄₂ in",
                             "59 ¹⁄₂ in",
                             "59¹/2 in",
                             "59.5 in",
                             "59.50\"",
                             "59.5inches",
                             "59 1/2 INCH",
                             "59 1/2 in.",
                             "4 ft. 11 1/2 in.",
                             "4 Feet 11.5 inches",
                             "4ft11½in",
                             "4 foot 11 1/2",
                             "4'11 1/2",
                             "59 1/2''",
                             "59 1/2′′",
                             "59\u00A01/2\u00A0in",
                             "59\u202F1/2\u2009in",
                             "  59 1/2 in \n",
                             "+59 1/2 in",
                             "59–1/2 in",
                             "59‑1/2 in",
                             "119/2 in",
                             "59 2/4 in",
                             "059 1/2 in",
                             "59 1/2",
                             "59.5",
                             "151.13 cm",
                             "1511.3 mm",
                             "1511.3MM",
                             "1.5113 m",
                             "1.5113 metres",
                             "151.13 centimeters"}) {
        EXPECT_EQ(value_of(text), 1511.3) << text;
    }
}

TEST(ReadLength, UnicodeFractions) {
    const std::vector<std::pair<std::string, std::string>> same{
        {"¼", "1/4"}, {"½", "1/2"}, {"¾", "3/4"}, {"⅐", "1/7"}, {"⅑", "1/9"}, {"⅒", "1/10"},      {"⅓", "1/3"},
        {"⅔", "2/3"}, {"⅕", "1/5"}, {"⅖", "2/5"}, {"⅗", "3/5"}, {"⅘", "4/5"}, {"⅙", "1/6"},       {"⅚", "5/6"},
        {"⅛", "1/8"}, {"⅜", "3/8"}, {"⅝", "5/8"}, {"⅞", "7/8"}, {"↉", "0/3"}, {"¹⁵⁄₁₆", "15/16"},
    };
    for (const auto& [ready, plain] : same) {
        EXPECT_EQ(value_of(ready), value_of(plain)) << ready;
        EXPECT_EQ(value_of("7" + ready + "″"), value_of("7 " + plain + " in")) << ready;
    }
}

TEST(ReadLength, BareNumbersAreInTheUnitOfTheJob) {
    EXPECT_EQ(value_of("1510", Unit::millimetre), 1510.0);
    EXPECT_EQ(value_of("1510", Unit::inch), 38354.0);
    EXPECT_EQ(value_of(".5", Unit::millimetre), 0.5);
    EXPECT_EQ(value_of("4' 11", Unit::millimetre), 1498.6) << "after feet, a bare number is inches in any job";
}

TEST(ReadLength, FractionsAboveOneStandAlone) {
    EXPECT_EQ(value_of("7/4"), 44.45);
    EXPECT_EQ(value_of("8/4 in"), 50.8);
}

TEST(ReadLength, TheSignCountsForTheWhole) {
    EXPECT_EQ(value_of("-1/8 in"), -3.175);
    EXPECT_EQ(value_of("-59-1/2 in"), -1511.3);
    EXPECT_EQ(value_of("−4 ft 11 1/2 in"), -1511.3);
    EXPECT_EQ(value_of("- 2 mm"), -2.0);
    EXPECT_FALSE(std::signbit(value_of("-0 mm")));
}

TEST(ReadLength, MetricDecimalsAreRoundedOnce) {
    EXPECT_EQ(value_of("1.1 m"), 1100.0);
    EXPECT_EQ(value_of("0.29 m"), 290.0);
    EXPECT_EQ(value_of("2.3 cm"), 23.0);
    EXPECT_EQ(value_of("0.0000000000000000000000000000000000000000000000000000001 mm"), 1e-55);
    EXPECT_EQ(value_of("0." + std::string(500, '0') + "1 mm"), 0.0);
}

TEST(ReadLength, UpToOneKilometre) {
    EXPECT_EQ(value_of("1000 m"), longest_length_mm);
    EXPECT_EQ(value_of("-1000 m"), -longest_length_mm);
    expect_refused({"1000.001 m", 0, "1", "1 km"});
    expect_refused({"- 1000001 mm", 2, "1", "1 km"});
    expect_refused({"39371 in", 0, "3", "39370 in"});
    expect_refused({"3281 ft", 0, "3", "1 km"});
    expect_refused({std::string(400, '9') + " mm", 0, "9", "1 km"});
    expect_refused({std::string(400, '9') + " ft 1 in", 0, "9", "1 km"});
    expect_refused({"1 12345678901234567/99999999999999999", 2, "1", "too many digits"});
    expect_refused({"1/12345678901234567 in", 2, "1", "too many digits"});
}

TEST(ReadLength, CommasAreNotGuessedAt) {
    expect_refused({"1,5 m", 1, ",", "59.5 with a point"});
    expect_refused({"1,510 mm", 1, ",", "thousands"});
    expect_refused({",5", 0, ",", "decimals"});
    expect_refused({"59.5,1", 4, ",", "decimals"});
}

TEST(ReadLength, FractionsDoNotGoWithMetricUnits) {
    expect_refused({"59 1/2 mm", 4, "/", "write decimals, as in 59.5 mm"});
    expect_refused({"59½ cm", 2, "½", "fractions go with inches"});
    expect_refused({"½ m", 0, "½", "fractions go with inches"});
    expect_refused({"7/16", 1, "/", "write in after it", Unit::millimetre});
    expect_refused({"59 1/2", 4, "/", "write in after it", Unit::millimetre});
}

TEST(ReadLength, NamesTheCharacterAndItsPlace) {
    expect_refused({"", 0, "", "empty"});
    expect_refused({" \t\u00A0", 4, "", "empty"});
    expect_refused({"-", 1, "", "number is wanted"});
    expect_refused({"nan", 0, "n", "number is wanted"});
    expect_refused({"inf", 0, "i", "number is wanted"});
    expect_refused({"-infinity", 1, "i", "number is wanted"});
    expect_refused({"in", 0, "i", "number is wanted"});
    expect_refused({"1e3 mm", 1, "e", "units are in, ft, mm, cm and m"});
    expect_refused({"0x10", 1, "x", "units are"});
    expect_refused({"12 furlongs", 3, "f", "units are"});
    expect_refused({"12 mmm", 3, "m", "units are"});
    expect_refused({"12 thousandsandthousandsofinches", 3, "t", "units are"});
    expect_refused({"1 510 mm", 2, "5", "side by side"});
    expect_refused({"59 1/2 1/4 in", 7, "1", "side by side"});
    expect_refused({"59½½", 4, "½", "side by side"});
    expect_refused({"1/½", 2, "½", "lower number"});
    expect_refused({"1/", 2, "", "lower number"});
    expect_refused({"1/ 2", 2, " ", "The space (character 3)"});
    expect_refused({"1/-2", 2, "-", "lower number"});
    expect_refused({"1/2/3", 3, "/", "once"});
    expect_refused({"11 /2", 3, "/", "right between"});
    expect_refused({"½/2", 2, "/", "once"});
    expect_refused({"¹", 2, "", "slash is wanted"});
    expect_refused({"¹½", 2, "½", "slash is wanted"});
    expect_refused({"1/0 in", 2, "0", "nought"});
    expect_refused({"59 1/00", 5, "0", "nought"});
    expect_refused({"5 9/8 in", 2, "9", "less than 1"});
    expect_refused({"5-8/8 in", 2, "8", "less than 1"});
    expect_refused({"59.", 3, "", "after the point"});
    expect_refused({"59. 5", 3, " ", "after the point"});
    expect_refused({".", 1, "", "after the point"});
    expect_refused({"1.2.3", 3, ".", "once"});
    expect_refused({"59.5 1/2", 5, "1", "side by side"});
    expect_refused({"59-5", 2, "-", "sums are not read"});
    expect_refused({"59 - 1/2", 3, "-", "sums are not read"});
    expect_refused({"59--1/2", 2, "-", "sums are not read"});
    expect_refused({"59+1/2", 2, "+", "sums are not read"});
    expect_refused({"--1", 1, "-", "number is wanted"});
    expect_refused({"10 mm + 5 mm", 6, "+", "sums are not read"});
    expect_refused({"1 m 20 cm", 4, "2", "side by side"});
    expect_refused({"11 in 4 ft", 6, "4", "side by side"});
    expect_refused({"4 ft 12 in", 5, "1", "less than 12"});
    expect_refused({"4.5 ft 3 in", 7, "3", "whole feet"});
    expect_refused({"4 1/2 ft 3 in", 9, "3", "whole feet"});
    expect_refused({"4 ft 30 mm", 8, "m", "only inches"});
    expect_refused({"4' 3'", 4, "'", "only inches"});
    expect_refused({"4' 3\" 1", 6, "1", "side by side"});
    expect_refused({"4' x", 3, "x", "number is wanted"});
    expect_refused({"4' -", 4, "", "number is wanted"});
    expect_refused({"59½″x", 7, "x", "nothing more"});
    expect_refused({"≈ 59 1/2 in", 0, "≈", "number is wanted"});
    expect_refused({"59 1/2 in\u200B", 9, "U+200B", "nothing more"});
    expect_refused({"５９", 0, "５", "number is wanted"});
    expect_refused({"Ø12 mm", 0, "Ø", "number is wanted"});
    expect_refused({"12 µm", 3, "µ", "nothing more"});
    expect_refused({std::string("1\0 mm", 5), 1, "U+0000", "nothing more"});
}

TEST(ReadLength, CountsPlacesInCharacters) {
    const auto read = read_length("½″ x", Unit::inch);
    const auto& refusal = std::get<LengthRefusal>(read);
    EXPECT_EQ(refusal.at, 6u) << "bytes";
    EXPECT_THAT(refusal.reason, HasSubstr("(character 4)"));
    expect_refused({"¹⁄ 2", 5, " ", "The space (character 3)"});
}

TEST(ReadLength, BrokenUtf8IsNamedByItsByte) {
    expect_refused({"12\xFF", 2, "byte 0xFF", "not UTF-8"});
    expect_refused({"\xC3", 0, "byte 0xC3", "not UTF-8"});
    expect_refused({"1 \xE2\x80", 2, "byte 0xE2", "not UTF-8"});
    expect_refused(
        {"1\xC0\xAF"
         "2",
         1, "byte 0xC0", "not UTF-8"});  // a slash in two bytes
    expect_refused(
        {"1\xE0\x80\xAF"
         "2",
         1, "byte 0xE0", "not UTF-8"});                                  // and in three
    expect_refused({"1\xED\xA0\x80", 1, "byte 0xED", "not UTF-8"});      // half of a surrogate pair
    expect_refused({"1\xF4\x90\x80\x80", 1, "byte 0xF4", "not UTF-8"});  // above U+10FFFF
}

TEST(ReadLength, AMegabyteIsReadOnce) {
    expect_refused({std::string(1'000'000, '1') + ",", 1'000'000, ",", "decimals"});
    expect_refused({"1 " + std::string(1'000'000, 'm'), 2, "m", "units are"});
    EXPECT_EQ(value_of(std::string(1'000'000, ' ') + "1 in"), 25.4);
}

}  // namespace
}  // namespace seamwright::units
