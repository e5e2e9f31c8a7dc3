#include "shelf/table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <stdexcept>
#include <string>
#include <vector>

#include "shelf/data_table.h"

namespace seamwright::shelf {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

// GCC 12 sees a false overlap in "c" + std::to_string(i).
std::string column(std::size_t i) {
    return std::string("c").append(std::to_string(i));
}

Table table_of(std::string_view text) {
    return built_in_table("test", text);
}

void expect_refused(std::string_view text, std::size_t line, const std::string& in_reason) {
    SCOPED_TRACE(text);
    const auto read = read_table(text);
    const auto* refusal = std::get_if<TableRefusal>(&read);
    ASSERT_NE(refusal, nullptr);
    EXPECT_EQ(refusal->line, line);
    EXPECT_THAT(refusal->reason, HasSubstr(in_reason));
}

// RFC 4180, section 2: quoted cells hold commas, line ends and doubled quotation marks; lines may end in CR LF.
TEST(Table, QuotedCells) {
    const Table table = table_of("a,b,c\r\n\"x,1\",\"two\r\nlines\",\"1\"\" wide\"\r\n,\"\",last\r\n");
    ASSERT_EQ(table.size(), 2u);
    EXPECT_THAT(table.columns(), ElementsAre("a", "b", "c"));
    EXPECT_EQ(table.cell(0, "a"), "x,1");
    EXPECT_EQ(table.cell(0, "b"), "two\r\nlines");
    EXPECT_EQ(table.cell(0, "c"), "1\" wide");
    EXPECT_EQ(table.cell(1, "a"), "");
    EXPECT_EQ(table.cell(1, "b"), "");
    EXPECT_EQ(table.cell(1, "c"), "last");
}

TEST(Table, ByteOrderMarkEmptyLinesAndNoLastLineEnd) {
    const Table table = table_of("\xEF\xBB\xBF\n\na,b\n\n1,2\n\n3,4");
    ASSERT_EQ(table.size(), 2u);
    EXPECT_EQ(table.cell(1, "b"), "4");
    EXPECT_EQ(table_of("a\n").size(), 0u);
}

TEST(Table, Numbers) {
    const Table table = table_of("v\n2.5\n-1e-3\n\"\"\n 3\n4 mm\nnan\ninf\n1e999\n");
    EXPECT_EQ(table.number(0, "v"), 2.5);
    EXPECT_EQ(table.number(1, "v"), -1e-3);
    ASSERT_EQ(table.size(), 8u);
    for (std::size_t row = 2; row < table.size(); ++row) {
        EXPECT_EQ(table.number(row, "v"), std::nullopt) << table.cell(row, "v");
    }
}

TEST(Table, RowsByValue) {
    const Table table = table_of("topic,v\na,1\nb,2\na,3\n");
    EXPECT_THAT(table.rows_where("topic", "a"), ElementsAre(0u, 2u));
    EXPECT_TRUE(table.rows_where("topic", "c").empty());
    EXPECT_TRUE(table.has("v"));
    EXPECT_FALSE(table.has("V"));
    EXPECT_THROW(table.cell(0, "w"), std::out_of_range);
    EXPECT_THROW(table.cell(3, "v"), std::out_of_range);
}

TEST(Table, RefusesWithTheLine) {
    expect_refused("", 1, "empty");
    expect_refused("\n\n", 1, "empty");
    expect_refused("a,b,a\n", 1, "“a” is named twice");
    expect_refused("a,b\n1,2\n1,2,3\n", 3, "3 cells where the table has 2");
    expect_refused("a,b\n\n1\n", 3, "1 cells");
    expect_refused("a,b\n\"two\nlines\",x\n1\n", 4, "1 cells");
    expect_refused("a,b\n1,\"2\n3,4\n", 2, "never closed");
    expect_refused("a\n\"1\"2\n", 2, "after a closing");
    expect_refused("a\n1\"2\"\n", 2, "inside a cell");
    EXPECT_THROW(built_in_table("data/x.csv", "a\n1,2\n"), std::logic_error);
}

TEST(Table, EveryReferenceTableReads) {
    const std::vector<std::pair<std::string, std::size_t>> files{
        {"mechanical.csv", 63}, {"lumber.csv", 101}, {"router.csv", 91}, {"paper.csv", 38}};
    for (const auto& [name, rows] : files) {
        SCOPED_TRACE(name);
        const Table table = data_table(name);
        EXPECT_EQ(table.size(), rows);
        ASSERT_TRUE(table.has("provenance"));
        for (std::size_t row = 0; row < table.size(); ++row) {
            EXPECT_THAT(table.cell(row, "provenance"), testing::AnyOf("read", "memory", "computed", "mixed")) << row;
        }
    }
}

RC_GTEST_PROP(AnyTable, IsReadAsItWasWritten, ()) {
    const auto width = static_cast<std::size_t>(*rc::gen::inRange(1, 5));
    const auto height = static_cast<std::size_t>(*rc::gen::inRange(0, 6));
    const auto cell = rc::gen::container<std::string>(rc::gen::element('a', '"', ',', '\n', '\r', ' ', '\xC3'));
    std::string text;
    for (std::size_t i = 0; i < width; ++i) text.append(i == 0 ? "" : ",").append(column(i));
    std::vector<std::vector<std::string>> cells(height);
    for (auto& row : cells) {
        text += '\n';
        for (std::size_t i = 0; i < width; ++i) {
            row.push_back(*cell);
            text += i == 0 ? "\"" : ",\"";
            for (const char c : row.back()) text += c == '"' ? "\"\"" : std::string(1, c);
            text += '"';
        }
    }
    const Table table = table_of(text);
    RC_ASSERT(table.size() == height);
    for (std::size_t row = 0; row < height; ++row) {
        for (std::size_t i = 0; i < width; ++i) RC_ASSERT(table.cell(row, column(i)) == cells[row][i]);
    }
}

RC_GTEST_PROP(AnyText, IsATableOrRefused, ()) {
    const auto text = *rc::gen::container<std::string>(rc::gen::element('a', 'b', '"', ',', '\n', '\r'));
    const auto read = read_table(text);
    if (const auto* refusal = std::get_if<TableRefusal>(&read)) {
        RC_ASSERT(!refusal->reason.empty());
        RC_ASSERT(refusal->line >= 1u);
        RC_ASSERT(refusal->line <= 1u + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')));
    }
}

}  // namespace
}  // namespace seamwright::shelf
