#include "app/plain_text.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace seamwright::app {
namespace {

constexpr std::string_view replacement = "\uFFFD";

struct CodePoint {
    std::uint32_t value = 0;
    std::size_t bytes = 0;  ///< 0: broken
};

/// Unicode 15, table 3-7: well-formed UTF-8.
CodePoint first_code_point(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(static_cast<unsigned char>(text[i])); };
    const std::uint32_t lead = byte(0);
    if (lead < 0x80) return {lead, 1};
    const std::size_t size = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || text.size() < size) return {};
    std::uint32_t value = lead & (0xFFU >> (size + 1));
    for (std::size_t i = 1; i < size; ++i) {
        if ((byte(i) & 0xC0U) != 0x80U) return {};
        value = (value << 6U) | (byte(i) & 0x3FU);
    }
    constexpr std::array<std::uint32_t, 5> least = {0, 0, 0x80, 0x800, 0x10000};
    const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (value < least[size] || value > 0x10FFFF || surrogate) return {};
    return {value, size};
}

bool steers_terminal(std::uint32_t c) {
    const bool control = c < 0x20 || (c >= 0x7F && c <= 0x9F) || c == 0x2028 || c == 0x2029;
    const bool turns_writing =
        c == 0x061C || c == 0x200E || c == 0x200F || (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
    return control || turns_writing;
}

/// Bytes of the first `characters` characters of a text that has as many.
std::size_t bytes_of(std::string_view text, std::size_t characters) {
    std::size_t bytes = 0;
    while (bytes < text.size() && (characters > 0 || (static_cast<unsigned char>(text[bytes]) & 0xC0U) == 0x80U)) {
        if ((static_cast<unsigned char>(text[bytes]) & 0xC0U) != 0x80U) --characters;
        ++bytes;
    }
    return bytes;
}

bool is_number(std::string_view cell) {
    return cell.starts_with("≈") || (!cell.empty() && cell.front() >= '0' && cell.front() <= '9');
}

}  // namespace

std::string printable(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    while (!text.empty()) {
        const CodePoint next = first_code_point(text);
        const std::size_t bytes = std::max<std::size_t>(next.bytes, 1);
        result += next.bytes == 0 || steers_terminal(next.value) ? replacement : text.substr(0, bytes);
        text.remove_prefix(bytes);
    }
    return result;
}

std::size_t columns(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string wrapped(std::string_view first, std::string_view text) {
    const std::size_t indent = columns(first);
    // However deep the indent, a line takes a few characters, or nothing would ever be printed.
    constexpr std::size_t least_room = 20;
    const std::size_t room = std::max(indent + least_room, widest_line) - indent;
    std::string result(first);
    std::size_t used = 0;
    const auto put = [&](std::string_view word) {
        const std::size_t width = columns(word);
        if (used > 0 && used + 1 + width > room) {
            result += '\n';
            result.append(indent, ' ');
            used = 0;
        }
        if (used > 0) {
            result += ' ';
            ++used;
        }
        result += word;
        used += width;
    };
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        std::string_view word = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        while (columns(word) > room) {
            const std::size_t bytes = bytes_of(word, room);
            put(word.substr(0, bytes));
            word.remove_prefix(bytes);
        }
        if (!word.empty()) put(word);
    }
    return result + '\n';
}

std::string table(std::string_view indent, const std::vector<std::vector<std::string>>& rows) {
    std::vector<std::size_t> widths;
    for (const auto& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], columns(row[i]));
    }
    std::size_t whole = columns(indent);
    for (const std::size_t width : widths) whole += width + 2;
    std::string result;
    for (const auto& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            if (whole > widest_line) {
                if (!row[i].empty()) line += (line.empty() ? "" : ", ") + row[i];
                continue;
            }
            const std::string padding(widths[i] - columns(row[i]), ' ');
            line += is_number(row[i]) ? padding + row[i] : row[i] + padding;
            line += "  ";
        }
        if (whole > widest_line) {
            result += wrapped(indent, line);
            continue;
        }
        line.erase(line.find_last_not_of(' ') + 1);
        result += std::string(indent) + line + '\n';
    }
    return result;
}

}  // namespace seamwright::app
