#include "wood_look.h"

#include <map>

#include "embedded/wood_look_csv.h"
#include "shelf/shelf.h"
#include "shelf/table.h"

namespace seamwright::screen {
namespace {

std::map<std::string, std::string, std::less<>> read_looks() {
    const shelf::Table table = shelf::built_in_table("data/wood_look.csv", embedded::wood_look_csv());
    std::map<std::string, std::string, std::less<>> looks;
    for (std::size_t row = 0; row < table.size(); ++row)
        looks.emplace(table.cell(row, "species"), table.cell(row, "family"));
    return looks;
}

}  // namespace

std::string_view wood_look(const std::string& species) {
    static const auto looks = read_looks();
    const shelf::Species* known = shelf::find_species(species);
    if (known == nullptr) return "unknown";
    const auto found = looks.find(known->name);
    return found == looks.end() ? std::string_view("unknown") : std::string_view(found->second);
}

}  // namespace seamwright::screen
