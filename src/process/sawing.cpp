#include "process/sawing.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {

const std::vector<BandBlade>& band_blades() {
    // From blades of 1/8, 3/16, 1/4, 3/8, 1/2, 3/4 and 1 inch.
    static const std::vector<BandBlade> blades{{3.0, 5.0},   {5.0, 8.0},    {6.0, 16.0},  {10.0, 37.0},
                                               {13.0, 64.0}, {19.0, 138.0}, {25.0, 184.0}};
    return blades;
}

std::optional<BandBlade> widest_blade(double radius_mm) {
    std::optional<BandBlade> best;
    for (const BandBlade& blade : band_blades())
        if (blade.least_radius_mm <= radius_mm) best = blade;
    return best;
}

double jigsaw_radius_mm(double thickness_mm) {
    constexpr double thin_mm = 20.0, in_thin_mm = 25.0, each = 0.5;
    return in_thin_mm + each * std::max(0.0, thickness_mm - thin_mm);
}

double circular_saw_radius_mm(double blade_radius_mm, double depth_mm, double free_mm) {
    if (!(blade_radius_mm > depth_mm && depth_mm > 0.0 && free_mm > 0.0))
        throw std::invalid_argument("circular_saw_radius_mm: radius > depth > 0 and room beside the blade are needed");
    const double above = blade_radius_mm - depth_mm;
    const double half_square = blade_radius_mm * blade_radius_mm - above * above;
    return 4.0 * half_square / (8.0 * free_mm);
}

}  // namespace seamwright::process
