#pragma once

#include <span>
#include <vector>

namespace seamwright::curves {

// Filters for heights along a line, evenly spaced. All give the long waves ("mean line"); what is left is the rest. A
// wave of the cut-off's length comes through at half its height. cut_off_mm, step_mm > 0, else std::invalid_argument.
//
// Never put a curved trace through a filter as if it were a profile: the Gaussian one moves the mean line of a bend of
// curvature κ by 0.0175576 κ λ² (0.40 mm at a radius of 1 m and λ = 150 mm). Filter heights above a fair curve.

/// ISO 16610-21: weights exp(−π (x / αλ)²), α = √(ln 2 / π); lets 2^−(λ/ℓ)² of a wave of length ℓ through. Beyond the
/// ends the profile goes on turned over in height and direction about its end.
std::vector<double> gaussian_line(std::span<const double> heights, double step_mm, double cut_off_mm);

/// The same for heights at uneven places (rising): each counts for the stretch half way to its neighbours.
std::vector<double> gaussian_line(std::span<const double> at_mm, std::span<const double> heights, double cut_off_mm);

/// ISO 16610-22: (I + β α² P + (1 − β) α⁴ Q) w = z, α = 1 / (2 sin(π step / λ)), with natural ends. In the limit of
/// fine steps lets 1 / (1 + β (λ/ℓ)² + (1 − β)(λ/ℓ)⁴) through. β in [0, 1]; 0.62524 is closest to the Gaussian filter.
std::vector<double> spline_line(std::span<const double> heights, double step_mm, double cut_off_mm, double tension);

/// The same with third differences, as the fair curve uses: lets 1 / (1 + (λ/ℓ)⁶) through, and parabolas whole.
/// Rounding grows with the sixth power of cut-off / step: at 50 steps it is 1e-10 of the heights, at 300 already 1e-5.
std::vector<double> third_order_line(std::span<const double> heights, double step_mm, double cut_off_mm);

/// Below this wave length a guide bridges the hollows of an edge: 2π √(r a), r the radius of the guide, a the amplitude
/// (derived: a sine's tightest hollow λ²/(4π²a) is then as tight as the guide).
double bridged_wave_mm(double guide_radius_mm, double amplitude_mm);

/// Height of a bump that a finger just feels: 8 mm (w / 240 mm)^1.3 for a bump w wide. Louw, Kappers & Koenderink, Exp.
/// Brain Res. 132 (2000) 369 give the exponent from 1 mm on and the end point at 240 mm (abstract read); the formula
/// through that point is ours.
double felt_by_hand_mm(double width_mm);

/// Amplitude D of a gap D (1 − cos 2πx/λ) that clamps just close: p λ / (π E*), E* being the contact modulus of both
/// edges together (H. Westergaard, J. Appl. Mech. 6 (1939) A49; formula from memory). The gap's peak is 2 D.
double closed_by_clamps_mm(double wave_mm, double pressure_mpa, double contact_modulus_mpa);

/// Scatter of a curvature taken from three points `apart_mm` apart, each off by σ: √6 σ / d².
double curvature_scatter(double sigma_mm, double apart_mm);

/// What a gauge with two feet at ±d about its tip reads on curvature κ: κ d² / 2.
double three_point_reading_mm(double curvature, double foot_mm);

}  // namespace seamwright::curves
