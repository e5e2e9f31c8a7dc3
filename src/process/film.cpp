#include "process/film.h"

#include <fmt/format.h>

#include <stdexcept>

namespace seamwright::process {
namespace {

bool is_share(double x) {
    return x > 0.0 && x <= 1.0;
}

void check(const char* what, bool good) {
    if (!good) {
        throw std::invalid_argument(std::string(what) +
                                    ": shares lie above 0 and at most at 1, amounts and films above 0");
    }
}

std::string bare(double um, units::Unit unit) {
    return unit == units::Unit::inch ? fmt::format("{:.1f}", um / um_per_mil) : fmt::format("{:.0f}", um);
}

const char* unit_name(units::Unit unit) {
    return unit == units::Unit::inch ? "mil" : "µm";
}

}  // namespace

double dry_film_um(double wet_um, double solids) {
    check("dry_film_um", wet_um > 0.0 && is_share(solids));
    return wet_um * solids;
}

double wet_film_um(double dry_um, double solids) {
    check("wet_film_um", dry_um > 0.0 && is_share(solids));
    return dry_um / solids;
}

double area_covered_m2(double litres, double solids, double transfer, double dry_um) {
    check("area_covered_m2", litres > 0.0 && is_share(solids) && is_share(transfer) && dry_um > 0.0);
    return 1000.0 * litres * solids * transfer / dry_um;
}

double litres_needed(double area_m2, double solids, double transfer, double dry_um) {
    check("litres_needed", area_m2 > 0.0 && is_share(solids) && is_share(transfer) && dry_um > 0.0);
    return area_m2 * dry_um / (1000.0 * solids * transfer);
}

double area_covered_ft2(double gallons, double solids, double transfer, double dry_mils) {
    check("area_covered_ft2", gallons > 0.0 && is_share(solids) && is_share(transfer) && dry_mils > 0.0);
    return ft2_per_gallon_mil * gallons * solids * transfer / dry_mils;
}

std::string show_film(double um, units::Unit unit) {
    return fmt::format("{} {}", bare(um, unit), unit_name(unit));
}

std::string show_films(double low_um, double high_um, units::Unit unit) {
    const std::string low = bare(low_um, unit), high = bare(high_um, unit);
    if (low == high) return show_film(low_um, unit);
    return fmt::format("{} to {} {}", low, high, unit_name(unit));
}

}  // namespace seamwright::process
