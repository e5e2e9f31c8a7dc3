#include "glyph.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>

namespace seamwright::units {
namespace {

struct ReadyFraction {
    char32_t code;
    std::uint64_t upper, lower;
};
// The Unicode Standard, blocks Latin-1 Supplement and Number Forms.
constexpr std::array<ReadyFraction, 19> ready_fractions{{
    {0xBC, 1, 4},   {0xBD, 1, 2},   {0xBE, 3, 4},   {0x2150, 1, 7}, {0x2151, 1, 9}, {0x2152, 1, 10}, {0x2153, 1, 3},
    {0x2154, 2, 3}, {0x2155, 1, 5}, {0x2156, 2, 5}, {0x2157, 3, 5}, {0x2158, 4, 5}, {0x2159, 1, 6},  {0x215A, 5, 6},
    {0x215B, 1, 8}, {0x215C, 3, 8}, {0x215D, 5, 8}, {0x215E, 7, 8}, {0x2189, 0, 3},
}};

bool is_space(char32_t c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == 0xA0 || (c >= 0x2000 && c <= 0x200A) ||
           c == 0x202F || c == 0x205F || c == 0x3000;
}

void classify(Glyph& glyph) {
    const char32_t c = glyph.code;
    const auto digit = [&](Kind kind, std::uint64_t value) {
        glyph.kind = kind;
        glyph.upper = value;
    };
    if (c >= '0' && c <= '9') return digit(Kind::digit, c - U'0');
    if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z')) {
        glyph.kind = Kind::letter;
        return;
    }
    if (is_space(c)) {
        glyph.kind = Kind::space;
        return;
    }
    switch (c) {
        case '.':
            glyph.kind = Kind::point;
            return;
        case ',':
            glyph.kind = Kind::comma;
            return;
        case '+':
            glyph.kind = Kind::plus;
            return;
        case '/':
        case 0x2044:  // fraction slash
        case 0x2215:  // division slash
            glyph.kind = Kind::slash;
            return;
        case '-':
        case 0x2010:  // hyphen
        case 0x2011:  // non-breaking hyphen
        case 0x2012:  // figure dash
        case 0x2013:  // en dash
        case 0x2212:  // minus
            glyph.kind = Kind::dash;
            return;
        case '\'':
        case 0x2018:  // the two single quotation marks: word processors put them for a prime
        case 0x2019:
        case 0x2032:  // prime
            glyph.kind = Kind::foot_mark;
            return;
        case '"':
        case 0x201C:
        case 0x201D:
        case 0x2033:  // double prime
            glyph.kind = Kind::inch_mark;
            return;
        case 0xB9:
            return digit(Kind::raised_digit, 1);
        case 0xB2:
            return digit(Kind::raised_digit, 2);
        case 0xB3:
            return digit(Kind::raised_digit, 3);
        case 0x2070:
            return digit(Kind::raised_digit, 0);
        default:
            break;
    }
    if (c >= 0x2074 && c <= 0x2079) return digit(Kind::raised_digit, c - 0x2070);
    if (c >= 0x2080 && c <= 0x2089) return digit(Kind::lowered_digit, c - 0x2080);
    const auto* ready = std::find_if(ready_fractions.begin(), ready_fractions.end(),
                                     [c](const ReadyFraction& fraction) { return fraction.code == c; });
    if (ready != ready_fractions.end()) {
        glyph.kind = Kind::ready_fraction;
        glyph.upper = ready->upper;
        glyph.lower = ready->lower;
        return;
    }
    glyph.kind = Kind::other;
}

// One UTF-8 character (RFC 3629: shortest form, no surrogates, at most U+10FFFF); a broken one is one byte long.
Glyph decode(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    Glyph glyph{.at = at, .bytes = 1, .code = byte(at), .kind = Kind::broken};
    std::size_t more = 0;
    char32_t smallest = 0;
    if (glyph.code < 0x80) {
        classify(glyph);
        return glyph;
    }
    if (glyph.code >= 0xC2 && glyph.code <= 0xDF) {
        more = 1;
        smallest = 0x80;
    } else if (glyph.code >= 0xE0 && glyph.code <= 0xEF) {
        more = 2;
        smallest = 0x800;
    } else if (glyph.code >= 0xF0 && glyph.code <= 0xF4) {
        more = 3;
        smallest = 0x10000;
    } else {
        return glyph;
    }
    if (at + more >= text.size()) return glyph;
    char32_t code = glyph.code & (0x3Fu >> more);
    for (std::size_t i = 1; i <= more; ++i) {
        if ((byte(at + i) & 0xC0) != 0x80) return glyph;
        code = (code << 6) | (byte(at + i) & 0x3Fu);
    }
    if (code < smallest || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return glyph;
    glyph.code = code;
    glyph.bytes = more + 1;
    classify(glyph);
    return glyph;
}

}  // namespace

std::vector<Glyph> cut_into_glyphs(std::string_view text) {
    std::vector<Glyph> glyphs;
    glyphs.reserve(text.size() + 1);
    for (std::size_t at = 0; at < text.size(); at += glyphs.back().bytes) glyphs.push_back(decode(text, at));
    glyphs.push_back({.at = text.size()});
    return glyphs;
}

std::string shown(std::string_view text, const Glyph& g) {
    if (g.kind == Kind::end) return {};
    if (g.kind == Kind::broken) return fmt::format("byte 0x{:02X}", static_cast<std::uint32_t>(g.code));
    const bool inkless = g.code < 0x20 || (g.code >= 0x7F && g.code <= 0xA0) || g.code == 0xAD ||
                         (g.code >= 0x300 && g.code <= 0x36F) || (g.code >= 0x2000 && g.code <= 0x200F) ||
                         (g.code >= 0x2028 && g.code <= 0x202F) || (g.code >= 0x205F && g.code <= 0x206F) ||
                         g.code == 0xFEFF || (g.code >= 0xFFF0 && g.code <= 0xFFFF) || g.code >= 0xE0000;
    if (inkless) return fmt::format("U+{:04X}", static_cast<std::uint32_t>(g.code));
    return std::string(text.substr(g.at, g.bytes));
}

}  // namespace seamwright::units
