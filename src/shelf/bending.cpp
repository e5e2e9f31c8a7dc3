#include "shelf/bending.h"

#include <fmt/core.h>

#include <cmath>
#include <stdexcept>

#include "shelf/mechanical.h"

namespace seamwright::shelf {

std::optional<BendingLimit> bending_limit(const std::string& species, double share) {
    if (!(share > 0.0 && share <= 1.0)) throw std::invalid_argument("bending_limit: the share must be in (0, 1]");
    const auto wood = mechanical_of(species);
    if (!wood || !wood->rupture || !wood->elasticity) return std::nullopt;
    BendingLimit limit;
    limit.species = wood->species;
    limit.rupture_mpa = wood->rupture->mpa;
    limit.elasticity_mpa = wood->elasticity->mpa;
    limit.strain_at_rupture = limit.rupture_mpa / limit.elasticity_mpa;
    limit.share = share;
    limit.allowed_strain = share * limit.strain_at_rupture;
    limit.from_memory = !wood->rupture->read || !wood->elasticity->read;
    const auto named = [](const HandbookNumber& n) { return n.column + (n.read ? " (read)" : " (from memory)"); };
    limit.source = fmt::format("estimate: {} of MOR/MOE; Wood Handbook, chapter 5: {}, {}", share,
                               named(*wood->rupture), named(*wood->elasticity));
    return limit;
}

double part_that_breaks(double part) {
    if (!(part >= 0.0)) throw std::invalid_argument("part_that_breaks: the part must not be negative");
    return 0.5 * std::erfc((1.0 - part) / (rupture_scatter * std::sqrt(2.0)));
}

}  // namespace seamwright::shelf
