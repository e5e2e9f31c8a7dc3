// Reading a length.
//
//   length   = [sign] (feet [dash] inches | number [unit])
//   feet     = number foot-mark            inches = number [inch-mark]
//   number   = whole | decimal | fraction | whole [space | dash] fraction
//
// The text is first cut into glyphs (one character each, with what it can mean), then read from left to right without
// going back. Whatever is refused is refused at one glyph, so the place is always known.
//
// Rounding: whole numbers and fractions are kept as whole numbers until the last step. An inch is 254/10 mm, so
// inches × 254 is exact for the fractions of a rule and the division is the only rounding: "1 1/2 in" and "38.1 mm" are
// the same number. Metric decimals get their power of ten as text before they are read, for the same reason.

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "glyph.h"
#include "units/length.h"

namespace seamwright::units {
namespace {

struct Fraction {
    std::uint64_t upper = 0, lower = 1;
    std::size_t glyph = 0;  // its slash, or the ready fraction: the place to name when fractions are not allowed
};

struct Number {
    std::string digits;  // "59" or "59.5"; empty when there is only a fraction
    bool decimal = false;
    std::optional<Fraction> fraction;

    // The value times 10^power, each step rounded at most once.
    double value(int power = 0) const {
        double whole = 0.0;
        if (!digits.empty()) {
            const std::string text = power == 0 ? digits : fmt::format("{}e{}", digits, power);
            const auto read = std::from_chars(text.data(), text.data() + text.size(), whole);
            if (read.ec == std::errc::result_out_of_range) {
                // Too small for a double is nought; too large is caught by the limit of 1 km.
                const bool large = std::any_of(digits.begin(), std::find(digits.begin(), digits.end(), '.'),
                                               [](char c) { return c != '0'; });
                whole = large ? HUGE_VAL : 0.0;
            }
        }
        if (!fraction) return whole;
        return whole + static_cast<double>(fraction->upper) / static_cast<double>(fraction->lower);
    }
};

enum class Mark { none, inch, foot, millimetre, centimetre, metre };

struct UnitWord {
    std::string_view word;
    Mark mark;
};
constexpr std::array<UnitWord, 21> unit_words{{
    {"in", Mark::inch},
    {"inch", Mark::inch},
    {"inches", Mark::inch},
    {"ft", Mark::foot},
    {"foot", Mark::foot},
    {"feet", Mark::foot},
    {"mm", Mark::millimetre},
    {"millimetre", Mark::millimetre},
    {"millimetres", Mark::millimetre},
    {"millimeter", Mark::millimetre},
    {"millimeters", Mark::millimetre},
    {"cm", Mark::centimetre},
    {"centimetre", Mark::centimetre},
    {"centimetres", Mark::centimetre},
    {"centimeter", Mark::centimetre},
    {"centimeters", Mark::centimetre},
    {"m", Mark::metre},
    {"metre", Mark::metre},
    {"metres", Mark::metre},
    {"meter", Mark::metre},
    {"meters", Mark::metre},
}};
constexpr std::size_t longest_unit_word = 11;

// Whole numbers up to here are exact in a double; no length of 1 km needs more, to 1/64 in or to the micrometre.
constexpr std::uint64_t largest_part = 1'000'000'000'000'000;

constexpr std::string_view number_wanted = "a number is wanted, such as 59, 59.5, 59 1/2 or 7/16";

class Reader {
  public:
    Reader(std::string_view text, Unit bare) : text_(text), glyphs_(cut_into_glyphs(text)), bare_(bare) {}

    std::variant<double, LengthRefusal> read() {
        double mm = 0.0;
        if (!read_whole_text(mm)) return refusal_;
        return mm == 0.0 ? 0.0 : mm;  // no minus before nought
    }

  private:
    // Every step returns false once the text is refused.
    bool read_whole_text(double& mm) {
        skip_spaces();
        if (kind() == Kind::end) {
            return refuse_with(here_, "The text is empty: write a length, such as 59 1/2 in or 1510 mm.");
        }
        bool negative = false;
        if (kind() == Kind::dash || kind() == Kind::plus) {
            negative = kind() == Kind::dash;
            ++here_;
            skip_spaces();
        }
        const std::size_t begin = here_;
        Number first;
        Mark mark = Mark::none;
        if (!read_number(first) || !read_mark(mark)) return false;
        if (mark == Mark::none) {
            bare_used_ = true;
            mark = bare_ == Unit::inch ? Mark::inch : Mark::millimetre;
        }
        double size = 0.0;
        if (mark == Mark::foot && !at_end()) {
            if (!read_inches_after(first, size)) return false;
        } else if (!at_end()) {
            return refuse_leftover();
        } else if (!convert(first, mark, size)) {
            return false;
        }
        if (!(size <= longest_length_mm)) {
            return refuse_with(begin,
                               fmt::format("The number beginning with {} is too large: lengths up to 1 km (39370 in) "
                                           "are read.",
                                           named(begin)));
        }
        mm = negative ? -size : size;
        return true;
    }

    bool convert(const Number& number, Mark mark, double& mm) {
        switch (mark) {
            case Mark::none:
            case Mark::inch:
                mm = number.value() * 254.0 / 10.0;
                return true;
            case Mark::foot:
                mm = number.value() * 12.0 * 254.0 / 10.0;
                return true;
            case Mark::millimetre:
            case Mark::centimetre:
            case Mark::metre:
                break;
        }
        if (number.fraction) {
            return refuse(number.fraction->glyph,
                          bare_used_
                              ? "a fraction without a unit is not read where lengths are in millimetres; write in "
                                "after it if inches are meant, or write decimals, as in 59.5"
                              : "fractions go with inches and feet; write decimals, as in 59.5 mm");
        }
        mm = number.value(mark == Mark::metre ? 3 : mark == Mark::centimetre ? 1 : 0);
        return true;
    }

    bool read_inches_after(const Number& feet, double& mm) {
        if (kind() == Kind::dash) {
            ++here_;
            skip_spaces();
        }
        const std::size_t begin = here_;
        Number inches;
        Mark mark = Mark::none;
        if (!read_number(inches)) return false;
        skip_spaces();
        const std::size_t mark_at = here_;
        if (!read_mark(mark)) return false;
        if (mark != Mark::none && mark != Mark::inch) return refuse(mark_at, "only inches can follow feet");
        if (!at_end()) return refuse_leftover();
        if (feet.decimal || feet.fraction) {
            return refuse(begin, "inches can follow whole feet only; write 4 ft 6 in, or 4.5 ft alone");
        }
        if (!(inches.value() < 12.0)) {
            return refuse(begin, "after feet, the inches must be less than 12");
        }
        mm = (feet.value() * 12.0 + inches.value()) * 254.0 / 10.0;
        return true;
    }

    bool read_number(Number& number) {
        if (starts_fraction(here_)) return read_fraction(number);
        if (kind() == Kind::digit) {
            while (kind() == Kind::digit) take_digit(number);
        } else if (kind() != Kind::point) {
            return refuse(here_, number_wanted);
        }
        if (kind() == Kind::point) {
            number.decimal = true;
            if (number.digits.empty()) number.digits += '0';
            number.digits += '.';
            ++here_;
            if (kind() != Kind::digit) return refuse(here_, "digits are wanted after the point, as in 59.5");
            while (kind() == Kind::digit) take_digit(number);
            return true;
        }
        if (kind() == Kind::dash) {
            if (!starts_fraction(here_ + 1)) {
                return refuse(here_,
                              "a dash after a number can only join a fraction to it, as in 59-1/2; sums are not read");
            }
            ++here_;
        }
        std::size_t next = here_;
        while (glyphs_[next].kind == Kind::space) ++next;
        if (!starts_fraction(next)) return true;
        here_ = next;
        return read_fraction(number);
    }

    // A ready fraction, or digits with a slash right after them.
    bool starts_fraction(std::size_t i) const {
        const Kind first = glyphs_[i].kind;
        if (first == Kind::ready_fraction || first == Kind::raised_digit) return true;
        if (first != Kind::digit) return false;
        while (glyphs_[i].kind == Kind::digit) ++i;
        return glyphs_[i].kind == Kind::slash;
    }

    bool read_fraction(Number& number) {
        const std::size_t begin = here_;
        Fraction fraction;
        if (kind() == Kind::ready_fraction) {
            fraction = {.upper = glyphs_[here_].upper, .lower = glyphs_[here_].lower, .glyph = here_};
            ++here_;
        } else {
            const bool raised = kind() == Kind::raised_digit;
            if (!read_part(raised ? Kind::raised_digit : Kind::digit, fraction.upper)) return false;
            if (kind() != Kind::slash) return refuse(here_, "a slash is wanted after the upper number of a fraction");
            fraction.glyph = here_;
            ++here_;
            const std::size_t lower_at = here_;
            const Kind lower = raised && kind() == Kind::lowered_digit ? Kind::lowered_digit : Kind::digit;
            if (kind() != lower) return refuse(here_, "the lower number of the fraction is wanted, as in 1/2");
            if (!read_part(lower, fraction.lower)) return false;
            if (fraction.lower == 0)
                return refuse(lower_at, "nothing can be divided by nought; write a fraction such as 1/2");
        }
        if (!number.digits.empty() && fraction.upper >= fraction.lower) {
            return refuse(begin, "after a whole number the fraction must be less than 1, as in 59 1/2");
        }
        number.fraction = fraction;
        return true;
    }

    bool read_part(Kind digits, std::uint64_t& part) {
        part = 0;
        for (const std::size_t begin = here_; kind() == digits; ++here_) {
            part = part * 10 + glyphs_[here_].upper;
            if (part > largest_part) {
                return refuse_with(
                    begin,
                    fmt::format("The number beginning with {} has too many digits for a fraction.", named(begin)));
            }
        }
        return true;
    }

    bool read_mark(Mark& mark) {
        skip_spaces();
        if (kind() == Kind::inch_mark) {
            mark = Mark::inch;
            ++here_;
        } else if (kind() == Kind::foot_mark) {
            mark = Mark::foot;
            ++here_;
            if (kind() == Kind::foot_mark) {  // two strokes typed one by one: inches
                mark = Mark::inch;
                ++here_;
            }
        } else if (kind() == Kind::letter) {
            const std::size_t begin = here_;
            std::string word;
            for (; kind() == Kind::letter; ++here_) {
                if (word.size() > longest_unit_word) continue;
                word += static_cast<char>(glyphs_[here_].code | 0x20);  // small letters; ASCII only
            }
            const auto* known = std::find_if(unit_words.begin(), unit_words.end(),
                                             [&](const UnitWord& unit) { return unit.word == word; });
            if (known == unit_words.end()) return refuse(begin, "the units are in, ft, mm, cm and m");
            mark = known->mark;
            if ((word == "in" || word == "ft") && kind() == Kind::point) ++here_;
        }
        skip_spaces();
        return true;
    }

    bool refuse_leftover() {
        switch (kind()) {
            case Kind::digit:
            case Kind::ready_fraction:
            case Kind::raised_digit:
                return refuse(here_,
                              "two numbers stand side by side; write 1510 for one number, 59 1/2 for a fraction, "
                              "4 ft 11 in for feet and inches");
            case Kind::slash:
                return refuse(here_, "a slash stands once, right between two whole numbers, as in 59 1/2");
            case Kind::dash:
            case Kind::plus:
                return refuse(here_, "sums are not read; write one length");
            case Kind::point:
                return refuse(here_, "a point stands once, inside one number, as in 59.5");
            default:
                return refuse(here_, "nothing more is wanted after the length");
        }
    }

    bool refuse(std::size_t glyph, std::string_view wanted) {
        switch (glyphs_[glyph].kind) {
            case Kind::end:
                return refuse_with(glyph, fmt::format("The text stops too early: {}.", wanted));
            case Kind::comma:
                return refuse_with(glyph,
                                   fmt::format("{} is not read, because it can stand for decimals or for thousands: "
                                               "write 59.5 with a point, 1510 without a mark.",
                                               named(glyph)));
            case Kind::broken:
                return refuse_with(glyph, fmt::format("{} is not a letter of any script (the text is not UTF-8): {}.",
                                                      named(glyph), wanted));
            default:
                return refuse_with(glyph, fmt::format("{} cannot stand here: {}.", named(glyph), wanted));
        }
    }

    bool refuse_with(std::size_t glyph, std::string reason) {
        refusal_ = {.at = glyphs_[glyph].at, .character = shown(text_, glyphs_[glyph]), .reason = std::move(reason)};
        return false;
    }

    std::string named(std::size_t glyph) const {
        if (glyphs_[glyph].kind == Kind::space) return fmt::format("The space (character {})", glyph + 1);
        return fmt::format("“{}” (character {})", shown(text_, glyphs_[glyph]), glyph + 1);
    }

    void take_digit(Number& number) {
        number.digits += static_cast<char>('0' + glyphs_[here_].upper);
        ++here_;
    }
    Kind kind() const { return glyphs_[here_].kind; }
    bool at_end() const { return kind() == Kind::end; }
    void skip_spaces() {
        while (kind() == Kind::space) ++here_;
    }

    std::string_view text_;
    std::vector<Glyph> glyphs_;  // the last one is the end
    Unit bare_;
    bool bare_used_ = false;
    std::size_t here_ = 0;
    LengthRefusal refusal_;
};

}  // namespace

std::variant<double, LengthRefusal> read_length(std::string_view text, Unit bare) {
    return Reader(text, bare).read();
}

}  // namespace seamwright::units
