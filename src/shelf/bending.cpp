// MOR and MOE of a species come from the pair of columns that was read, if there is one. A metric number that is out of
// line with the inch-pound one beside it is not used: the README of the tables says which one the handbook's own
// example bears out (white ash).

#include "shelf/bending.h"

#include <fmt/core.h>

#include <cmath>
#include <stdexcept>

#include "embedded/mechanical_csv.h"
#include "shelf/shelf.h"
#include "shelf/table.h"

namespace seamwright::shelf {
namespace {

constexpr double mpa_per_psi = 0.00689475729316836;  // exact by definition of the pound and the inch, to 15 digits
constexpr double mpa_per_million_psi = 1e6 * mpa_per_psi;
constexpr double mpa_per_kpa = 1e-3;
/// The handbook rounds both to about 1 % of each other; what differs by more is a slip in one of them.
constexpr double most_apart = 0.02;

struct Number {
    double mpa = 0.0;
    std::string column;
    bool read = false;
};

std::optional<Number> number(const Table& table, std::size_t row, const char* column, double factor) {
    const auto value = table.number(row, column);
    if (!value || !(*value > 0.0)) return std::nullopt;
    const std::string read = ';' + table.cell(row, "read_columns") + ';';
    const bool was_read =
        table.cell(row, "provenance") != "memory" && read.find(';' + std::string(column) + ';') != std::string::npos;
    return Number{*value * factor, column, was_read};
}

std::optional<Number> better(const std::optional<Number>& inch_pound, const std::optional<Number>& metric) {
    if (!inch_pound) return metric;
    if (!metric || inch_pound->read || !metric->read) return inch_pound;
    const bool agree = std::abs(metric->mpa - inch_pound->mpa) <= most_apart * inch_pound->mpa;
    return agree ? metric : inch_pound;
}

const Table& mechanical() {
    static const Table table = built_in_table("data/mechanical.csv", embedded::mechanical_csv());
    return table;
}

}  // namespace

std::optional<BendingLimit> bending_limit(const std::string& species, double share) {
    if (!(share > 0.0 && share <= 1.0)) throw std::invalid_argument("bending_limit: the share must be in (0, 1]");
    const Species* known = find_species(species);
    if (known == nullptr) return std::nullopt;
    const Table& table = mechanical();
    const auto rows = table.rows_where("species", known->name);
    if (rows.empty()) return std::nullopt;
    const std::size_t row = rows.front();
    const auto rupture = better(number(table, row, "MOR_psi", mpa_per_psi), number(table, row, "MOR_kPa", mpa_per_kpa));
    const auto elasticity =
        better(number(table, row, "MOE_Mpsi", mpa_per_million_psi), number(table, row, "MOE_MPa", 1.0));
    if (!rupture || !elasticity) return std::nullopt;

    BendingLimit limit;
    limit.species = known->name;
    limit.rupture_mpa = rupture->mpa;
    limit.elasticity_mpa = elasticity->mpa;
    limit.strain_at_rupture = rupture->mpa / elasticity->mpa;
    limit.share = share;
    limit.allowed_strain = share * limit.strain_at_rupture;
    limit.from_memory = !rupture->read || !elasticity->read;
    const auto named = [](const Number& n) { return n.column + (n.read ? " (read)" : " (from memory)"); };
    limit.source = fmt::format("estimate: {} of MOR/MOE; Wood Handbook, chapter 5: {}, {}", share, named(*rupture),
                               named(*elasticity));
    return limit;
}

double part_that_breaks(double part) {
    if (!(part >= 0.0)) throw std::invalid_argument("part_that_breaks: the part must not be negative");
    return 0.5 * std::erfc((1.0 - part) / (rupture_scatter * std::sqrt(2.0)));
}

}  // namespace seamwright::shelf
