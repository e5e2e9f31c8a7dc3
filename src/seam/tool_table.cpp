#include "seam/tool_table.h"

#include <algorithm>
#include <cmath>
#include <string_view>

#include "embedded/router_csv.h"

namespace seamwright::seam {
namespace {

// The table writes inch sizes in millimetres to three places; a size in 64ths is found again from that.
constexpr double sixty_fourth_mm = 25.4 / 64.0;
constexpr double table_rounding_mm = 0.001;

double exact_size(double size_mm, bool inch) {
    const double nearest_mm = std::round(size_mm / sixty_fourth_mm) * sixty_fourth_mm;
    return inch && std::abs(nearest_mm - size_mm) <= table_rounding_mm ? nearest_mm : size_mm;
}

void add_sizes(std::vector<double>& sizes, std::string_view topic, std::string_view item_start, bool inch) {
    const shelf::Table& table = router_table();
    for (const std::size_t row : table.rows_where("topic", topic)) {
        if (!table.cell(row, "item").starts_with(item_start)) continue;
        if (const auto size = table.number(row, "value_low")) sizes.push_back(exact_size(*size, inch));
    }
}

void put_in_order(std::vector<double>& sizes) {
    std::sort(sizes.begin(), sizes.end());
    sizes.erase(std::unique(sizes.begin(), sizes.end()), sizes.end());
}

}  // namespace

const shelf::Table& router_table() {
    static const shelf::Table table = shelf::built_in_table("data/router.csv", embedded::router_csv());
    return table;
}

const CommonSizes& common_sizes() {
    static const CommonSizes sizes = [] {
        CommonSizes found;
        add_sizes(found.guides_mm, "bushing inch", "OD ", true);
        add_sizes(found.guides_mm, "bushing metric", "OD ", false);
        add_sizes(found.cutters_mm, "cutter diameter", "inch ", true);
        add_sizes(found.cutters_mm, "cutter diameter", "metric ", false);
        put_in_order(found.guides_mm);
        put_in_order(found.cutters_mm);
        return found;
    }();
    return sizes;
}

}  // namespace seamwright::seam
