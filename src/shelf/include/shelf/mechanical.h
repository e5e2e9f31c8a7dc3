#pragma once

#include <optional>
#include <string>

namespace seamwright::shelf {

/// One number of data/mechanical.csv, in MPa, at 12 % moisture (Wood Handbook, FPL-GTR-282, chapter 5).
struct HandbookNumber {
    double mpa = 0.0;
    std::string column;
    bool read = false;  ///< seen in a stored copy of the handbook; else recalled
};

/// Stiffness of clear wood as parts of that along the grain (E_L), and Poisson's ratios ν_LR, ν_LT (Wood Handbook,
/// tables 5-1 and 5-2). L along the grain, R across the rings, T along them.
struct ElasticRatios {
    double across_r = 0.0, across_t = 0.0;  ///< E_R, E_T, parts of E_L
    double shear_lr = 0.0, shear_lt = 0.0;  ///< G_LR, G_LT, parts of E_L
    double nu_lr = 0.0, nu_lt = 0.0;
    bool read = false;      ///< all of them were; else recalled
    bool of_group = false;  ///< the mean of the hardwoods (or softwoods) that the table gives, for want of its own
};

/// What the table knows of a species. Where a number stands there in two units, the one that was read is taken; a
/// metric number out of line with the inch-pound one beside it is not used.
struct Mechanical {
    std::string species;  ///< as data/mechanical.csv names it
    bool hardwood = true;
    double specific_gravity = 0.0;                  ///< at 12 %; 0 where the table gives none
    std::optional<HandbookNumber> rupture;          ///< modulus of rupture
    std::optional<HandbookNumber> elasticity;       ///< modulus of elasticity in bending; E_L is 1.1 times that
    std::optional<HandbookNumber> crushing;         ///< compression along the grain, greatest stress
    std::optional<HandbookNumber> crushing_across;  ///< compression across, stress at the proportional limit
    std::optional<HandbookNumber> shear;            ///< along the grain
    std::optional<HandbookNumber> tension_across;   ///< tension across the grain
    ElasticRatios ratios;
};

/// `species` as find_species() takes it. nullopt when it is unknown or means several.
std::optional<Mechanical> mechanical_of(const std::string& species);

}  // namespace seamwright::shelf
