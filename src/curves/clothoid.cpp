// Euler spirals (clothoids): curvature runs linearly along the length.
//
// The one integral behind everything is the chord of a spiral of unit length, measured about its middle,
//
//     I(k0, k1) = ∫ exp(i (k0 t + ½ k1 t²)) dt,   t from −½ to ½,
//
// k0 being the curvature in the middle and k1 its rise from end to end. It is the Fresnel integral in other clothes
// (Abramowitz & Stegun, Handbook of Mathematical Functions, 7.3), but the middle form stays well-conditioned where
// k1 → 0 and the spiral becomes an arc or a line, so there is no special case for either.
//
// Error budget. I is integrated by Gauss-Legendre with 8 nodes on equal pieces, each piece turning by at most
// `most_turn_per_piece`. For exp(i w x) on [-1, 1] the rule misses by about w^16 · 2^17 (8!)^4 / (17 (16!)^3) =
// 2.2e-18 w^16; with w = 1 (half of 2 rad) that is far below rounding, and the quadratic part of the phase, which is
// smaller still, leaves it there. What remains is rounding of the sum: a few parts in 1e16 per piece.
//
// Fitting a spiral between two points with given end directions follows R. Levien, "From Spiral to Spline" (thesis,
// 2009), chapter 8: with a, b the end directions measured from the chord and φ = arg I,
//
//     a = −½ k0 + ⅛ k1 − φ,   b = ½ k0 + ⅛ k1 − φ   ⇒   k0 = b − a,   ¼ k1 − 2 φ(k0, k1) = a + b,
//
// one equation for k1, solved by Newton's method with ∂φ/∂k1 = Im(I_k1 / I), which the same nodes give for free.

#include "curves/clothoid.h"

#include <array>
#include <cmath>

#include "spiral_fit.h"

namespace seamwright::curves {

namespace {

using Complex = std::complex<double>;

/// Largest change of direction over one piece of the quadrature, in radians; see the error budget above.
constexpr double most_turn_per_piece = 2.0;

/// Pieces are capped so that absurd curvature (a spiral wound up thousands of times) costs bounded time.
constexpr int most_pieces = 4096;

// Gauss-Legendre nodes and weights for n = 8 on [-1, 1]: Abramowitz & Stegun table 25.4 (recomputed to 17 digits).
constexpr std::array<double, 4> gauss_node{0.18343464249564980, 0.52553240991632899, 0.79666647741362674,
                                           0.96028985649753623};
constexpr std::array<double, 4> gauss_weight{0.36268378337836198, 0.31370664587788729, 0.22238103445337447,
                                             0.10122853629037626};

/// Adds the integral over [middle − half, middle + half], and its first moments, to `sum`.
void add_piece(double k0, double k1, double middle, double half, bool moments, SpiralIntegral& sum) {
    for (std::size_t i = 0; i < gauss_node.size(); ++i) {
        for (const double side : {-1.0, 1.0}) {
            const double t = middle + side * half * gauss_node[i];
            const double phase = t * (k0 + 0.5 * k1 * t);
            const double weight = half * gauss_weight[i];
            const Complex value{weight * std::cos(phase), weight * std::sin(phase)};
            sum.chord += value;
            if (moments) {
                sum.first_moment += t * value;
                sum.second_moment += t * t * value;
            }
        }
    }
}

SpiralIntegral integrate(double k0, double k1, bool moments) {
    SpiralIntegral sum;
    const double steepest = std::abs(k0) + 0.5 * std::abs(k1);
    const double wanted = std::ceil(steepest / most_turn_per_piece);
    const int pieces = wanted >= 1.0 ? static_cast<int>(std::fmin(wanted, most_pieces)) : 1;
    const double half = 0.5 / pieces;
    for (int i = 0; i < pieces; ++i) add_piece(k0, k1, -0.5 + half * (2 * i + 1), half, moments, sum);
    return sum;
}

}  // namespace

SpiralIntegral spiral_integral(double k0, double k1) {
    return integrate(k0, k1, true);
}

Point unit_clothoid_chord(double k0, double k1) {
    const Complex chord = integrate(k0, k1, false).chord;
    return {chord.real(), chord.imag()};
}

Point Clothoid::point(double at_mm) const {
    // The part from 0 to at_mm is a spiral of its own: middle curvature and rise follow from linearity.
    const double rise = length_mm > 0.0 ? (curvature1 - curvature0) * (at_mm / length_mm) : 0.0;
    const double k0 = (curvature0 + 0.5 * rise) * at_mm;
    const double k1 = rise * at_mm;
    const double middle_heading = heading_rad + 0.5 * k0 - 0.125 * k1;
    const Point chord = unit_clothoid_chord(k0, k1);
    const double c = at_mm * std::cos(middle_heading);
    const double s = at_mm * std::sin(middle_heading);
    return {start.x + (c * chord.x - s * chord.y), start.y + (s * chord.x + c * chord.y)};
}

double Clothoid::heading(double at_mm) const {
    const double rise = length_mm > 0.0 ? (curvature1 - curvature0) * (at_mm / length_mm) : 0.0;
    return heading_rad + at_mm * (curvature0 + 0.5 * rise);
}

double Clothoid::curvature(double at_mm) const {
    return length_mm > 0.0 ? curvature0 + (curvature1 - curvature0) * (at_mm / length_mm) : curvature0;
}

std::optional<SpiralFit> fit_spiral(double a, double b, std::optional<double> k1_guess) {
    // Close to ±π both ways round are equally good and φ jumps; the fit would be arbitrary.
    constexpr double most_angle = 0.98 * geometry::pi;
    if (!(std::abs(a) <= most_angle) || !(std::abs(b) <= most_angle)) return std::nullopt;
    // Newton settles in 3 to 5 steps for angles up to 2 rad; the rest is room for hard cases.
    constexpr int most_steps = 40;
    // Direction error of the end point, in radians, at which rounding of the angles has been reached.
    constexpr double settled = 4e-16;

    SpiralFit fit;
    fit.k0 = b - a;
    const double ratio = std::abs(fit.k0) / (4.0 * geometry::pi);
    double k1 = k1_guess ? *k1_guess : 6.0 * (1.0 - ratio * ratio * ratio) * (a + b);  // Levien's starting value
    double before = 1e300;
    for (int step = 0; step < most_steps; ++step) {
        fit.integral = integrate(fit.k0, k1, true);
        const Complex inverse = 1.0 / fit.integral.chord;
        if (!std::isfinite(inverse.real()) || !std::isfinite(inverse.imag())) return std::nullopt;
        const double phi = std::arg(fit.integral.chord);
        // ∂I/∂k0 = i·(first moment), ∂I/∂k1 = (i/2)·(second moment).
        const Complex by_k0 = Complex{0.0, 1.0} * fit.integral.first_moment * inverse;
        const Complex by_k1 = Complex{0.0, 0.5} * fit.integral.second_moment * inverse;
        const double miss = 0.25 * k1 - 2.0 * phi - (a + b);
        const double slope = 0.25 - 2.0 * by_k1.imag();
        fit.k1 = k1;
        fit.phi = phi;
        fit.log_by_k0 = by_k0;
        fit.log_by_k1 = by_k1;
        fit.slope = slope;
        const double size = std::abs(miss);
        // Rounding of k1/4 sets the floor; stop there, or when steps no longer help.
        if (size <= settled * (1.0 + std::abs(k1)) || (size < 1e-13 && size >= before)) {
            return std::abs(fit.integral.chord) > 1e-6 ? std::optional<SpiralFit>{fit} : std::nullopt;
        }
        if (!(slope > 1e-3)) return std::nullopt;  // past the fold: no spiral of this family
        // A step beyond 10 would leave the branch on which φ is continuous.
        double change = -miss / slope;
        constexpr double most_change = 10.0;
        change = std::fmax(-most_change, std::fmin(most_change, change));
        k1 += change;
        before = size;
    }
    return std::nullopt;
}

Clothoid placed(const SpiralFit& fit, Point from, Point to) {
    const Point chord = to - from;
    Clothoid out;
    out.start = from;
    out.length_mm = geometry::norm(chord) / std::abs(fit.integral.chord);
    out.heading_rad = geometry::heading(chord) - fit.phi - 0.5 * fit.k0 + 0.125 * fit.k1;
    out.curvature0 = (fit.k0 - 0.5 * fit.k1) / out.length_mm;
    out.curvature1 = (fit.k0 + 0.5 * fit.k1) / out.length_mm;
    return out;
}

std::optional<Clothoid> clothoid_between(Point from, Point to, double heading0_rad, double heading1_rad) {
    const Point chord = to - from;
    if (!(geometry::norm2(chord) > 0.0)) return std::nullopt;
    const double direction = geometry::heading(chord);
    const auto fit =
        fit_spiral(geometry::wrap_pi(heading0_rad - direction), geometry::wrap_pi(heading1_rad - direction));
    if (!fit) return std::nullopt;
    return placed(*fit, from, to);
}

}  // namespace seamwright::curves
