#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace seamwright::shelf {

/// Why a text is not a table.
struct TableRefusal {
    std::size_t line = 0;  ///< counted from 1, in the text (a quoted cell may run over several lines)
    std::string reason;    ///< one plain sentence
};

/// A table with named columns: the reference tables under data/, read from comma-separated values (RFC 4180).
class Table {
  public:
    std::size_t size() const { return rows_.size(); }
    const std::vector<std::string>& columns() const { return columns_; }
    bool has(std::string_view column) const;

    /// The cell as text, empty when the table gives nothing. Throws std::out_of_range for a row or column that does not
    /// exist: that is a fault of the program, not of the data.
    const std::string& cell(std::size_t row, std::string_view column) const;

    /// The cell as a number with a decimal point; absent when it is empty or anything but one finite number.
    std::optional<double> number(std::size_t row, std::string_view column) const;

    /// Rows whose cell in `column` is exactly `value`, in the order of the table.
    std::vector<std::size_t> rows_where(std::string_view column, std::string_view value) const;

  private:
    friend std::variant<Table, TableRefusal> read_table(std::string_view text);
    std::size_t index(std::string_view column) const;

    std::vector<std::string> columns_;
    std::vector<std::vector<std::string>> rows_;
};

/// Reads comma-separated values: first row names the columns (each once), cells may stand in double quotes and then
/// hold commas, line ends and doubled quotes; lines end in LF or CR LF; empty lines and a byte order mark are skipped.
/// Every row must have as many cells as there are columns. Bytes are kept as they are.
std::variant<Table, TableRefusal> read_table(std::string_view text);

/// The same for a table that is part of the program; throws std::logic_error naming `what` and the line if it is
/// broken.
Table built_in_table(std::string_view what, std::string_view text);

}  // namespace seamwright::shelf
