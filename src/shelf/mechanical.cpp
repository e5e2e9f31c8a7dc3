// Numbers come from the pair of columns that was read, if there is one. A metric number that is out of line with the
// inch-pound one beside it is not used: the README of the tables says which one the handbook's own example bears out
// (white ash).

#include "shelf/mechanical.h"

#include <array>
#include <cmath>

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

std::optional<HandbookNumber> number(const Table& table, std::size_t row, const char* column, double factor) {
    const auto value = table.number(row, column);
    if (!value || !(*value > 0.0)) return std::nullopt;
    const std::string read = ';' + table.cell(row, "read_columns") + ';';
    const bool was_read =
        table.cell(row, "provenance") != "memory" && read.find(';' + std::string(column) + ';') != std::string::npos;
    return HandbookNumber{*value * factor, column, was_read};
}

std::optional<HandbookNumber> better(const std::optional<HandbookNumber>& inch_pound,
                                     const std::optional<HandbookNumber>& metric) {
    if (!inch_pound) return metric;
    if (!metric || inch_pound->read || !metric->read) return inch_pound;
    const bool agree = std::abs(metric->mpa - inch_pound->mpa) <= most_apart * inch_pound->mpa;
    return agree ? metric : inch_pound;
}

const Table& mechanical() {
    static const Table table = built_in_table("data/mechanical.csv", embedded::mechanical_csv());
    return table;
}

constexpr std::array ratio_columns{"ER_EL", "ET_EL", "GLR_EL", "GLT_EL", "nu_LR", "nu_LT"};
using Six = std::array<std::optional<double>, ratio_columns.size()>;

Six ratios_in(const Table& table, std::size_t row) {
    Six out;
    for (std::size_t i = 0; i < ratio_columns.size(); ++i) out[i] = table.number(row, ratio_columns[i]);
    return out;
}

bool is_hardwood(const Table& table, std::size_t row) {
    return table.cell(row, "group") == "hardwood";
}

/// The mean of each ratio over all species of the group that have it.
Six mean_ratios(const Table& table, bool hardwood) {
    Six sum, count;
    for (std::size_t row = 0; row < table.size(); ++row) {
        if (is_hardwood(table, row) != hardwood) continue;
        const Six own = ratios_in(table, row);
        for (std::size_t i = 0; i < own.size(); ++i) {
            if (!own[i]) continue;
            sum[i] = sum[i].value_or(0.0) + *own[i];
            count[i] = count[i].value_or(0.0) + 1.0;
        }
    }
    for (std::size_t i = 0; i < sum.size(); ++i)
        if (sum[i]) *sum[i] /= *count[i];
    return sum;
}

ElasticRatios ratios_of(const Table& table, std::size_t row) {
    static const Six hard = mean_ratios(mechanical(), true), soft = mean_ratios(mechanical(), false);
    const Six& group = is_hardwood(table, row) ? hard : soft;
    Six own = ratios_in(table, row);
    ElasticRatios out;
    out.read = table.cell(row, "provenance_elastic").rfind("read", 0) == 0;
    for (std::size_t i = 0; i < own.size(); ++i) {
        if (own[i]) continue;
        own[i] = group[i];
        out.of_group = true;
    }
    out.across_r = own[0].value_or(0.0);
    out.across_t = own[1].value_or(0.0);
    out.shear_lr = own[2].value_or(0.0);
    out.shear_lt = own[3].value_or(0.0);
    out.nu_lr = own[4].value_or(0.0);
    out.nu_lt = own[5].value_or(0.0);
    return out;
}

}  // namespace

std::optional<Mechanical> mechanical_of(const std::string& species) {
    const Species* known = find_species(species);
    if (known == nullptr) return std::nullopt;
    const Table& table = mechanical();
    const auto rows = table.rows_where("species", known->name);
    if (rows.empty()) return std::nullopt;
    const std::size_t row = rows.front();
    const auto strength = [&](const char* inch_pound, const char* metric) {
        return better(number(table, row, inch_pound, mpa_per_psi), number(table, row, metric, mpa_per_kpa));
    };
    Mechanical out;
    out.species = known->name;
    out.hardwood = is_hardwood(table, row);
    out.specific_gravity = table.number(row, "SG_12pct").value_or(0.0);
    out.rupture = strength("MOR_psi", "MOR_kPa");
    out.elasticity = better(number(table, row, "MOE_Mpsi", mpa_per_million_psi), number(table, row, "MOE_MPa", 1.0));
    out.crushing = strength("comp_par_psi", "comp_par_kPa");
    out.crushing_across = strength("comp_perp_psi", "comp_perp_kPa");
    out.shear = strength("shear_par_psi", "shear_par_kPa");
    out.tension_across = strength("tension_perp_psi", "tension_perp_kPa");
    out.ratios = ratios_of(table, row);
    return out;
}

}  // namespace seamwright::shelf
