#include "folding.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace seamwright::store {
namespace {

struct Letter {
    std::uint32_t code = 0;
    std::size_t bytes = 1;
    bool good = false;
};

/// RFC 3629: no overlong forms, no surrogates.
Letter letter_at(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[at + i]); };
    const unsigned char first = byte(0);
    if (first < 0x80) return {first, 1, true};
    const std::size_t bytes = first >= 0xF0 && first < 0xF5 ? 4 : first >= 0xE0 ? 3 : first >= 0xC2 ? 2 : 0;
    if (bytes == 0 || first >= 0xF5 || at + bytes > text.size()) return {};
    std::uint32_t code = first & (0xFFU >> (bytes + 1));
    for (std::size_t i = 1; i < bytes; ++i) {
        if ((byte(i) & 0xC0) != 0x80) return {};
        code = (code << 6) | (byte(i) & 0x3FU);
    }
    constexpr std::array<std::uint32_t, 5> least{0, 0, 0x80, 0x800, 0x10000};
    if (code < least.at(bytes) || code > 0x10FFFF || (code >= 0xD800 && code < 0xE000)) return {};
    return {code, bytes, true};
}

// Plain letters for U+00C0 to U+00FF and U+0100 to U+017F, by what they look like; '*': more than one, ' ': none.
constexpr std::string_view latin_1 = "aaaaaa*ceeeeiiiidnooooo ouuuuy**aaaaaa*ceeeeiiiidnooooo ouuuuy*y";
constexpr std::string_view latin_a =
    "aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiii**jjkkklllllllllln"
    "nnnnnnnnoooooo**rrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs";
static_assert(latin_1.size() == 64 && latin_a.size() == 128);

std::string_view several(std::uint32_t code) {
    switch (code) {
        case 0xC6:
        case 0xE6:
            return "ae";
        case 0xDE:
        case 0xFE:
            return "th";
        case 0xDF:
            return "ss";
        case 0x132:
        case 0x133:
            return "ij";
        case 0x152:
        case 0x153:
            return "oe";
        default:
            return "";
    }
}

bool parts_words(std::uint32_t code) {
    return (code >= 0x80 && code < 0xC0 && code != 0xAA && code != 0xB5 && code != 0xBA) ||
           (code >= 0x2000 && code < 0x2C00) || (code >= 0x3000 && code < 0x3004) || code == 0xFEFF || code == 0xFFFD;
}

std::uint32_t small(std::uint32_t code) {
    if ((code >= 0x391 && code <= 0x3A9) || (code >= 0x410 && code <= 0x42F)) return code + 0x20;
    if (code >= 0x400 && code <= 0x40F) return code + 0x50;
    return code;
}

void append_utf8(std::string& out, std::uint32_t code) {
    const auto put = [&](std::uint32_t byte) { out += static_cast<char>(byte); };
    if (code < 0x800) {
        put(0xC0U | (code >> 6));
    } else if (code < 0x10000) {
        put(0xE0U | (code >> 12));
        put(0x80U | ((code >> 6) & 0x3FU));
    } else {
        put(0xF0U | (code >> 18));
        put(0x80U | ((code >> 12) & 0x3FU));
        put(0x80U | ((code >> 6) & 0x3FU));
    }
    put(0x80U | (code & 0x3FU));
}

/// Empty: it parts words.
std::string plain(const Letter& letter) {
    const std::uint32_t code = letter.code;
    if (!letter.good) return {};
    if (code < 0x80) {
        const char c = static_cast<char>(code);
        if (c >= 'A' && c <= 'Z') return {static_cast<char>(c - 'A' + 'a')};
        const bool word = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        return word ? std::string(1, c) : std::string();
    }
    if (code >= 0xC0 && code < 0x180) {
        const char c = code < 0x100 ? latin_1[code - 0xC0] : latin_a[code - 0x100];
        if (c == '*') return std::string(several(code));
        return c == ' ' ? std::string() : std::string(1, c);
    }
    if (parts_words(code)) return {};
    std::string out;
    append_utf8(out, small(code));
    return out;
}

bool accent(std::uint32_t code) {
    return code >= 0x300 && code < 0x370;
}

}  // namespace

Folded folded(std::string_view text) {
    Folded out;
    bool apart = false;
    for (std::size_t at = 0; at < text.size();) {
        const Letter letter = letter_at(text, at);
        const std::size_t here = at;
        at += letter.good ? letter.bytes : 1;
        if (letter.good && accent(letter.code)) continue;
        const std::string says = plain(letter);
        if (says.empty()) {
            apart = true;
            continue;
        }
        if (apart && !out.text.empty()) {
            out.text += ' ';
            out.from.push_back(here);
        }
        apart = false;
        out.text += says;
        out.from.insert(out.from.end(), says.size(), here);
    }
    return out;
}

std::vector<std::string> words_of(std::string_view question) {
    std::vector<std::string> words;
    const std::string text = folded(question).text;
    for (std::size_t from = 0; from < text.size() && words.size() < most_words;) {
        const std::size_t to = std::min(text.find(' ', from), text.size());
        std::string word = text.substr(from, std::min(to - from, longest_word));
        if (std::find(words.begin(), words.end(), word) == words.end()) words.push_back(std::move(word));
        from = to + 1;
    }
    return words;
}

bool has_word(std::string_view folded_text, std::string_view word) {
    for (std::size_t at = folded_text.find(word); at != std::string_view::npos; at = folded_text.find(word, at + 1))
        if (at == 0 || folded_text[at - 1] == ' ') return true;
    return false;
}

}  // namespace seamwright::store
