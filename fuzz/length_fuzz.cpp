// Any bytes as a length. The first byte chooses the unit of bare numbers and how the result is written; the rest is the
// text. Besides memory errors this looks for: values outside the promise, refusals outside the text, and written
// lengths that do not read back.

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "promise.h"
#include "units/length.h"

using namespace seamwright::units;

namespace {

void check_written(double mm, const LengthStyle& style, double coarsest_mm) {
    constexpr double arithmetic_mm = 1e-9;
    const WrittenLength written = write_length(mm, style);
    const auto back = read_length(written.text, style.unit);
    if (const auto* refusal = std::get_if<LengthRefusal>(&back)) {
        // Only rounding up past the limit itself is excused.
        promise(std::abs(mm) > longest_length_mm - coarsest_mm && refusal->reason.find("1 km") != std::string::npos);
        return;
    }
    const double value = std::get<double>(back);
    promise(std::abs(value - mm) <= coarsest_mm / 2.0 + arithmetic_mm);
    promise(std::abs(value - mm - written.error_mm) <= arithmetic_mm);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const unsigned choice = data[0];
    const Unit bare = (choice & 1u) != 0 ? Unit::inch : Unit::millimetre;
    const std::string_view text(reinterpret_cast<const char*>(data + 1), size - 1);

    const auto read = read_length(text, bare);
    if (const auto* refusal = std::get_if<LengthRefusal>(&read)) {
        promise(refusal->at <= text.size());
        promise(refusal->character.empty() == (refusal->at == text.size()));
        promise(!refusal->reason.empty() && refusal->reason.back() == '.');
        return 0;
    }
    const double mm = std::get<double>(read);
    promise(std::abs(mm) <= longest_length_mm);
    const int denominator = 1 << ((choice >> 1) % 7u);
    check_written(mm, {.unit = Unit::inch, .denominator = denominator, .feet = (choice & 0x80u) != 0},
                  25.4 / denominator);
    const int decimals = static_cast<int>((choice >> 1) % 5u);
    check_written(mm, {.unit = Unit::millimetre, .decimals = decimals}, std::pow(10.0, -decimals));
    return 0;
}
