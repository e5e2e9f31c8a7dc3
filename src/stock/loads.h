#pragma once

#include <array>
#include <vector>

#include "geometry/path.h"

namespace seamwright::stock {

/// How much of a board an item takes whatever way it lies, by one of several measures; what lies on a board adds up to
/// 1 at most in each.
///
/// Along the board every line square to it crosses the items on it in stretches that add up to its width at most. So
/// they do when each is first rounded by a function f that keeps sums of at most 1 at most 1 (a dual feasible
/// function: S. Fekete, J. Schepers, Math. Program. 91 (2001) 11; G. Lueker; from memory), and the same holds across.
/// With f(x) = x this is area; others see that two pieces of 0.6 widths do not lie side by side.
inline constexpr std::size_t count_of_loads = 18;
using Loads = std::array<double, count_of_loads>;

/// The stretches of a shape over x, from left to right, each at its narrowest: never more than the shape has.
struct Stretch {
    double length_mm = 0.0, across_mm = 0.0;
};
/// `shape` closed; `grow_mm` is the wood kept around it.
std::vector<Stretch> stretches_of(const std::vector<geometry::Point>& corners, double grow_mm);

Loads loads_of(const std::vector<Stretch>& along, const std::vector<Stretch>& across, double board_length_mm,
               double board_width_mm);

}  // namespace seamwright::stock
