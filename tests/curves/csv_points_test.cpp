#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <charconv>
#include <chrono>

#include "curves/import.h"

namespace seamwright::curves {
namespace {

using Points = std::vector<Point>;

Imported read(std::string_view text, double mm_per_unit = 1.0, bool closed = false) {
    auto result = read_csv_points(text, mm_per_unit, closed);
    if (const auto* p = std::get_if<ImportProblem>(&result))
        throw std::runtime_error("found " + p->found + " in line " + std::to_string(p->line));
    return std::get<Imported>(result);
}

ImportProblem refused(std::string_view text, bool closed = false) {
    auto result = read_csv_points(text, 1.0, closed);
    if (!std::holds_alternative<ImportProblem>(result)) return {999999, 0, "read after all", "", ""};
    EXPECT_FALSE(std::get<ImportProblem>(result).allowed.empty());
    EXPECT_FALSE(std::get<ImportProblem>(result).remedy.empty());
    return std::get<ImportProblem>(result);
}

Points corners(const Imported& imported) {
    Points out;
    for (const auto& s : imported.path.segments) out.push_back(s.start);
    out.push_back(imported.path.end());
    return out;
}

TEST(CsvPoints, SeparatorsHeadingsAndNotes) {
    const Points wanted{{0, 0}, {10, 2.5}, {20, -1}};
    for (const char* text :
         {"0,0\n10,2.5\n20,-1\n", "0;0\n10;2.5\n20;-1", "0\t0\r\n10\t2.5\r\n20\t-1\r\n", "0 0\r10   2.5\r20 -1\r",
          " 0 , 0 \n\n10,+2.5\n \n2e1,-1.0\n", "x,y\n0,0\n10,2.5\n20,-1", "\"x (mm)\";\"y\"\n0;0\n10;2.5\n20;-1",
          "# a trace\n0,0\n# its middle\n10,2.5\n20,-1", "\xEF\xBB\xBFx,y\n0,0\n10,2.5\n20,-1",
          "# note\nx y\n0 0\n10 2.5\n20 -1", "0,0\n0,0\n10,2.5\n10,2.5\n20,-1"}) {
        const Imported i = read(text);
        EXPECT_EQ(corners(i), wanted) << text;
        EXPECT_FALSE(i.path.closed);
        EXPECT_EQ(i.bound_mm, 0.0);
    }
    EXPECT_EQ(corners(read("0,0\n1,2\n", 25.4)), (Points{{0, 0}, {25.4, 50.8}}));
}

TEST(CsvPoints, Closing) {
    for (const auto& [text, closed] : {std::pair{"0,0\n10,0\n10,10\n", true},
                                       {"0,0\n10,0\n10,10\n0,0\n", false},
                                       {"0,0\n10,0\n10,10\n0,0\n", true}}) {
        const Imported i = read(text, 1.0, closed);
        EXPECT_TRUE(i.path.closed);
        EXPECT_EQ(i.path.segments.size(), 3U);
        EXPECT_EQ(i.path.start(), i.path.end());
    }
}

TEST(CsvPoints, RefusesWithThePlace) {
    const auto at = [](std::string_view text, std::size_t place, std::size_t line, std::string_view found) {
        const ImportProblem p = refused(text);
        EXPECT_EQ(p.at, place) << text;
        EXPECT_EQ(p.line, line) << text;
        EXPECT_NE(p.found.find(found), std::string::npos) << text << ": " << p.found;
    };
    at("", 0, 1, "0 different points");
    at("x,y\n", 4, 2, "0 different points");
    at("1,2\n", 4, 2, "1 different points");
    at("1,2\n1,2\n", 8, 3, "1 different points");
    at("0,0\n1\n2,2", 4, 2, "one number");
    at("0,0\n1,\n2,2", 4, 2, "one number");
    at("0,0\n1,2,3\n", 7, 2, "more than two");
    at("0,0\n1,5;2,5\n", 7, 2, "more than two");
    at("0,0\n1,2x\n", 7, 2, "\"x\"");
    at("0,0\nx,y\n1,1", 4, 2, "\"x\"");
    at("x,y\nu,v\n1,1", 4, 2, "\"u\"");
    at("0,0\n1,nan\n", 6, 2, "\"n\"");
    at("0,0\n-inf,1\n", 4, 2, "-inf");
    at("0,0\n1,1e999\n", 6, 2, "1e999");
    at("0,0\n1,1e7\n", 6, 2, "1e7");
    at("0,0\n1.5.5\n", 7, 2, "\".\"");
    at("0,0\n+-1,2\n", 4, 2, "\"+\"");
    at(std::string_view("0,0\n1,2\0\n", 9), 7, 2, "0x00");
    EXPECT_NE(refused("0,0\n1,1\n", true).allowed.find("three"), std::string::npos);
    EXPECT_TRUE(std::holds_alternative<ImportProblem>(read_csv_points("0,0\n1,1", 0.0, false)));
    EXPECT_TRUE(std::holds_alternative<ImportProblem>(read_csv_points("0,0\n1,1", std::nan(""), false)));
    EXPECT_EQ(corners(read("0,1e-999\n1,1\n")).front(), (Point{0.0, 0.0}));
}

// Law: every point that was written is there, to the last bit.
RC_GTEST_PROP(CsvPoints, RoundTrip, (const std::vector<std::pair<int, int>>& given)) {
    Points points{{-7.25, 1.0}, {0.5, 3.0}};
    for (const auto& [x, y] : given) {
        const Point p{(x % 1000000) / 7.0, (y % 1000000) / 3.0};
        if (!(p == points.back())) points.push_back(p);
    }
    RC_PRE(!(points.back() == points.front()));
    std::string text = "x,y\n";
    for (const Point p : points) {
        char buffer[64];
        char* end = std::to_chars(buffer, buffer + 32, p.x).ptr;
        *end++ = ',';
        end = std::to_chars(end, buffer + 64, p.y).ptr;
        text.append(buffer, end);
        text += '\n';
    }
    RC_ASSERT(corners(read(text)) == points);
}

TEST(CsvPoints, AMillionPointsAndNoMoreThanTheLimit) {
    std::string text;
    for (int i = 0; i < 1000000; ++i) {
        char buffer[64];
        char* end = std::to_chars(buffer, buffer + 32, i * 0.0025123, std::chars_format::fixed, 6).ptr;
        *end++ = ',';
        end = std::to_chars(end, buffer + 64, 600.0 + (i % 1000 * 7919 % 1000) * 1e-4, std::chars_format::fixed, 6).ptr;
        text.append(buffer, end);
        text += '\n';
    }
    const auto begin = std::chrono::steady_clock::now();
    const Imported i = read(text);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
    EXPECT_EQ(i.path.segments.size(), 999999U);
    RecordProperty("mb_per_s", std::to_string(static_cast<double>(text.size()) / 1e6 / took.count()));
    std::printf("CSV: %.1f MB at %.0f MB/s\n", static_cast<double>(text.size()) / 1e6,
                static_cast<double>(text.size()) / 1e6 / took.count());
    const std::string thrice = text + text + text;
    EXPECT_NE(refused(thrice).found.find("2000000"), std::string::npos);
}

}  // namespace
}  // namespace seamwright::curves
