// Writing a length. Inches are rounded once, as a whole number of the finest fraction; whole inches, feet and the
// reduced fraction are then split off that whole number, so a fraction that rounds up carries by itself (11 127/128 in
// becomes 1 ft). The written value is worked out again from the text's own numbers, which gives the true rounding
// error.

#include <fmt/core.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>

#include "units/length.h"

namespace seamwright::units {
namespace {

// Rounding below a nanometre is the arithmetic's, not the writer's.
constexpr double exact_mm = 1e-6;
// A rounding of this much can be felt at a joint; less cannot be set on a rule.
constexpr double worth_a_mark_mm = 0.01;
constexpr int finest_denominator = 64;
constexpr int most_decimals = 4;

constexpr const char* not_a_length = "not a length";

std::string write_fixed(double value, int decimals, const char* unit) {
    std::string digits = fmt::format("{:.{}f}", value, decimals);
    const bool nought = std::none_of(digits.begin(), digits.end(), [](char c) { return c >= '1' && c <= '9'; });
    if (nought && digits.front() == '-') digits.erase(digits.begin());
    return fmt::format("{} {}", digits, unit);
}

WrittenLength write_millimetres(double mm, int decimals) {
    WrittenLength written{.text = write_fixed(mm, decimals, "mm")};
    double value = 0.0;
    std::from_chars(written.text.data(), written.text.data() + written.text.size(), value);
    written.error_mm = value - mm;
    return written;
}

WrittenLength write_inches(double mm, int denominator, bool feet) {
    // Doubles hold these whole numbers exactly; a length beyond their range has no fraction left to split off.
    const double parts = std::round(std::abs(mm) * 10.0 / 254.0 * denominator);
    const double whole = std::floor(parts / denominator);
    const int rest = static_cast<int>(parts - whole * denominator);
    const double whole_feet = feet ? std::floor(whole / 12.0) : 0.0;
    const double inches = whole - whole_feet * 12.0;

    std::string text = mm < 0.0 && parts > 0.0 ? "-" : "";
    if (whole_feet > 0.0) text += fmt::format("{:.0f} ft", whole_feet);
    if (inches > 0.0 || rest > 0 || whole_feet == 0.0) {
        if (whole_feet > 0.0) text += ' ';
        if (inches > 0.0 || rest == 0) text += fmt::format("{:.0f} ", inches);
        if (rest > 0) {
            const int common = 1 << std::countr_zero(static_cast<unsigned>(rest | denominator));
            text += fmt::format("{}/{} ", rest / common, denominator / common);
        }
        text += "in";
    }
    return {.text = text, .error_mm = std::copysign(parts / denominator * 254.0 / 10.0, mm) - mm};
}

}  // namespace

WrittenLength write_length(double mm, const LengthStyle& style) {
    // The factor keeps the inch arithmetic clear of overflow.
    if (!std::isfinite(mm * 10.0 * finest_denominator)) return {.text = not_a_length};
    const auto denominator =
        std::bit_floor(static_cast<unsigned>(std::clamp(style.denominator, 1, finest_denominator)));
    WrittenLength written = style.unit == Unit::inch
                                ? write_inches(mm, static_cast<int>(denominator), style.feet)
                                : write_millimetres(mm, std::clamp(style.decimals, 0, most_decimals));
    written.rounded = std::abs(written.error_mm) > exact_mm;
    return written;
}

std::string show(double mm, const LengthStyle& style) {
    const WrittenLength written = write_length(mm, style);
    const bool marked = style.unit == Unit::inch && std::abs(written.error_mm) > worth_a_mark_mm;
    return marked ? "≈ " + written.text : written.text;
}

std::string show_thin(double mm, Unit unit) {
    if (!std::isfinite(mm)) return not_a_length;
    return unit == Unit::inch ? write_fixed(mm * 10.0 / 254.0, 3, "in") : write_fixed(mm, 2, "mm");
}

}  // namespace seamwright::units
