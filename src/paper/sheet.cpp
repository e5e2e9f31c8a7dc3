#include <algorithm>
#include <array>
#include <string_view>

#include "paper/drawing.h"

namespace seamwright::paper {

namespace {

struct Named {
    std::string_view name;
    double width_mm, height_mm;
};

// Sources: A3 and A4, ISO 216 (a sheet of ratio 1 : √2, each half the one above, A0 = 1 m²). Letter and Tabloid,
// ANSI/ASME Y14.1 sizes A (8 1/2 × 11 in) and B (11 × 17 in). The same rows stand in data/paper.csv.
constexpr std::array<Named, 4> sheets{{
    {"A4", 210.0, 297.0},
    {"A3", 297.0, 420.0},
    {"Letter", 8.5 * 25.4, 11.0 * 25.4},
    {"Tabloid", 11.0 * 25.4, 17.0 * 25.4},
}};

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

}  // namespace

std::optional<SheetSize> find_sheet(const std::string& name) {
    for (const auto& s : sheets) {
        if (std::ranges::equal(name, s.name, [](char a, char b) { return lower(a) == lower(b); }))
            return SheetSize{std::string(s.name), s.width_mm, s.height_mm};
    }
    return std::nullopt;
}

std::string known_sheets() {
    std::string all;
    for (const auto& s : sheets) {
        if (!all.empty()) all += ", ";
        all += s.name;
    }
    return all;
}

}  // namespace seamwright::paper
