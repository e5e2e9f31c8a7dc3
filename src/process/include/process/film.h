#pragma once

#include <string>

#include "units/length.h"

namespace seamwright::process {

// The arithmetic of coats. A coat loses what evaporates and leaves its solids: dry = wet × solids by volume. One litre
// of nothing but solids covers 10 m² at 100 µm; what misses the wood is lost by the transfer efficiency.
//
// Shares (solids, transfer) are above 0 and at most 1, all else above 0; anything else throws std::invalid_argument.

inline constexpr double um_per_mil = 25.4;
inline constexpr double litres_per_us_gallon = 3.785411784;  ///< exact, 231 cubic inches
inline constexpr double litres_per_us_quart = litres_per_us_gallon / 4.0;
inline constexpr double m2_per_ft2 = 0.09290304;  ///< exact
/// 231 in³ / 0.001 in / 144: what a gallon covers one mil thick (data/finishing.csv, read: 1604.17).
inline constexpr double ft2_per_gallon_mil = 231.0 / 0.001 / 144.0;

double dry_film_um(double wet_um, double solids);
double wet_film_um(double dry_um, double solids);

/// 1000 × litres × solids × transfer / µm.
double area_covered_m2(double litres, double solids, double transfer, double dry_um);
double litres_needed(double area_m2, double solids, double transfer, double dry_um);

/// The same in the units of a US can: 1604.17 × gallons × solids × transfer / mils.
double area_covered_ft2(double gallons, double solids, double transfer, double dry_mils);

/// A film for a person: "125 µm" or "4.9 mil" (thousandths of an inch), rounded to whole µm and tenths of a mil.
std::string show_film(double um, units::Unit unit);
/// "38 to 63 µm".
std::string show_films(double low_um, double high_um, units::Unit unit);

}  // namespace seamwright::process
