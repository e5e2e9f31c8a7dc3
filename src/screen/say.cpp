#include "say.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <utility>

namespace seamwright::screen {

std::string default_size(double mm, units::Unit unit) {
    if (unit == units::Unit::millimetre) return plain_number(mm) + " mm";
    const auto fraction = units::write_length(mm, {.unit = unit});
    return fraction.rounded ? units::show_thin(mm, unit) : fraction.text;
}

std::string plain_number(double value) {
    std::array<char, 32> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value + 0.0);
    return {digits.data(), end.ptr};
}

std::string sentence(std::string text) {
    if (text.empty()) return text;
    if (text.back() != '.') text += '.';
    return plan::words::capitalised(std::move(text));
}

}  // namespace seamwright::screen
