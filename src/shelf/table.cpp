#include "shelf/table.h"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>
#include <stdexcept>
#include <utility>

namespace seamwright::shelf {
namespace {

struct Row {
    std::size_t line = 0;
    std::vector<std::string> cells;
};

class RowReader {
  public:
    explicit RowReader(std::string_view text) : text_(text) {
        constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
        if (text_.substr(0, byte_order_mark.size()) == byte_order_mark) at_ = byte_order_mark.size();
    }

    // The next row that is not empty; absent at the end or when refused.
    std::optional<Row> next() {
        while (skip_line_end()) continue;
        if (at_ == text_.size()) return std::nullopt;
        Row row{.line = line_, .cells = {}};
        do {
            std::string cell;
            if (!read_cell(cell)) return std::nullopt;
            row.cells.push_back(std::move(cell));
        } while (skip(','));
        return row;
    }

    const std::optional<TableRefusal>& refusal() const { return refusal_; }

  private:
    bool read_cell(std::string& cell) {
        if (!skip('"')) {
            const std::size_t begin = at_;
            while (at_ < text_.size() && text_[at_] != ',' && !at_line_end()) {
                if (text_[at_] == '"')
                    return refuse(line_, "A quotation mark stands inside a cell that does not begin with one.");
                ++at_;
            }
            cell = text_.substr(begin, at_ - begin);
            return true;
        }
        const std::size_t opened = line_;
        for (;; ++at_) {
            if (at_ == text_.size()) return refuse(opened, "The quotation mark opened on this line is never closed.");
            if (text_[at_] == '"' && (at_ + 1 == text_.size() || text_[at_ + 1] != '"')) break;
            if (text_[at_] == '"') ++at_;
            if (text_[at_] == '\n') ++line_;
            cell += text_[at_];
        }
        ++at_;
        if (at_ < text_.size() && text_[at_] != ',' && !at_line_end()) {
            return refuse(line_, "A comma or the end of the line is wanted after a closing quotation mark.");
        }
        return true;
    }

    bool refuse(std::size_t line, std::string reason) {
        refusal_ = TableRefusal{.line = line, .reason = std::move(reason)};
        return false;
    }

    bool skip(char c) {
        if (at_ == text_.size() || text_[at_] != c) return false;
        ++at_;
        return true;
    }
    bool at_line_end() const { return text_[at_] == '\n' || (text_[at_] == '\r' && text_.substr(at_, 2) == "\r\n"); }
    bool skip_line_end() {
        if (at_ == text_.size() || !at_line_end()) return false;
        at_ += text_[at_] == '\r' ? 2u : 1u;
        ++line_;
        return true;
    }

    std::string_view text_;
    std::size_t at_ = 0;
    std::size_t line_ = 1;
    std::optional<TableRefusal> refusal_;
};

}  // namespace

std::variant<Table, TableRefusal> read_table(std::string_view text) {
    RowReader reader(text);
    Table table;
    std::optional<Row> row = reader.next();
    if (const auto& refusal = reader.refusal()) return *refusal;
    if (!row) return TableRefusal{.line = 1, .reason = "The table is empty: its first line must name the columns."};
    std::set<std::string> seen;
    for (const std::string& column : row->cells) {
        if (!seen.insert(column).second) {
            return TableRefusal{.line = row->line, .reason = fmt::format("The column “{}” is named twice.", column)};
        }
    }
    table.columns_ = std::move(row->cells);
    while ((row = reader.next())) {
        if (row->cells.size() != table.columns_.size()) {
            return TableRefusal{.line = row->line,
                                .reason = fmt::format("The row has {} cells where the table has {} columns.",
                                                      row->cells.size(), table.columns_.size())};
        }
        table.rows_.push_back(std::move(row->cells));
    }
    if (const auto& refusal = reader.refusal()) return *refusal;
    return table;
}

Table built_in_table(std::string_view what, std::string_view text) {
    std::variant<Table, TableRefusal> read = read_table(text);
    if (const auto* refusal = std::get_if<TableRefusal>(&read)) {
        throw std::logic_error(fmt::format("{}, line {}: {}", what, refusal->line, refusal->reason));
    }
    return std::get<Table>(std::move(read));
}

std::size_t Table::index(std::string_view column) const {
    const auto found = std::find(columns_.begin(), columns_.end(), column);
    if (found == columns_.end()) throw std::out_of_range(fmt::format("the table has no column “{}”", column));
    return static_cast<std::size_t>(found - columns_.begin());
}

bool Table::has(std::string_view column) const {
    return std::find(columns_.begin(), columns_.end(), column) != columns_.end();
}

const std::string& Table::cell(std::size_t row, std::string_view column) const {
    return rows_.at(row)[index(column)];
}

std::optional<double> Table::number(std::size_t row, std::string_view column) const {
    const std::string& text = cell(row, column);
    double value = 0.0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

std::vector<std::size_t> Table::rows_where(std::string_view column, std::string_view value) const {
    const std::size_t i = index(column);
    std::vector<std::size_t> rows;
    for (std::size_t row = 0; row < rows_.size(); ++row) {
        if (rows_[row][i] == value) rows.push_back(row);
    }
    return rows;
}

}  // namespace seamwright::shelf
