#include "wood/movement.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "embedded/dimension_change_csv.h"
#include "shelf/shelf.h"
#include "shelf/table.h"

namespace seamwright::wood {
namespace {

const shelf::Table& table() {
    static const shelf::Table rows =
        shelf::built_in_table("data/dimension_change.csv", embedded::dimension_change_csv());
    return rows;
}

}  // namespace

std::optional<Movement> movement_of(const std::string& species) {
    const shelf::Species* known = shelf::find_species(species);
    if (known == nullptr) return std::nullopt;
    auto rows = table().rows_where("species", known->name);
    // Species of which the table knows only the group: Wood Handbook, table 13-5.
    using Names = std::pair<std::string_view, std::string_view>;
    constexpr std::array groups{Names{"Oak, northern red", "Red oak, commercial"},
                                Names{"Oak, southern red", "Red oak, commercial"},
                                Names{"Oak, white", "White oak, commercial"},
                                Names{"Oak, bur (white group)", "White oak, commercial"},
                                Names{"Oak, chestnut (white group)", "White oak, commercial"},
                                Names{"Hickory, mockernut", "Hickory, true"},
                                Names{"Hickory, pignut", "Hickory, true"},
                                Names{"Hickory, shagbark", "Hickory, true"},
                                Names{"Hickory, shellbark", "Hickory, true"}};
    for (const auto& [name, group] : groups)
        if (rows.empty() && known->name == name) rows = table().rows_where("species", std::string(group));
    if (rows.empty()) return std::nullopt;
    const std::size_t row = rows.front();
    const auto radial = table().number(row, "C_R_per_pct_MC"), tangential = table().number(row, "C_T_per_pct_MC");
    if (!radial || !tangential) return std::nullopt;
    Movement out;
    out.radial = *radial;
    out.tangential = *tangential;
    out.least_percent = table().number(row, "valid_MC_min_pct").value_or(out.least_percent);
    out.most_percent = table().number(row, "valid_MC_max_pct").value_or(out.most_percent);
    out.row = table().cell(row, "species");
    out.from_memory = table().cell(row, "provenance") != "read";
    return out;
}

double across_face(const Movement& movement, shelf::Sawn sawn) {
    switch (sawn) {
        case shelf::Sawn::quarter:
            return movement.radial;
        case shelf::Sawn::rift:
            return 0.5 * (movement.radial + movement.tangential);
        default:
            return movement.tangential;
    }
}

double change_part(const Movement& movement, double coefficient, double from_percent, double to_percent) {
    constexpr double full_percent = 30.0, of_width_at_percent = 10.0;
    const double from = std::clamp(from_percent, 0.0, full_percent), to = std::clamp(to_percent, 0.0, full_percent);
    const auto within = [&](double m) { return m >= movement.least_percent && m <= movement.most_percent; };
    if (within(from) && within(to)) return coefficient * (to - from);
    return (1.0 + coefficient * (to - of_width_at_percent)) / (1.0 + coefficient * (from - of_width_at_percent)) - 1.0;
}

double settling_days(double thickness_mm, bool hardwood) {
    constexpr double pi_squared = 9.869604401089358, seconds_per_day = 86400.0, nine_tenths = 2.1;
    const double diffusion = hardwood ? 2e-10 : 4e-10;
    const double thickness_m = thickness_mm / 1000.0;
    return nine_tenths * thickness_m * thickness_m / (pi_squared * diffusion) / seconds_per_day;
}

}  // namespace seamwright::wood
