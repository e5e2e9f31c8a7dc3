#pragma once

namespace seamwright::wood {

// What moisture wood comes to rest with in air of a steady temperature and humidity.

/// Air that the published table covers (Wood Handbook, table 4-2).
inline constexpr double coldest_c = -1.2, warmest_c = 54.5;
inline constexpr double driest_percent = 5.0, dampest_percent = 95.0;

/// Equilibrium moisture content in percent of the ovendry weight, by the model of A. Hailwood and S. Horrobin with the
/// coefficients for degrees Celsius (Wood Handbook, FPL-GTR-282, Eq 4-5; data/emc_coefficients.csv, read). It agrees
/// with table 4-2 within 0.06 points. It holds for most woods within about a point; finer than 0.1 is finer than the
/// wood (Wood Handbook, chapter 4). Beyond the air named above the nearest air within is taken.
double moisture_at_rest(double celsius, double humidity_percent);

/// The way back: the humidity in which wood of `moisture_percent` stays as it is, within what the table covers.
double humidity_for(double celsius, double moisture_percent);

}  // namespace seamwright::wood
