#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>

namespace seamwright::paper {

/// A coordinate to 1e-6 mm in the fewest digits, never in powers of ten and never "-0".
inline std::string number(double value) {
    std::string text = fmt::format("{:.6f}", value);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

}  // namespace seamwright::paper
