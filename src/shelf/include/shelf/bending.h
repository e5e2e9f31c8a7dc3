#pragma once

#include <optional>
#include <string>

namespace seamwright::shelf {

/// How far a stick of a species may be bent dry and cold, straight-grained and free of knots, at 12 % moisture.
///
/// An estimate: the wood is taken to stretch in proportion until it breaks, so that it breaks at MOR/MOE (modulus of
/// rupture over modulus of elasticity, both from bending tests: Wood Handbook, FPL-GTR-282, chapter 5). Of that only a
/// share is allowed. No margin for run-out grain, knots, or steam is in it: try an offcut first.
struct BendingLimit {
    std::string species;  ///< as data/mechanical.csv names it
    double rupture_mpa = 0.0;
    double elasticity_mpa = 0.0;
    double strain_at_rupture = 0.0;  ///< MOR/MOE
    double share = 0.0;              ///< of it that is allowed
    double allowed_strain = 0.0;     ///< share × MOR/MOE, for curves/bending.h
    std::string source;              ///< which columns were used, and which of them are from memory
                                     ///< (where they were read, data/mechanical.csv says)
    bool from_memory = false;        ///< either of the two numbers was recalled, not read
};

/// Clear wood of a species differs by about a sixth: one standard deviation of the modulus of rupture, as a part of it
/// (Wood Handbook, Table 5-6, from memory).
inline constexpr double rupture_scatter = 0.16;

/// A batten is bent to no more than half of what breaks it: that stays below three standard deviations (our judgement).
inline constexpr double bending_share = 0.5;

/// How many of many such sticks break at this part of the strain that breaks them on the average, 0..1, by the normal
/// distribution with `rupture_scatter`. An order of magnitude: nobody has measured the tails. part >= 0, else
/// std::invalid_argument.
double part_that_breaks(double part);

/// `species` as find_species() takes it. nullopt when it is unknown, means several, or the table lacks a number.
/// 0 < share <= 1, else std::invalid_argument.
std::optional<BendingLimit> bending_limit(const std::string& species, double share = bending_share);

}  // namespace seamwright::shelf
