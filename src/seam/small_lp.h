#pragma once

#include <array>
#include <optional>
#include <vector>

namespace seamwright::seam {

/// Numbers of four unknowns.
using Four = std::array<double, 4>;

/// normal · x >= at_least
struct HalfSpace {
    Four normal{};
    double at_least = 0.0;
};

/// The x that makes cost · x smallest within all half spaces. The first four must hold the cost: it is a combination of
/// their normals with factors > 0 (or >= 0), so that they have an optimum by themselves. nullopt when nothing lies
/// within all of them, or rounding stands in the way. Dual simplex method: the most offended half space comes in, one
/// goes out, at most `most_steps` times; time grows with steps times half spaces.
std::optional<Four> smallest(const Four& cost, const std::vector<HalfSpace>& within, int most_steps = 400);

/// Numbers of three unknowns.
using Three = std::array<double, 3>;
struct HalfSpace3 {
    Three normal{};
    double at_least = 0.0;
};
/// The x nearest to the origin within all half spaces. nullopt when nothing lies within all of them, or rounding stands
/// in the way. Each step takes in the most offended half space and lets go those that no longer press: the distance
/// grows at every step, so that none comes twice.
std::optional<Three> nearest_to_origin(const std::vector<HalfSpace3>& within, int most_steps = 200);

}  // namespace seamwright::seam
