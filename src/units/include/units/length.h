#pragma once

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

/// Reads a length the way makers write it: "59 1/2 in", "59-1/2\"", "4 ft 11 1/2 in", "4' 11 1/2\"", "7/16", "0.25 in",
/// "1510 mm", "151 cm", "1.51 m", "59½″". A bare number is in `bare` units. Leading minus allowed ("-1/8 in").
/// Result in millimetres, finite, |value| <= 1e6 mm (1 km).
std::variant<double, LengthRefusal> read_length(std::string_view text, Unit bare);

/// How lengths are written for a person.
struct LengthStyle {
    Unit unit = Unit::millimetre;
    int denominator = 64;  ///< inches: the finest fraction, a power of two 1..64
    int decimals = 1;      ///< millimetres: digits after the point, 0..4
    bool feet = false;     ///< inches: split off whole feet
};

struct WrittenLength {
    std::string text;       ///< "59 1/2 in", "1510.0 mm"
    double error_mm = 0.0;  ///< written value − true value
    /// False when the written value is the true value (to 1e-6 mm).
    bool rounded = false;
};
WrittenLength write_length(double mm, const LengthStyle& style);

/// The text alone, with a leading "≈ " when it was rounded by more than 0.01 mm in inches. In millimetres no mark is
/// needed: the last digit shows the rounding.
std::string show(double mm, const LengthStyle& style);

/// A thin measure (gap, error): thousandths of an inch ("0.004 in") or hundredths of a millimetre ("0.10 mm").
std::string show_thin(double mm, Unit unit);

}  // namespace seamwright::units
