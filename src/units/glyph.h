#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

// The characters of a written length, and what each can mean there.

namespace seamwright::units {

enum class Kind {
    end,
    space,
    digit,
    raised_digit,    // ¹, the upper number of ¹⁄₂
    lowered_digit,   // ₂
    ready_fraction,  // ½
    point,
    comma,
    slash,
    dash,
    plus,
    foot_mark,
    inch_mark,
    letter,
    broken,  // not UTF-8
    other,
};

struct Glyph {
    std::size_t at = 0;  // byte
    std::size_t bytes = 0;
    char32_t code = 0;
    Kind kind = Kind::end;
    std::uint64_t upper = 0;  // the digit, or the upper number of a ready fraction
    std::uint64_t lower = 1;
};

/// One glyph for each character (for each byte where the text is not UTF-8), and one of Kind::end after the last.
std::vector<Glyph> cut_into_glyphs(std::string_view text);

/// The character as a person can see it: what shows no ink, or is not text at all, by its number. Empty at the end.
std::string shown(std::string_view text, const Glyph& glyph);

}  // namespace seamwright::units
