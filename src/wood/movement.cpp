#include "wood/movement.h"

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

}  // namespace seamwright::wood
