#include "wood/elastic.h"

#include <cmath>
#include <complex>
#include <stdexcept>

#include "shelf/mechanical.h"

namespace seamwright::wood {
namespace {

/// E_L is higher than the modulus from bending tests, which deflect by shear as well.
constexpr double bending_to_pull = 1.1;

}  // namespace

std::optional<PlaneElastic> plane_elastic(const std::string& species, Rings rings) {
    const auto known = shelf::mechanical_of(species);
    if (!known || !known->elasticity) return std::nullopt;
    const shelf::ElasticRatios& r = known->ratios;
    PlaneElastic out;
    out.species = known->species;
    out.along_mpa = bending_to_pull * known->elasticity->mpa;
    // The rings lie along the width of a flat-sawn board: there T is across the grain in the plane of the top.
    const bool flat = rings == Rings::flat;
    out.across_mpa = (flat ? r.across_t : r.across_r) * out.along_mpa;
    out.shear_mpa = (flat ? r.shear_lt : r.shear_lr) * out.along_mpa;
    out.nu = flat ? r.nu_lt : r.nu_lr;
    out.from_memory = !known->elasticity->read || !r.read;
    out.of_group = r.of_group;
    return out;
}

double modulus_at(const PlaneElastic& wood, double angle_rad) {
    const double c = std::cos(angle_rad), s = std::sin(angle_rad);
    const double c2 = c * c, s2 = s * s;
    return 1.0 / (c2 * c2 / wood.along_mpa + s2 * s2 / wood.across_mpa +
                  s2 * c2 * (1.0 / wood.shear_mpa - 2.0 * wood.nu / wood.along_mpa));
}

double edge_modulus(const PlaneElastic& wood, double angle_rad) {
    using Complex = std::complex<double>;
    const double s11 = 1.0 / wood.along_mpa, s22 = 1.0 / wood.across_mpa, s12 = -wood.nu / wood.along_mpa,
                 s66 = 1.0 / wood.shear_mpa;
    // In the directions of the grain the equation is one of μ².
    const double b = (2.0 * s12 + s66) / s11, c = s22 / s11;
    const Complex root = std::sqrt(Complex(b * b - 4.0 * c, 0.0));
    const double cos = std::cos(angle_rad), sin = std::sin(angle_rad);
    // Turned so that the first axis runs along the edge; the compliance across the edge turns with it.
    const double s22_edge = 1.0 / modulus_at(wood, angle_rad + 0.5 * 3.14159265358979323846);
    double sum = 0.0;
    for (const double sign : {1.0, -1.0}) {
        Complex mu = std::sqrt(0.5 * (-b + sign * root));
        if (mu.imag() < 0.0) mu = -mu;
        const Complex turned = (mu * cos + sin) / (cos - mu * sin);
        sum += (1.0 / turned).imag();
    }
    return 1.0 / (0.5 * s22_edge * std::abs(sum));
}

double hankinson(double along, double across, double angle_rad, double exponent) {
    if (!(along > 0.0) || !(across > 0.0) || !(exponent > 0.0))
        throw std::invalid_argument("hankinson: strengths and exponent must be above nothing");
    const double s = std::pow(std::abs(std::sin(angle_rad)), exponent);
    const double c = std::pow(std::abs(std::cos(angle_rad)), exponent);
    return along * across / (along * s + across * c);
}

}  // namespace seamwright::wood
