// The free stick. Of all curves of any length through its pins the stick takes one whose ∫ κ² ds is least nearby;
// between two pins that is κ'' = −½ κ³ (L. Euler, De curvis elasticis, 1744: the rectangular elastica, his fifth kind).
//
// Its first integral is κ'² + ¼ κ⁴ = ¼ A⁴, and κ = A sl(½ A s + c) with the lemniscate sine sl, sl'² = 1 − sl⁴. The
// direction measured from the pull of the pins, ω, obeys cos ω = sl², sin ω = −sl' = −2 κ'/A².
//
// A stretch of unit length about its middle, where κ = p, κ' = q. With h = A/4 and M = A⁴ = p⁴ + 4 q² put
//
//     σ = sl(h)/A,   d = sl'(h),   τ = (∫₀ʰ sl²)/A³,
//
// which are plain power series in M. The addition theorem sl(u ± h) = (sl u sl'h ± sl h sl'u)/(1 + sl²u sl²h) and its
// companions for cl and ∫ sl² then give, with D = 1 + p²σ² and G = 1 + d + p²σ² (derived here, checked by test
// against the differential equation),
//
//     κ(±½)                    = (p d ± 2 q σ) / D
//     tan ½(θ(±½) − θ(0))      = (2 q σ² ± p σ G) / (G ∓ 2 p q σ³)
//     chord along the middle   = 4 τ p² + (4 σ/D) (1 − p⁴ σ⁴/(1 + d))
//     chord across it          = 8 q τ − 8 q p² σ⁵ / (D (1 + d))
//     ∫ κ² ds                  = 4 τ M + 4 p² σ d / D
//     κ'(s)                    = κ'(0) cos(θ − θ(0)) − ½ κ(0)² sin(θ − θ(0))
//
// with no division by A anywhere, so that the straight stick is no special case.

#include "free_elastica.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace seamwright::curves {

namespace {

using geometry::Point;

/// Half the period of the lemniscate sine: from one inflection to the next (Gauss; check_values.csv).
constexpr double arch = 2.6220575542921198;
/// The search goes no further than this many arches. One that grows out of the straight stick loses its hold before.
constexpr double most_arches = 1.9;

/// Terms of the power series. At h ≤ `series_reach` the terms shrink by (h/1.854)⁴ = 1/50, so 10 reach 1e-17.
constexpr std::size_t terms = 10;
constexpr double series_reach = 0.7;

struct Series {
    std::array<double, terms> sine{};    ///< sl(h) = h Σ sine[n] h⁴ⁿ
    std::array<double, terms> square{};  ///< ∫₀ʰ sl² = h³ Σ square[n] h⁴ⁿ
};

// sl'' = −2 sl³ read coefficient by coefficient.
constexpr Series lemniscate_series() {
    Series s;
    std::array<double, terms> squared{};  // sl² = h² Σ squared[n] h⁴ⁿ
    s.sine[0] = 1.0;
    for (std::size_t n = 0; n < terms; ++n) {
        if (n > 0) {
            double cubed = 0.0;  // of sl³ = h³ Σ … h⁴ⁿ, at n − 1
            for (std::size_t i = 0; i < n; ++i) cubed += squared[i] * s.sine[n - 1 - i];
            const auto order = static_cast<double>(4 * n);
            s.sine[n] = -2.0 * cubed / ((order + 1.0) * order);
        }
        squared[n] = 0.0;
        for (std::size_t i = 0; i <= n; ++i) squared[n] += s.sine[i] * s.sine[n - i];
        s.square[n] = squared[n] / static_cast<double>(4 * n + 3);
    }
    return s;
}
constexpr Series series = lemniscate_series();

/// σ, d, τ at M, and their derivatives by M.
struct Lemniscate {
    double sigma = 0.0, d = 0.0, tau = 0.0;
    double sigma_by = 0.0, d_by = 0.0, tau_by = 0.0;
};

Lemniscate lemniscate(double m) {
    const double amplitude = std::sqrt(std::sqrt(m));
    int doublings = 0;
    double h = 0.25 * amplitude;
    while (h > series_reach) {
        h *= 0.5;
        ++doublings;
    }
    const double x = h * h * h * h;
    double sine = 0.0, slope = 0.0, square = 0.0, sine_by = 0.0, square_by = 0.0;
    for (std::size_t n = terms; n-- > 0;) {
        const auto order = static_cast<double>(n);
        sine_by = sine_by * x + (n + 1 < terms ? (order + 1.0) * series.sine[n + 1] : 0.0);
        square_by = square_by * x + (n + 1 < terms ? (order + 1.0) * series.square[n + 1] : 0.0);
        sine = sine * x + series.sine[n];
        slope = slope * x + (4.0 * order + 1.0) * series.sine[n];
        square = square * x + series.square[n];
    }
    Lemniscate out;
    if (doublings == 0) {
        // x = M / 256, h = A / 4.
        out.sigma = 0.25 * sine;
        out.d = slope;
        out.tau = square / 64.0;
        out.sigma_by = 0.25 * sine_by / 256.0;
        out.tau_by = square_by / 64.0 / 256.0;
    } else {
        double s = h * sine;
        double d = slope;
        double area = h * h * h * square;
        for (int i = 0; i < doublings; ++i) {
            const double s4 = s * s * s * s;
            const double twice = 2.0 * s * d / (1.0 + s4);
            area = 2.0 * area + s * s * twice;
            d = (1.0 - 6.0 * s4 + s4 * s4) / ((1.0 + s4) * (1.0 + s4));
            s = twice;
        }
        out.sigma = s / amplitude;
        out.d = d;
        out.tau = area / (amplitude * amplitude * amplitude);
        out.sigma_by = (0.25 * d - out.sigma) / (4.0 * m);
        out.tau_by = (0.25 * out.sigma * out.sigma - 3.0 * out.tau) / (4.0 * m);
    }
    out.d_by = -out.sigma * out.sigma * out.sigma / 8.0;
    return out;
}

/// A number that knows how it changes with p and with q.
struct Varied {
    double value = 0.0, by_p = 0.0, by_q = 0.0;

    friend Varied operator+(Varied a, Varied b) { return {a.value + b.value, a.by_p + b.by_p, a.by_q + b.by_q}; }
    friend Varied operator-(Varied a, Varied b) { return {a.value - b.value, a.by_p - b.by_p, a.by_q - b.by_q}; }
    friend Varied operator*(Varied a, Varied b) {
        return {a.value * b.value, a.by_p * b.value + a.value * b.by_p, a.by_q * b.value + a.value * b.by_q};
    }
    friend Varied operator*(double k, Varied a) { return {k * a.value, k * a.by_p, k * a.by_q}; }
    friend Varied operator/(Varied a, Varied b) {
        const double v = a.value / b.value;
        return {v, (a.by_p - v * b.by_p) / b.value, (a.by_q - v * b.by_q) / b.value};
    }
};

Varied angle(Varied y, Varied x) {
    const double r2 = x.value * x.value + y.value * y.value;
    return {std::atan2(y.value, x.value), (x.value * y.by_p - y.value * x.by_p) / r2,
            (x.value * y.by_q - y.value * x.by_q) / r2};
}

Varied root(Varied a) {
    const double r = std::sqrt(a.value);
    return {r, 0.5 * a.by_p / r, 0.5 * a.by_q / r};
}

struct VariedStretch {
    Varied along, across;
    Varied heading0, heading1;
    Varied curvature0, curvature1;
    Varied bending;
};

double fourth_power(Bend b) {
    const double p2 = b.curvature * b.curvature;
    return p2 * p2 + 4.0 * b.slope * b.slope;
}

VariedStretch varied_stretch(Bend middle) {
    const Varied p{middle.curvature, 1.0, 0.0};
    const Varied q{middle.slope, 0.0, 1.0};
    const Varied one{1.0, 0.0, 0.0};
    const Varied p2 = p * p;
    const Varied m = p2 * p2 + 4.0 * (q * q);
    const Lemniscate l = lemniscate(m.value);
    const auto of_m = [&](double value, double by) { return Varied{value, by * m.by_p, by * m.by_q}; };
    const Varied sigma = of_m(l.sigma, l.sigma_by);
    const Varied d = of_m(l.d, l.d_by);
    const Varied tau = of_m(l.tau, l.tau_by);
    const Varied sigma2 = sigma * sigma;
    const Varied s2p2 = p2 * sigma2;
    const Varied under = one + s2p2;
    const Varied g = one + d + s2p2;
    // 1 + d vanishes at h = one arch, where `most_arches` never comes.
    const Varied both = one + d;

    VariedStretch v;
    v.curvature0 = (p * d - 2.0 * (q * sigma)) / under;
    v.curvature1 = (p * d + 2.0 * (q * sigma)) / under;
    const Varied even = 2.0 * (q * sigma2);
    const Varied odd = p * sigma * g;
    const Varied skew = 2.0 * (p * q * sigma * sigma2);
    v.heading1 = 2.0 * angle(even + odd, g - skew);
    v.heading0 = 2.0 * angle(even - odd, g + skew);
    v.along = 4.0 * (tau * p2) + 4.0 * (sigma / under) * (one - s2p2 * s2p2 / both);
    v.across = 8.0 * (q * tau) - 8.0 * (q * sigma * sigma2 * s2p2 / (under * both));
    v.bending = 4.0 * (tau * m) + 4.0 * (p2 * sigma * d / under);
    return v;
}

bool within_reach(Bend middle) {
    const double most = 2.0 * arch * most_arches;
    const double m = fourth_power(middle);
    return std::isfinite(m) && m <= most * most * most * most;
}

/// The stretch at a trial bend, as equations for the wanted end directions.
struct Trial {
    VariedStretch stretch;
    Varied chord_heading;
    Varied a, b;  ///< directions at the ends, from the chord
    double determinant = 0.0;
};

std::optional<Trial> trial(Bend middle) {
    if (!within_reach(middle)) return std::nullopt;
    Trial t;
    t.stretch = varied_stretch(middle);
    t.chord_heading = angle(t.stretch.across, t.stretch.along);
    t.a = t.stretch.heading0 - t.chord_heading;
    t.b = t.stretch.heading1 - t.chord_heading;
    t.determinant = t.a.by_p * t.b.by_q - t.a.by_q * t.b.by_p;
    return t;
}

/// The straight stretch has the determinant −1/12. While it stays negative nothing is lost: two neighbouring sticks
/// through the same ends with the same directions meet only where it vanishes, and there the hold ends (Jacobi).
/// The search stays this far (of 1/12) clear of that, for beyond it another family would be taken for the stick.
constexpr double least_hold = 1e-9;

constexpr int most_steps = 30;
constexpr int most_halvings = 6;
/// A search that gains less than this part for so many steps has run against the end of the family.
constexpr double least_gain = 0.1;
constexpr int most_poor_steps = 4;
/// No stick rests where one of its ends leaves the chord by more than this (124.15°, found numerically: the largest
/// direction over the border of the family, with the other end along the chord).
constexpr double most_heading_rad = 2.168;
/// Directions are met to this; further steps move rounding errors about.
constexpr double settled_rad = 1e-14;
constexpr double good_enough_rad = 1e-12;

double miss(const Trial& t, double a, double b) {
    return std::fmax(std::abs(t.a.value - a), std::abs(t.b.value - b));
}

bool holds(const Trial& t) {
    return t.determinant < -least_hold / 12.0;
}

struct Found {
    Bend middle;
    Trial trial;
    int steps = 0;
};

std::optional<Found> search(double a, double b, Bend from) {
    auto now = trial(from);
    if (!now || !holds(*now)) return std::nullopt;
    Bend at = from;
    double off = miss(*now, a, b);
    int poor_steps = 0;
    for (int step = 1; step <= most_steps; ++step) {
        if (off <= settled_rad) return Found{at, *now, step};
        const double ra = a - now->a.value;
        const double rb = b - now->b.value;
        const double dp = (ra * now->b.by_q - rb * now->a.by_q) / now->determinant;
        const double dq = (rb * now->a.by_p - ra * now->b.by_p) / now->determinant;
        double factor = 1.0;
        bool better = false;
        for (int halving = 0; halving <= most_halvings; ++halving, factor *= 0.5) {
            const Bend next{at.curvature + factor * dp, at.slope + factor * dq};
            const auto tried = trial(next);
            if (!tried || !holds(*tried)) continue;
            const double next_off = miss(*tried, a, b);
            if (!(next_off < off)) continue;
            if (next_off > (1.0 - least_gain) * off) ++poor_steps;
            at = next;
            now = tried;
            off = next_off;
            better = true;
            break;
        }
        // Near the end, where only rounding is left to gain, every step is poor.
        if (!better || (poor_steps >= most_poor_steps && off > good_enough_rad)) break;
    }
    if (off <= good_enough_rad) return Found{at, *now, most_steps};
    return std::nullopt;
}

PinnedStretch pinned(const Found& found) {
    const VariedStretch& v = found.trial.stretch;
    const Varied chord = root(v.along * v.along + v.across * v.across);
    const Varied start = v.curvature0 * chord;
    const Varied end = v.curvature1 * chord;
    const Varied& a = found.trial.a;
    const Varied& b = found.trial.b;
    const double det = found.trial.determinant;
    PinnedStretch out;
    out.middle = found.middle;
    out.length = 1.0 / chord.value;
    out.bending = v.bending.value * chord.value;
    out.start = start.value;
    out.end = end.value;
    out.start_by_a = (start.by_p * b.by_q - start.by_q * b.by_p) / det;
    out.cross_by = (start.by_q * a.by_p - start.by_p * a.by_q) / det;
    out.end_by_b = (end.by_q * a.by_p - end.by_p * a.by_q) / det;
    out.steps = found.steps;
    return out;
}

}  // namespace

std::optional<UnitStretch> unit_stretch(Bend middle) {
    if (!within_reach(middle)) return std::nullopt;
    const VariedStretch v = varied_stretch(middle);
    UnitStretch out;
    out.chord = {v.along.value, v.across.value};
    out.heading0 = v.heading0.value;
    out.heading1 = v.heading1.value;
    out.curvature0 = v.curvature0.value;
    out.curvature1 = v.curvature1.value;
    out.bending = v.bending.value;
    return out;
}

Ahead bend_ahead(Bend from, double along_mm) {
    // The far half of a stretch twice as long.
    const double twice = 2.0 * along_mm;
    const double p = from.curvature * twice;
    const double q = from.slope * twice * twice;
    const double p2 = p * p;
    const Lemniscate l = lemniscate(p2 * p2 + 4.0 * q * q);
    const double s2p2 = p2 * l.sigma * l.sigma;
    const double g = 1.0 + l.d + s2p2;
    const double half =
        std::atan2(2.0 * q * l.sigma * l.sigma + p * l.sigma * g, g - 2.0 * p * q * l.sigma * l.sigma * l.sigma);
    Ahead out;
    out.turn_rad = 2.0 * half;
    out.bend.curvature = (from.curvature * l.d + 2.0 * from.slope * twice * l.sigma) / (1.0 + s2p2);
    out.bend.slope =
        from.slope * std::cos(out.turn_rad) - 0.5 * from.curvature * from.curvature * std::sin(out.turn_rad);
    return out;
}

Further further(Bend from, double along_mm) {
    const Ahead half = bend_ahead(from, 0.5 * along_mm);
    const double p = half.bend.curvature * along_mm;
    const double q = half.bend.slope * along_mm * along_mm;
    const double p2 = p * p;
    const Lemniscate l = lemniscate(p2 * p2 + 4.0 * q * q);
    const double s2p2 = p2 * l.sigma * l.sigma;
    const double under = 1.0 + s2p2;
    const double along = 4.0 * l.tau * p2 + 4.0 * l.sigma / under * (1.0 - s2p2 * s2p2 / (1.0 + l.d));
    const double across = 8.0 * q * l.tau - 8.0 * q * l.sigma * l.sigma * l.sigma * s2p2 / (under * (1.0 + l.d));
    const double c = std::cos(half.turn_rad);
    const double s = std::sin(half.turn_rad);
    const Ahead whole = bend_ahead(from, along_mm);
    return {whole.bend, whole.turn_rad, {along_mm * (along * c - across * s), along_mm * (along * s + across * c)}};
}

double crest_curvature(Bend bend) {
    return std::sqrt(std::sqrt(fourth_power(bend)));
}

std::optional<PinnedStretch> pinned_stretch(double a, double b, const std::optional<Bend>& near) {
    if (!(std::abs(a) <= most_heading_rad && std::abs(b) <= most_heading_rad)) return std::nullopt;
    if (near) {
        if (const auto found = search(a, b, *near)) return pinned(*found);
    }
    if (const auto found = search(a, b, {b - a, 6.0 * (a + b)})) return pinned(*found);
    // A neighbour that does not lead there is near the end of the family: the caller takes a smaller step.
    if (near) return std::nullopt;
    // Grown out of the straight stretch, in steps that halve where one fails.
    constexpr double least_growth = 1.0 / 32.0;
    Bend at;
    double part = 0.0;
    double growth = 0.25;
    while (part < 1.0) {
        const double next = std::fmin(1.0, part + growth);
        const auto found = search(next * a, next * b, at);
        if (!found) {
            growth *= 0.5;
            if (growth < least_growth) return std::nullopt;
            continue;
        }
        if (next >= 1.0) return pinned(*found);
        at = found->middle;
        part = next;
    }
    return std::nullopt;
}

}  // namespace seamwright::curves
