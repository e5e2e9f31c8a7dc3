#include "scale.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace seamwright::paper {

double scale_for(double needed, units::Unit unit) {
    constexpr std::array<double, 14> metric{1, 2, 2.5, 4, 5, 6, 7.5, 10, 15, 20, 25, 50, 100, 200};
    constexpr std::array<double, 14> inch{1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 96, 192, 480};
    const auto& scales = unit == units::Unit::inch ? inch : metric;
    const auto* found = std::find_if(scales.begin(), scales.end(), [&](double s) { return s >= needed; });
    return found == scales.end() ? std::ceil(needed) : *found;
}

}  // namespace seamwright::paper
