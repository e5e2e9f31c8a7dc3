#include "figures.h"

#include <stdexcept>

#include "embedded/finishing_csv.h"
#include "embedded/lumber_csv.h"

namespace seamwright::process {
namespace {

Provenance provenance_of(const std::string& word) {
    if (word == "read") return Provenance::read;
    if (word == "computed") return Provenance::computed;
    if (word == "mixed") return Provenance::mixed;
    if (word == "memory") return Provenance::memory;
    throw std::logic_error("unknown provenance: " + word);
}

}  // namespace

const char* says(Provenance from) {
    switch (from) {
        case Provenance::read:
            return "read";
        case Provenance::computed:
            return "computed";
        case Provenance::mixed:
            return "partly from memory";
        case Provenance::memory:
            break;
    }
    return "from memory";
}

Figures::Figures(std::string_view file, std::string_view text)
    : file_(file), table_(shelf::built_in_table(file, text)) {}

std::optional<Figure> Figures::find(const std::string& topic, const std::string& item) const {
    for (const std::size_t row : table_.rows_where("topic", topic)) {
        if (table_.cell(row, "item") != item) continue;
        const auto low = table_.number(row, "value_low"), high = table_.number(row, "value_high");
        if (!low) break;
        return Figure{*low, high.value_or(*low), provenance_of(table_.cell(row, "provenance"))};
    }
    return std::nullopt;
}

Figure Figures::at(const std::string& topic, const std::string& item) const {
    const auto found = find(topic, item);
    if (!found) throw std::logic_error(file_ + " has no figure for " + topic + ", " + item);
    return *found;
}

const Figures& finishing_figures() {
    static const Figures figures("data/finishing.csv", embedded::finishing_csv());
    return figures;
}

const Figures& lumber_figures() {
    static const Figures figures("data/lumber.csv", embedded::lumber_csv());
    return figures;
}

}  // namespace seamwright::process
