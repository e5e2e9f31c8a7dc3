#include "plan/wood_look.h"

#include <array>
#include <map>

#include "embedded/wood_look_csv.h"
#include "shelf/shelf.h"
#include "shelf/table.h"

namespace seamwright::plan {
namespace {

std::map<std::string, std::string, std::less<>> read_looks() {
    const shelf::Table table = shelf::built_in_table("data/wood_look.csv", embedded::wood_look_csv());
    std::map<std::string, std::string, std::less<>> looks;
    for (std::size_t row = 0; row < table.size(); ++row)
        looks.emplace(table.cell(row, "species"), table.cell(row, "family"));
    return looks;
}

struct Family {
    std::string_view name;
    WoodTone tone;
};
/// The grounds are those of the page by day (web/src/styles/ground.css).
constexpr std::array<Family, 7> families{{
    {"pale", {"#eedfbd", "#c6ae7e"}},
    {"blond", {"#e3c895", "#b8945a"}},
    {"tan", {"#cda672", "#9a7443"}},
    {"red", {"#9a5a40", "#6e3a26"}},
    {"brown", {"#80583b", "#573822"}},
    {"dark", {"#5c4131", "#36241a"}},
    {"unknown", {"#ddd5c5", "#b9b09d"}},
}};

}  // namespace

std::string_view wood_look(const std::string& species) {
    static const auto looks = read_looks();
    const shelf::Species* known = shelf::find_species(species);
    if (known == nullptr) return "unknown";
    const auto found = looks.find(known->name);
    return found == looks.end() ? std::string_view("unknown") : std::string_view(found->second);
}

WoodTone tone_of(std::string_view family) {
    for (const Family& each : families)
        if (each.name == family) return each.tone;
    return families.back().tone;
}

}  // namespace seamwright::plan
