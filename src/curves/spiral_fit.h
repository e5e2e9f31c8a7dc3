#pragma once

#include <complex>
#include <optional>

#include "curves/clothoid.h"

namespace seamwright::curves {

/// I = ∫ e^{iψ} dt of a unit spiral about its middle, with ∫ t e^{iψ} dt and ∫ t² e^{iψ} dt.
struct SpiralIntegral {
    std::complex<double> chord;
    std::complex<double> first_moment;
    std::complex<double> second_moment;
};
SpiralIntegral spiral_integral(double k0, double k1);

/// The unit spiral whose end directions make the angles a (start) and b (end) with its chord, and what Newton's
/// method on a whole spline needs: the derivatives of log I, and the slope of the equation that gives k1.
struct SpiralFit {
    double k0 = 0.0;
    double k1 = 0.0;
    double phi = 0.0;  ///< direction of the chord, measured from the direction in the middle
    SpiralIntegral integral;
    std::complex<double> log_by_k0;  ///< ∂ log I / ∂ k0
    std::complex<double> log_by_k1;  ///< ∂ log I / ∂ k1
    double slope = 0.0;              ///< ∂ (¼ k1 − 2 φ) / ∂ k1
};

/// a and b in radians, both within ±0.98 π. `k1_guess` starts the search near a known neighbour. nullopt when no
/// spiral of the simple family is found.
std::optional<SpiralFit> fit_spiral(double a, double b, std::optional<double> k1_guess = {});

/// The fitted spiral laid between two points.
Clothoid placed(const SpiralFit& fit, Point from, Point to);

}  // namespace seamwright::curves
