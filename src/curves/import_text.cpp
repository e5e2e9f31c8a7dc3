#include "import_text.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace seamwright::curves {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

}  // namespace

std::string shown(std::string_view text, std::size_t at) {
    if (at >= text.size()) return "the end of the text";
    const char c = text[at];
    if (c == '\n' || c == '\r') return "the end of the line";
    if (c > ' ' && c < '\x7f') return std::string("\"") + c + "\"";
    constexpr std::string_view hex = "0123456789ABCDEF";
    const auto code = static_cast<unsigned char>(c);
    return std::string("the byte 0x") + hex[code >> 4U] + hex[code & 15U];
}

ImportProblem problem_at(std::string_view text, std::size_t at, std::string found, std::string allowed,
                         std::string remedy) {
    ImportProblem problem;
    problem.at = std::min(at, text.size());
    const std::string_view before = text.substr(0, problem.at);
    // Lines end with LF, CR LF, or CR alone.
    for (std::size_t i = 0; i < before.size(); ++i) {
        const bool lone_return = before[i] == '\r' && !(i + 1 < text.size() && text[i + 1] == '\n');
        if (before[i] == '\n' || lone_return) ++problem.line;
    }
    problem.found = std::move(found);
    problem.allowed = std::move(allowed);
    problem.remedy = std::move(remedy);
    return problem;
}

std::size_t number_length(std::string_view text, std::size_t at) {
    std::size_t i = at;
    const auto digits = [&] {
        const std::size_t from = i;
        while (i < text.size() && is_digit(text[i])) ++i;
        return i - from;
    };
    if (i < text.size() && (text[i] == '+' || text[i] == '-')) ++i;
    std::size_t count = digits();
    if (i < text.size() && text[i] == '.') {
        ++i;
        count += digits();
    }
    if (count == 0) return 0;
    if (i < text.size() && (text[i] == 'e' || text[i] == 'E')) {
        const std::size_t mantissa_end = i;
        ++i;
        if (i < text.size() && (text[i] == '+' || text[i] == '-')) ++i;
        if (digits() == 0) i = mantissa_end;
    }
    return i - at;
}

double number_value(std::string_view number) {
    if (!number.empty() && number.front() == '+') number.remove_prefix(1);
    double value = 0.0;
    const auto result = std::from_chars(number.data(), number.data() + number.size(), value);
    if (result.ec == std::errc{}) return value;
    // Out of range: from_chars does not say at which end, the exponent does.
    const std::size_t e = number.find_first_of("eE");
    const bool tiny = e != std::string_view::npos && e + 1 < number.size() && number[e + 1] == '-';
    return tiny ? 0.0 : std::numeric_limits<double>::infinity();
}

}  // namespace seamwright::curves
