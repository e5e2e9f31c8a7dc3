#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>

namespace seamwright::units {

inline constexpr double mm_per_inch = 25.4;  ///< exact, international inch (1959)

enum class Unit { millimetre, inch };

/// Why a text is not a length: which character, what was expected there.
struct LengthRefusal {
    std::size_t at = 0;     ///< index of the first byte of the refused character (text.size() = the end)
    std::string character;  ///< the refused character itself, empty at the end of the text
    std::string reason;     ///< one plain sentence naming the character and what is allowed
};

/// The longest length read, 1 km. Anything longer is a slip of the pen in this trade.
inline constexpr double longest_length_mm = 1e6;

/// Reads a length the way makers write it: "59 1/2 in", "59-1/2\"", "4 ft 11 1/2 in", "4' 11 1/2\"", "7/16", "0.25 in",
/// "1510 mm", "151 cm", "1.51 m", "59½″". A bare number is in `bare` units. Leading minus allowed ("-1/8 in").
/// Result in millimetres, finite, |value| <= 1e6 mm (1 km).
///
/// Allowed:
/// - numbers: whole "59", decimal with a point "59.5" or ".5", fraction "7/16" or "7/4", whole and fraction joined by a
///   space, a dash or nothing ("59 1/2", "59-1/2", "59½"); "½ ⅓ ⅜ ⅞ …", "15⁄16" and "¹⁵⁄₁₆" as fractions;
/// - units, in capitals or not: in, inch, inches, ″ ” " '' ; ft, foot, feet, ′ ’ ' ; mm, cm, m and their full names;
///   "in." and "ft." too;
/// - feet and then inches, also with a dash ("4'-11 1/2\""); the inches may go without their mark;
/// - ordinary and non-breaking spaces, between any two parts; the sign counts for the whole length.
///
/// Refused, because a wrong guess spoils wood: a comma (decimals or thousands?); two numbers side by side ("1 510");
/// a fraction in millimetres, centimetres or metres, or in no unit where `bare` is millimetres; a fraction of 1 or more
/// after a whole number ("5 9/8"); inches of 12 or more, or anything but inches, after feet; broken feet before inches;
/// sums, powers of ten, and whatever is not a length.
///
/// Never throws for any bytes; the time is linear in the length of the text.
std::variant<double, LengthRefusal> read_length(std::string_view text, Unit bare);

/// How lengths are written for a person.
struct LengthStyle {
    Unit unit = Unit::millimetre;
    int denominator =
        64;             ///< inches: the finest fraction, a power of two 1..64; others are taken as the next one below
    int decimals = 1;   ///< millimetres: digits after the point, 0..4; others are taken as the nearest of these
    bool feet = false;  ///< inches: split off whole feet
};

struct WrittenLength {
    std::string text;       ///< "59 1/2 in", "1510.0 mm"; read_length() reads it back
    double error_mm = 0.0;  ///< written value − true value
    /// False when the written value is the true value (to 1e-6 mm).
    bool rounded = false;
};
/// `mm`: any finite length; one that is not finite is written "not a length". Halves are rounded away from nought.
WrittenLength write_length(double mm, const LengthStyle& style);

/// The text alone, with a leading "≈ " when it was rounded by more than 0.01 mm in inches. In millimetres no mark is
/// needed: the last digit shows the rounding.
std::string show(double mm, const LengthStyle& style);

/// A thin measure (gap, error), rounded to thousandths of an inch ("0.004 in") or hundredths of a millimetre ("0.10
/// mm").
std::string show_thin(double mm, Unit unit);

}  // namespace seamwright::units
