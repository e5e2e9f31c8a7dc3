// The species table is data/mechanical.csv, carried inside the program. Only the specific gravity is used here, and
// only for weights: a template is laid out the same in every wood.
//
// Names are compared as sets of words, because the handbook writes "Walnut, black" and a maker "black walnut".

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "embedded/mechanical_csv.h"
#include "shelf/shelf.h"
#include "shelf/table.h"

namespace seamwright::shelf {
namespace {

// Mass at 12 % moisture over ovendry mass; SG is ovendry mass over volume at 12 % (Wood Handbook, Eq 4-14).
constexpr double mass_at_12_percent = 1.12;
constexpr double water_kg_m3 = 1000.0;

struct TradeName {
    std::string_view words;
    std::string_view species;  // several are parted by ;
};

// What the North American trade calls the woods of the table (common practice, from memory). A name stands for one
// species where the yard sells that one under it, and for several where a wrong guess would put the weight out by more
// than about 5 %.
constexpr std::array<TradeName, 51> trade_names{{
    {"alder", "Alder, red"},
    {"ash", "Ash, white"},
    {"aspen", "Aspen, quaking"},
    {"basswood", "Basswood, American"},
    {"beech", "Beech, American"},
    {"birch", "Birch, yellow"},
    {"white birch", "Birch, paper"},
    {"black birch", "Birch, sweet"},
    {"white walnut", "Butternut"},
    {"cherry", "Cherry, black"},
    {"chestnut", "Chestnut, American"},
    {"cottonwood", "Cottonwood, eastern"},
    {"elm", "Elm, American"},
    {"white elm", "Elm, American"},
    {"red elm", "Elm, slippery"},
    {"hickory", "Hickory, mockernut;Hickory, pignut;Hickory, shagbark;Hickory, shellbark"},
    {"true hickory", "Hickory, mockernut;Hickory, pignut;Hickory, shagbark;Hickory, shellbark"},
    {"pecan", "Hickory, pecan"},
    {"locust", "Locust, black"},
    {"magnolia", "Magnolia, cucumbertree;Magnolia, southern"},
    {"cucumbertree", "Magnolia, cucumbertree"},
    {"maple", "Maple, bigleaf;Maple, black;Maple, red;Maple, silver;Maple, sugar"},
    {"hard maple", "Maple, sugar"},
    {"rock maple", "Maple, sugar"},
    {"soft maple", "Maple, red;Maple, silver"},
    {"western maple", "Maple, bigleaf"},
    {"oak",
     "Oak, black (red group);Oak, northern red;Oak, southern red;Oak, bur (white group);Oak, chestnut (white "
     "group);Oak, white"},
    {"red oak", "Oak, northern red"},
    {"american white oak", "Oak, white"},
    {"american red oak", "Oak, northern red"},
    {"american black walnut", "Walnut, black"},
    {"american walnut", "Walnut, black"},
    {"american cherry", "Cherry, black"},
    {"red gum", "Sweetgum"},
    {"sycamore", "Sycamore, American"},
    {"tupelo", "Tupelo, black"},
    {"black gum", "Tupelo, black"},
    {"walnut", "Walnut, black"},
    {"poplar", "Yellow-poplar"},
    {"tulipwood", "Yellow-poplar"},
    {"cypress", "Baldcypress"},
    {"cedar", "Cedar, yellow;Cedar, Port-Orford;Redcedar, eastern;Redcedar, western"},
    {"red cedar", "Redcedar, eastern;Redcedar, western"},
    {"douglas fir", "Douglas-fir, coast"},
    {"hemlock", "Hemlock, western"},
    {"larch", "Larch, western"},
    {"pine", "Pine, eastern white;Pine, loblolly;Pine, longleaf;Pine, ponderosa;Pine, red;Pine, shortleaf;Pine, sugar"},
    {"white pine", "Pine, eastern white"},
    {"southern yellow pine", "Pine, loblolly;Pine, longleaf;Pine, shortleaf"},
    {"redwood", "Redwood, old-growth"},
    {"spruce", "Spruce, Engelmann;Spruce, Sitka"},
}};

// No known name is longer. A longer text is cut, so that a spelling is never compared with a megabyte.
constexpr std::size_t longest_name = 64;

// Small ASCII letters, words in order of the alphabet, one space between; a remark in brackets is left out. "Red" and
// "cedar" are written both as one word and as two.
std::string plain_words(std::string_view name) {
    std::vector<std::string> words;
    std::string word;
    const auto close = [&] {
        if (word == "redcedar") {
            words.emplace_back("red");
            word = "cedar";
        }
        if (!word.empty()) words.push_back(std::exchange(word, {}));
    };
    for (const char c : name.substr(0, name.find('('))) {
        const bool gap = c == ' ' || c == ',' || c == '-' || c == '_' || c == '\t' || c == '\n' || c == '\r';
        if (gap) {
            close();
        } else {
            word += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        }
    }
    close();
    std::sort(words.begin(), words.end());
    std::string plain;
    for (const std::string& w : words) plain += (plain.empty() ? "" : " ") + w;
    return plain;
}

struct KnownName {
    std::string plain;
    std::vector<const Species*> species;
};

std::vector<Species> read_species() {
    const Table table = built_in_table("data/mechanical.csv", embedded::mechanical_csv());
    std::vector<Species> species;
    for (std::size_t row = 0; row < table.size(); ++row) {
        const auto specific_gravity = table.number(row, "SG_12pct");
        if (!specific_gravity) continue;
        const std::string read = ';' + table.cell(row, "read_columns") + ';';
        const bool was_read = table.cell(row, "provenance") != "memory" && read.find(";SG_12pct;") != std::string::npos;
        species.push_back({
            .name = table.cell(row, "species"),
            .hardwood = table.cell(row, "group") == "hardwood",
            .density_kg_m3 = water_kg_m3 * *specific_gravity * mass_at_12_percent,
            .source = was_read ? fmt::format("Wood Handbook, chapter 5 (specific gravity {}) and Eq 4-14; read at {}",
                                             table.cell(row, "SG_12pct"), table.cell(row, "source_address"))
                               : fmt::format("Wood Handbook, chapter 5 (specific gravity {}, from memory) and Eq 4-14",
                                             table.cell(row, "SG_12pct")),
            .from_memory = !was_read,
        });
    }
    return species;
}

std::vector<KnownName> read_known_names() {
    std::vector<KnownName> names;
    for (const Species& species : all_species()) names.push_back({plain_words(species.name), {&species}});
    for (const TradeName& trade : trade_names) {
        KnownName known{plain_words(trade.words), {}};
        const std::string meant = fmt::format(";{};", trade.species);
        for (const Species& species : all_species()) {
            if (meant.find(fmt::format(";{};", species.name)) != std::string::npos) known.species.push_back(&species);
        }
        names.push_back(std::move(known));
    }
    return names;
}

const std::vector<KnownName>& known_names() {
    static const std::vector<KnownName> names = read_known_names();
    return names;
}

const KnownName* known_name(const std::string& name) {
    if (name.size() > longest_name) return nullptr;
    const std::string plain = plain_words(name);
    const auto found = std::find_if(known_names().begin(), known_names().end(),
                                    [&](const KnownName& known) { return known.plain == plain; });
    return found == known_names().end() ? nullptr : &*found;
}

// Letters to change, add, drop or swap with their neighbour to make one word of the other.
std::size_t letters_apart(std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> apart(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) {
        for (std::size_t j = 0; j <= b.size(); ++j) {
            if (i == 0 || j == 0) {
                apart[i][j] = i + j;
                continue;
            }
            apart[i][j] = std::min(
                {apart[i - 1][j] + 1, apart[i][j - 1] + 1, apart[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0u : 1u)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                apart[i][j] = std::min(apart[i][j], apart[i - 2][j - 2] + 1);
            }
        }
    }
    return apart[a.size()][b.size()];
}

}  // namespace

const std::vector<Species>& all_species() {
    static const std::vector<Species> species = read_species();
    return species;
}

const Species* find_species(const std::string& name) {
    const KnownName* known = known_name(name);
    return known != nullptr && known->species.size() == 1 ? known->species.front() : nullptr;
}

std::vector<std::string> species_meant_by(const std::string& name) {
    std::vector<std::string> names;
    if (const KnownName* known = known_name(name)) {
        for (const Species* species : known->species) names.push_back(species->name);
    }
    return names;
}

std::string nearest_species(const std::string& name) {
    const std::string plain = plain_words(std::string_view(name).substr(0, longest_name));
    const auto nearer = [&](const KnownName& a, const KnownName& b) {
        return letters_apart(plain, a.plain) < letters_apart(plain, b.plain);
    };
    const auto nearest = std::min_element(known_names().begin(), known_names().end(), nearer);
    return nearest->species.front()->name;
}

}  // namespace seamwright::shelf
