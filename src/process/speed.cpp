// Highest speed for a cutter, from the rows "max speed" of data/router.csv. Two published charts give it by diameter;
// where they disagree the lower holds, and the cutter's own marking above all.

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "process/passes.h"
#include "seam/tool_table.h"

namespace seamwright::process {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double mm_per_inch = 25.4;

struct Band {
    double over_mm = 0.0;
    double up_to_mm = 0.0;
    double rpm = 0.0;
    std::string words;  // "over 1 in up to 2 in (51 mm)"
    bool from_memory = false;
};

std::optional<double> number_after(std::string_view text, std::string_view word) {
    const std::size_t at = text.find(word);
    if (at == std::string_view::npos) return std::nullopt;
    const std::string_view rest = text.substr(at + word.size());
    double value = 0.0;
    const auto read = std::from_chars(rest.data(), rest.data() + rest.size(), value);
    if (read.ec != std::errc()) return std::nullopt;
    return value;
}

// "cutter diameter over 1 in up to 2 in (51 mm): range chart"; bands of both charts are brought together.
std::vector<Band> read_bands() {
    const shelf::Table& table = seam::router_table();
    std::vector<Band> bands;
    for (const std::size_t row : table.rows_where("topic", "max speed")) {
        const std::string& item = table.cell(row, "item");
        const auto over = number_after(item, "cutter diameter over ");
        const auto up_to = number_after(item, " up to ");
        const auto low = table.number(row, "value_low");
        if (!over || !up_to || !low) continue;
        Band band;
        band.over_mm = *over * mm_per_inch;
        band.up_to_mm = *up_to * mm_per_inch;
        band.rpm = table.number(row, "value_high").value_or(*low);
        const std::size_t from = item.find("over ");
        band.words = item.substr(from, item.find(':') - from);
        band.from_memory = table.cell(row, "provenance") == "memory";
        const auto same =
            std::find_if(bands.begin(), bands.end(), [&](const Band& b) { return b.over_mm == band.over_mm; });
        if (same == bands.end()) {
            bands.push_back(band);
        } else {
            same->rpm = std::min(same->rpm, band.rpm);
            same->from_memory = same->from_memory || band.from_memory;
        }
    }
    std::sort(bands.begin(), bands.end(), [](const Band& a, const Band& b) { return a.over_mm < b.over_mm; });
    return bands;
}

const std::vector<Band>& bands() {
    static const std::vector<Band> read = read_bands();
    return read;
}

}  // namespace

Speed speed_for(double diameter_mm, double marked_max_rpm) {
    if (!(diameter_mm > 0.0) || !std::isfinite(diameter_mm))
        throw std::invalid_argument("speed_for: diameter must be above 0");
    if (!(marked_max_rpm >= 0.0)) throw std::invalid_argument("speed_for: marked speed must not be negative");
    Speed speed;
    const auto band =
        std::find_if(bands().begin(), bands().end(), [&](const Band& b) { return diameter_mm <= b.up_to_mm; });
    if (band != bands().end()) {
        speed.rpm = band->rpm;
        speed.source = fmt::format("published speed charts for cutters {}, the lower (data/router.csv)", band->words);
        speed.from_memory = band->from_memory;
    } else {
        // Beyond the charts: no faster at the rim than the last band allows.
        const Band& last = bands().back();
        speed.rpm = last.rpm * last.up_to_mm / diameter_mm;
        speed.source = "larger than the published speed charts go: their highest rim speed (data/router.csv)";
        speed.from_memory = last.from_memory;
    }
    if (marked_max_rpm > 0.0 && marked_max_rpm < speed.rpm) {
        speed.rpm = marked_max_rpm;
        speed.source = "marked on the cutter";
        speed.from_memory = false;
    }
    constexpr double mm_per_m = 1000.0;
    constexpr double seconds_per_minute = 60.0;
    speed.rim_m_per_s = pi * diameter_mm / mm_per_m * speed.rpm / seconds_per_minute;
    return speed;
}

}  // namespace seamwright::process
