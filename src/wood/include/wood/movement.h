#pragma once

#include <optional>
#include <string>

#include "shelf/board.h"

namespace seamwright::wood {

/// How much wood shrinks or swells across its grain, as a part of its width for each percentage point of moisture
/// (Wood Handbook, chapter 13, table 13-5: dimensional change coefficients).
struct Movement {
    double radial = 0.0;                              ///< across the rings: quarter-sawn boards in their width
    double tangential = 0.0;                          ///< along the rings: flat-sawn boards in their width
    double least_percent = 6.0, most_percent = 14.0;  ///< moisture between which the coefficients hold
    std::string row;                                  ///< of data/dimension_change.csv
    bool from_memory = false;
};
/// `species` as shelf::find_species() takes it. The table gives oaks and hickories by group. nullopt when it is unknown
/// or not in the table.
std::optional<Movement> movement_of(const std::string& species);

/// Between radial and tangential by the angle of the rings to the face: C_R cos²β + C_T sin²β, β the angle between the
/// width of the board and the way out from the heart (0 quarter-sawn, 45° rift, 90° flat).
double across_face(const Movement& movement, shelf::Sawn sawn);

/// How much a width changes from one moisture to another, as a part of it: C (M₂ − M₁) within the range of the
/// coefficients (Wood Handbook, Eq 13-2), and beyond it from the same straight line seen from the width at 10 %,
/// (1 + C (M₂ − 10)) / (1 + C (M₁ − 10)) − 1 (Eq 13-3 written with C; from memory). Above 30 %, where the cells are
/// full, wood changes no more (22 % for redwood and the light cedars: not reckoned with).
double change_part(const Movement& movement, double coefficient, double from_percent, double to_percent);

/// Days until a board laid open to still air on both faces has gone nine tenths of the way to its new moisture. A
/// model: diffusion through the thickness t, ln(10 · 8/π²) = 2.1 times t²/(π² D), with D = 2·10⁻¹⁰ m²/s for
/// hardwood indoors and 4·10⁻¹⁰ for softwood (from memory; boards scatter by a factor of two).
double settling_days(double thickness_mm, bool hardwood);

}  // namespace seamwright::wood
