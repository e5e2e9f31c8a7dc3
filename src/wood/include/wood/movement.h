#pragma once

#include <optional>
#include <string>

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

}  // namespace seamwright::wood
