#pragma once

// Within the room: what both readers of foreign text share.

#include <charconv>
#include <string>
#include <string_view>

#include "curves/import.h"

namespace seamwright::curves {

/// Points nearer than this part of the drawing's size are the same point (ends that close a path but for rounding).
inline constexpr double same_point_part = 1e-9;

/// What stands at a place of the text, fit to be shown: the character in quotes, or its code when it cannot be shown.
std::string shown(std::string_view text, std::size_t at);

/// A problem at a byte of the text; counts the line.
ImportProblem problem_at(std::string_view text, std::size_t at, std::string found, std::string allowed,
                         std::string remedy);

/// The extent of a plain decimal number at `at`: sign, digits, point, exponent. 0 when there is none. "1.5.5" gives
/// "1.5"; an "e" without digits after it does not belong to the number.
std::size_t number_length(std::string_view text, std::size_t at);

/// The value of the number that `number_length` found. Too large for a double: infinite; too small: 0.
double number_value(std::string_view number);

}  // namespace seamwright::curves
