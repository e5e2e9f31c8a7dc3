#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace seamwright::app {

/// Longest line on the terminal, in characters.
inline constexpr std::size_t widest_line = 100;

/// The text with everything that could steer a terminal (control characters, marks that turn the direction of writing,
/// broken UTF-8) replaced by U+FFFD. Job files come from strangers. Line ends count as control characters.
std::string printable(std::string_view text);

/// Number of characters (code points; wide and combining ones count as one).
std::size_t columns(std::string_view text);

/// The text after `first`, broken at spaces so that no line is longer than `widest_line`; further lines are indented by
/// as much as `first` is wide. A word that is longer than a line (a path, a JSON pointer) is cut. Ends with a line end.
std::string wrapped(std::string_view first, std::string_view text);

/// Rows in columns, two spaces apart, indented; numbers (cells that begin with a digit or "≈") to the right. Falls
/// back to one wrapped line for each row when that would be too wide.
std::string table(std::string_view indent, const std::vector<std::vector<std::string>>& rows);

}  // namespace seamwright::app
