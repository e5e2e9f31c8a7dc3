#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstdint>
#include <limits>
#include <string>

#include "units/length.h"

namespace seamwright::units {
namespace {

constexpr LengthStyle inches(int denominator, bool feet = false) {
    return {.unit = Unit::inch, .denominator = denominator, .feet = feet};
}
constexpr LengthStyle millimetres(int decimals) {
    return {.unit = Unit::millimetre, .decimals = decimals};
}

TEST(WriteLength, FractionsAreReduced) {
    EXPECT_EQ(write_length(1511.3, inches(64)).text, "59 1/2 in");
    EXPECT_EQ(write_length(12.7, inches(64)).text, "1/2 in");
    EXPECT_EQ(write_length(20.240625, inches(64)).text, "51/64 in");
    EXPECT_EQ(write_length(25.4, inches(64)).text, "1 in");
    EXPECT_EQ(write_length(0.0, inches(64)).text, "0 in");
    EXPECT_EQ(write_length(1511.3, inches(1)).text, "60 in");
    EXPECT_EQ(write_length(1511.3, inches(2)).text, "59 1/2 in");
}

TEST(WriteLength, FeetAreSplitOff) {
    EXPECT_EQ(write_length(1511.3, inches(64, true)).text, "4 ft 11 1/2 in");
    EXPECT_EQ(write_length(1219.2, inches(64, true)).text, "4 ft");
    EXPECT_EQ(write_length(1231.9, inches(64, true)).text, "4 ft 1/2 in");
    EXPECT_EQ(write_length(279.4, inches(64, true)).text, "11 in");
    EXPECT_EQ(write_length(0.0, inches(64, true)).text, "0 in");
    EXPECT_EQ(write_length(-1511.3, inches(64, true)).text, "-4 ft 11 1/2 in");
}

TEST(WriteLength, RoundingUpCarries) {
    EXPECT_EQ(write_length(25.4 * (11.0 + 127.0 / 128.0), inches(64)).text, "12 in");
    EXPECT_EQ(write_length(25.4 * (11.0 + 127.0 / 128.0), inches(64, true)).text, "1 ft");
    EXPECT_EQ(write_length(25.4 * (11.0 + 63.0 / 64.0), inches(64, true)).text, "11 63/64 in");
    EXPECT_EQ(write_length(25.4 * (47.0 + 63.0 / 64.0), inches(8, true)).text, "4 ft");
    EXPECT_EQ(write_length(9.96, millimetres(1)).text, "10.0 mm");
}

TEST(WriteLength, NegativeAndNought) {
    EXPECT_EQ(write_length(-3.175, inches(64)).text, "-1/8 in");
    EXPECT_EQ(write_length(-0.001, inches(64)).text, "0 in");
    EXPECT_EQ(write_length(-0.001, millimetres(1)).text, "0.0 mm");
    EXPECT_EQ(write_length(-0.0, millimetres(0)).text, "0 mm");
    EXPECT_EQ(write_length(-10.25, millimetres(2)).text, "-10.25 mm");
}

TEST(WriteLength, KnowsItsError) {
    const WrittenLength exact = write_length(1511.3, inches(64));
    EXPECT_NEAR(exact.error_mm, 0.0, 1e-12);
    EXPECT_FALSE(exact.rounded);

    // 59 29/64 in is 59.453125 × 25.4 = 1510.109375 mm; 59 28/64 in, 1509.7125 mm, is farther off.
    const WrittenLength up = write_length(1510.0, inches(64));
    EXPECT_EQ(up.text, "59 29/64 in");
    EXPECT_NEAR(up.error_mm, 0.109375, 1e-9);
    EXPECT_TRUE(up.rounded);

    const WrittenLength down = write_length(-1510.0, inches(4));
    EXPECT_EQ(down.text, "-59 1/2 in");
    EXPECT_NEAR(down.error_mm, -1.3, 1e-9);

    const WrittenLength metric = write_length(10.04, millimetres(1));
    EXPECT_EQ(metric.text, "10.0 mm");
    EXPECT_NEAR(metric.error_mm, -0.04, 1e-12);
    EXPECT_TRUE(metric.rounded);
}

TEST(WriteLength, OddStylesAreTakenAsTheNearestAllowed) {
    EXPECT_EQ(write_length(1511.3, inches(3)).text, "59 1/2 in");
    EXPECT_EQ(write_length(12.8, inches(0)).text, "1 in");
    EXPECT_EQ(write_length(12.7 + 25.4 / 128.0 + 0.001, inches(1000)).text, "33/64 in");
    EXPECT_EQ(write_length(1.23456789, millimetres(9)).text, "1.2346 mm");
    EXPECT_EQ(write_length(1.6, millimetres(-1)).text, "2 mm");
}

TEST(WriteLength, WhatIsNotFinite) {
    for (const double mm :
         {std::nan(""), std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::max()}) {
        EXPECT_EQ(write_length(mm, inches(64)).text, "not a length");
        EXPECT_EQ(write_length(mm, inches(64)).error_mm, 0.0);
    }
    EXPECT_EQ(show_thin(std::nan(""), Unit::inch), "not a length");
    EXPECT_EQ(write_length(1e300, inches(64, true)).text.substr(0, 4), "3280");
}

TEST(Show, MarksARoundingThatCanBeFelt) {
    EXPECT_EQ(show(1511.3, inches(64)), "59 1/2 in");
    EXPECT_EQ(show(1511.3 + 0.0099, inches(64)), "59 1/2 in");
    EXPECT_EQ(show(1511.3 + 0.0101, inches(64)), "≈ 59 1/2 in");
    EXPECT_EQ(show(1511.3 - 0.0101, inches(64)), "≈ 59 1/2 in");
    EXPECT_EQ(show(10.04, millimetres(1)), "10.0 mm");
}

TEST(Show, ThinMeasures) {
    EXPECT_EQ(show_thin(0.1, Unit::inch), "0.004 in");
    EXPECT_EQ(show_thin(0.1, Unit::millimetre), "0.10 mm");
    EXPECT_EQ(show_thin(-0.0001, Unit::inch), "0.000 in");
    EXPECT_EQ(show_thin(-0.0254, Unit::inch), "-0.001 in");
    EXPECT_EQ(show_thin(0.004, Unit::millimetre), "0.00 mm");
}

// What double arithmetic on lengths up to 1 km may lose.
constexpr double arithmetic_mm = 1e-9;

double read_back(const std::string& text, Unit bare) {
    const auto read = read_length(text, bare);
    RC_ASSERT(std::holds_alternative<double>(read));
    return std::get<double>(read);
}

double any_length_mm() {
    // Micrometres up to 1 km in whole numbers, and all sizes down to nothing.
    const auto micrometres = *rc::gen::inRange<std::int64_t>(-1'000'000'000, 1'000'000'001);
    const auto shrink = *rc::gen::inRange(0, 7);
    return static_cast<double>(micrometres) / 1000.0 / std::pow(10.0, shrink) * 0.999;
}

RC_GTEST_PROP(WrittenLengths, ReadBackInInchesWithinHalfAFraction, ()) {
    const double mm = any_length_mm();
    const int denominator = 1 << *rc::gen::inRange(0, 7);
    const auto style = inches(denominator, *rc::gen::arbitrary<bool>());
    const WrittenLength written = write_length(mm, style);
    const double back = read_back(written.text, *rc::gen::element(Unit::inch, Unit::millimetre));
    RC_ASSERT(std::abs(back - mm) <= 25.4 / denominator / 2.0 + arithmetic_mm);
    RC_ASSERT(std::abs(back - mm - written.error_mm) <= arithmetic_mm);
    RC_ASSERT(written.rounded == (std::abs(written.error_mm) > 1e-6));
    RC_ASSERT(write_length(back, style).text == written.text);
}

RC_GTEST_PROP(WrittenLengths, ReadBackInMillimetresWithinHalfADigit, ()) {
    const double mm = any_length_mm();
    const int decimals = *rc::gen::inRange(0, 5);
    const WrittenLength written = write_length(mm, millimetres(decimals));
    const double back = read_back(written.text, Unit::inch);
    RC_ASSERT(std::abs(back - mm) <= 0.5 * std::pow(10.0, -decimals) + arithmetic_mm);
    RC_ASSERT(std::abs(back - mm - written.error_mm) <= arithmetic_mm);
    RC_ASSERT(write_length(back, millimetres(decimals)).text == written.text);
}

RC_GTEST_PROP(WrittenLengths, FractionsOfARuleAreExact, ()) {
    const int denominator = 1 << *rc::gen::inRange(0, 7);
    const auto parts = *rc::gen::inRange(-39'000, 39'001);
    const double mm = parts * 254.0 / 10.0 / denominator;
    const WrittenLength written = write_length(mm, inches(64, *rc::gen::arbitrary<bool>()));
    RC_ASSERT(!written.rounded);
    RC_ASSERT(std::abs(read_back(written.text, Unit::inch) - mm) <= arithmetic_mm);
    RC_ASSERT(show(mm, inches(64)).substr(0, 3) != "≈");
}

// Any bytes at all: a number within the limit, or a refusal inside the text with a reason. A sound length, broken in up
// to two places, reaches deeper than noise; about a third are still read.
RC_GTEST_PROP(AnyText, IsReadOrRefusedInPlace, ()) {
    const auto piece = [](auto... pieces) { return *rc::gen::element<std::string>(std::string(pieces)...); };
    std::string text = piece("", "-", "+", "4 ft ", "4'-") + piece("0", "7", "59", "0.25", "1000") +
                       piece("", "", " 1/2", "-15/16", "½", " ⅞", "¹⁄₈") +
                       piece("", " in", "″", "\"", " ft", " mm", " cm", "m");
    const int breaks = *rc::gen::inRange(0, 3);
    for (int i = 0; i < breaks; ++i) {
        const auto at = static_cast<std::size_t>(*rc::gen::inRange(0, static_cast<int>(text.size()) + 1));
        text.insert(at, piece("0", "1", " ", "/", "⁄", "-", "–", ".", ",", "½", "'", "″", "in", "mm", "x", "¹", "₂",
                              "\xFF", "\xE2", "+", "\u00A0"));
    }
    const auto read = read_length(text, *rc::gen::element(Unit::inch, Unit::millimetre));
    RC_CLASSIFY(std::holds_alternative<double>(read), "read");
    if (const auto* mm = std::get_if<double>(&read)) {
        RC_ASSERT(std::abs(*mm) <= longest_length_mm);
    } else {
        const auto& refusal = std::get<LengthRefusal>(read);
        RC_ASSERT(refusal.at <= text.size());
        RC_ASSERT(refusal.character.empty() == (refusal.at == text.size()));
        RC_ASSERT(!refusal.reason.empty());
        RC_ASSERT(refusal.reason.back() == '.');
    }
}

}  // namespace
}  // namespace seamwright::units
