#include "curves/bending.h"

#include <cmath>
#include <stdexcept>

namespace seamwright::curves {

namespace {

void need_positive(double value, const char* message) {
    if (!(value > 0.0)) throw std::invalid_argument(message);
}

}  // namespace

double skin_strain(double thickness_mm, double radius_mm) {
    need_positive(thickness_mm, "skin_strain: the thickness must be above nought");
    need_positive(radius_mm, "skin_strain: the radius must be above nought");
    return thickness_mm / (2.0 * radius_mm);
}

double smallest_radius_mm(double thickness_mm, double allowed_strain) {
    need_positive(thickness_mm, "smallest_radius_mm: the thickness must be above nought");
    need_positive(allowed_strain, "smallest_radius_mm: the strain must be above nought");
    return thickness_mm / (2.0 * allowed_strain);
}

double greatest_thickness_mm(double radius_mm, double allowed_strain) {
    need_positive(radius_mm, "greatest_thickness_mm: the radius must be above nought");
    need_positive(allowed_strain, "greatest_thickness_mm: the strain must be above nought");
    return 2.0 * radius_mm * allowed_strain;
}

}  // namespace seamwright::curves
