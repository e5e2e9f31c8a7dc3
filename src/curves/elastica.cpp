// The stick pushed at its ends, in Jacobi's elliptic functions. With the crest at u = 0 and ω = √(P/EI),
//
//     sin ½θ = k sn u,   κ = 2 k ω cn u,   ω·along = 2 ε(u) − u,   ω·across = 2 k (1 − cn u),   ε(u) = ∫₀ᵘ dn²,
//
// the ends being where κ = 0, at u = ±K. All of it comes out of one sequence of arithmetic and geometric means
// (Abramowitz & Stegun, Handbook of Mathematical Functions, 16.4, 17.6): with aₙ, bₙ, cₙ from a₀ = 1, b₀ = k', c₀ = k,
//
//     K = π / 2a_N,   1 − E/K = Σ 2ⁿ⁻¹ cₙ²,   ε(u) = (E/K) u + Σ cₙ sin φₙ (n ≥ 1).

#include "curves/elastica.h"

#include <array>
#include <cmath>
#include <functional>
#include <memory>
#include <stdexcept>

#include "shapes.h"

namespace seamwright::curves {

namespace {

using geometry::pi;
using geometry::SmoothCurve;

/// The means agree to rounding after 6 steps for k = 0.999, 9 for the last number below 1.
constexpr int most_means = 12;

struct Means {
    std::array<double, most_means + 1> a{}, c{};
    int last = 0;
    double shortfall = 0.0;  ///< 1 − E/K

    explicit Means(double modulus) {
        if (!(modulus >= 0.0 && modulus < 1.0)) throw std::invalid_argument("elastica: modulus must be in [0, 1)");
        double b = std::sqrt((1.0 - modulus) * (1.0 + modulus));
        a[0] = 1.0;
        c[0] = modulus;
        double weight = 0.5;
        shortfall = weight * modulus * modulus;
        constexpr double agree = 1e-17;
        while (last < most_means && c.at(static_cast<std::size_t>(last)) > agree) {
            const auto n = static_cast<std::size_t>(last);
            a.at(n + 1) = 0.5 * (a.at(n) + b);
            // (a − b)/2 without losing digits: c₁ = c₀² / 4a₁.
            c.at(n + 1) = c.at(n) * c.at(n) / (4.0 * a.at(n + 1));
            b = std::sqrt(a.at(n) * b);
            ++last;
            weight *= 2.0;
            shortfall += weight * c.at(n + 1) * c.at(n + 1);
        }
    }

    double quarter_period() const { return pi / (2.0 * a.at(static_cast<std::size_t>(last))); }
};

/// The modulus in [low, high] where `value`, which rises, is `wanted`. Halved to the last digit.
double modulus_where(double low, double high, double wanted, const std::function<double(const ElasticaArch&)>& value) {
    for (;;) {
        const double middle = 0.5 * (low + high);
        if (!(middle > low && middle < high)) return middle;
        (value(elastica_arch(middle)) < wanted ? low : high) = middle;
    }
}

/// Pins nearer than this part of the length are as good as one pin.
constexpr double least_chord_share = 1e-3;
/// A longer stick than its chord by less than this part is the straight line, and its rise would be rounding.
constexpr double least_shortfall = 1e-12;
constexpr double least_rise_share = 1e-6;

double most_modulus() {
    static const double found =
        modulus_where(0.0, 0.95, 1.0 - least_chord_share, [](const ElasticaArch& arch) { return arch.shortfall; });
    return found;
}

/// Where k/K is greatest: E = 2 K (1 − k²), from d(k/K)/dk = 0 with dK/dk = E/(k(1 − k²)) − K/k.
double highest_modulus() {
    static const double found = modulus_where(0.0, 0.95, 0.0, [](const ElasticaArch& arch) {
        const double k = std::sin(0.5 * arch.end_slope_rad);
        return 0.5 * (1.0 + arch.chord) - 2.0 * (1.0 - k * k);
    });
    return found;
}

CurveProblem refusal(std::string reason, std::string remedy) {
    return {std::move(reason), std::move(remedy), std::nullopt, std::nullopt};
}

std::optional<CurveProblem> unusable(const std::optional<double>& value, const char* name) {
    if (!value || (usable(*value) && *value > 0.0)) return std::nullopt;
    return refusal(std::string("The ") + name + " of the stick is not a usable length.",
                   "Give a length above nought and no more than a kilometre.");
}

SprungStick sprung(double modulus, double length_mm) {
    const ElasticaArch arch = elastica_arch(modulus);
    SprungStick out;
    out.modulus = modulus;
    out.length_mm = length_mm;
    out.chord_mm = length_mm * arch.chord;
    out.rise_mm = length_mm * arch.rise;
    out.end_slope_rad = arch.end_slope_rad;
    out.largest_curvature = arch.curvature / length_mm;
    out.tightest_radius_mm = length_mm / arch.curvature;
    out.force_share = arch.force;
    return out;
}

std::variant<SprungStick, CurveProblem> by_chord_and_length(double chord_mm, double length_mm) {
    if (length_mm - chord_mm < least_shortfall * length_mm) {
        return refusal("The stick, " + plain(length_mm) + " mm long, is no longer than the " + plain(chord_mm) +
                           " mm between its pins: it cannot bow.",
                       "Take a longer stick, or set the pins closer.");
    }
    if (chord_mm < least_chord_share * length_mm) {
        return refusal("The pins are only " + plain(chord_mm) + " mm apart for a stick of " + plain(length_mm) + " mm.",
                       "Set the pins further apart, at least a thousandth of the stick's length.");
    }
    const double modulus = modulus_where(0.0, most_modulus(), (length_mm - chord_mm) / length_mm,
                                         [](const ElasticaArch& arch) { return arch.shortfall; });
    SprungStick out = sprung(modulus, length_mm);
    out.chord_mm = chord_mm;
    return out;
}

CurveProblem too_flat(double rise_mm) {
    return refusal("A rise of " + plain(rise_mm) + " mm is too small to tell from a straight stick.",
                   "Give more rise, or draw a straight line.");
}

std::variant<SprungStick, CurveProblem> by_length_and_rise(double length_mm, double rise_mm) {
    const double most = elastica_arch(highest_modulus()).rise;
    if (rise_mm > most * length_mm) {
        return refusal("A stick of " + plain(length_mm) + " mm never rises by " + plain(rise_mm) + " mm; " +
                           plain(most * length_mm) + " mm is the most.",
                       "Take a longer stick, or less rise.");
    }
    if (rise_mm < least_rise_share * length_mm) return too_flat(rise_mm);
    const double modulus =
        modulus_where(0.0, highest_modulus(), rise_mm / length_mm, [](const ElasticaArch& arch) { return arch.rise; });
    SprungStick out = sprung(modulus, length_mm);
    out.rise_mm = rise_mm;
    return out;
}

std::variant<SprungStick, CurveProblem> by_chord_and_rise(double chord_mm, double rise_mm) {
    if (rise_mm < least_rise_share * chord_mm) return too_flat(rise_mm);
    const ElasticaArch most = elastica_arch(most_modulus());
    if (rise_mm * most.chord > most.rise * chord_mm) {
        return refusal("A rise of " + plain(rise_mm) + " mm over pins " + plain(chord_mm) +
                           " mm apart bends the stick until its ends meet.",
                       "Set the pins further apart, or ask for less rise.");
    }
    const double modulus = modulus_where(0.0, most_modulus(), rise_mm / chord_mm,
                                         [](const ElasticaArch& arch) { return arch.rise / arch.chord; });
    SprungStick out = sprung(modulus, chord_mm / elastica_arch(modulus).chord);
    out.chord_mm = chord_mm;
    out.rise_mm = rise_mm;
    return out;
}

}  // namespace

ElasticaPlace elastica_place(double modulus, double u) {
    const Means means(modulus);
    auto n = static_cast<std::size_t>(means.last);
    double phi = std::ldexp(means.a.at(n) * u, means.last);
    double epsilon = (1.0 - means.shortfall) * u;
    for (; n > 0; --n) {
        const double sine = std::sin(phi);
        epsilon += means.c.at(n) * sine;
        phi = 0.5 * (phi + std::asin(means.c.at(n) / means.a.at(n) * sine));
    }
    ElasticaPlace place;
    const double half = std::sin(0.5 * phi);
    const double sn = std::sin(phi);
    place.along = 2.0 * epsilon - u;
    // 1 − cn, without losing digits near the crest.
    place.across = 4.0 * modulus * half * half;
    place.heading_rad = 2.0 * std::asin(modulus * sn);
    place.curvature = 2.0 * modulus * std::cos(phi);
    return place;
}

ElasticaArch elastica_arch(double modulus) {
    const Means means(modulus);
    ElasticaArch arch;
    arch.quarter_period = means.quarter_period();
    arch.shortfall = 2.0 * means.shortfall;
    arch.chord = 1.0 - arch.shortfall;
    arch.rise = modulus / arch.quarter_period;
    arch.curvature = 4.0 * modulus * arch.quarter_period;
    const double root = 2.0 * arch.quarter_period / pi;
    arch.force = root * root;
    arch.end_slope_rad = 2.0 * std::asin(modulus);
    return arch;
}

std::variant<SprungStick, CurveProblem> sprung_stick(const SprungWish& wish) {
    if (auto problem = unusable(wish.chord_mm, "chord")) return *problem;
    if (auto problem = unusable(wish.length_mm, "length")) return *problem;
    if (auto problem = unusable(wish.rise_mm, "rise")) return *problem;
    if (wish.chord_mm && wish.length_mm && !wish.rise_mm) return by_chord_and_length(*wish.chord_mm, *wish.length_mm);
    if (wish.length_mm && wish.rise_mm && !wish.chord_mm) return by_length_and_rise(*wish.length_mm, *wish.rise_mm);
    if (wish.chord_mm && wish.rise_mm && !wish.length_mm) return by_chord_and_rise(*wish.chord_mm, *wish.rise_mm);
    return refusal("A sprung stick is given by two of its chord, its length and its rise.",
                   "Give exactly two of them.");
}

SmoothCurve SprungStick::curve(Point from, double heading_rad, bool bulges_left) const {
    const double stick_mm = length_mm;
    const double k = modulus;
    const double quarter = elastica_arch(k).quarter_period;
    const double per_mm = 2.0 * quarter / stick_mm;
    // elastica_place() turns left, so its arch hangs to the right of its way.
    const double side = bulges_left ? -1.0 : 1.0;
    const ElasticaPlace end = elastica_place(k, quarter);
    const Point along = geometry::unit(heading_rad);
    const Point across = side * geometry::left_of(along);

    SmoothCurve curve;
    curve.t_begin = 0.0;
    curve.t_end = stick_mm;
    curve.point = [=](double t) {
        const ElasticaPlace at = elastica_place(k, per_mm * t - quarter);
        return from + (at.along + end.along) / per_mm * along + (at.across - end.across) / per_mm * across;
    };
    curve.heading_rad = [=](double t) {
        return heading_rad + side * elastica_place(k, per_mm * t - quarter).heading_rad;
    };
    const auto curvature = [=](double t) { return side * per_mm * elastica_place(k, per_mm * t - quarter).curvature; };
    curve.curvature = curvature;
    curve.curvature_range = [=](double t0, double t1) {
        const double k0 = curvature(t0);
        const double k1 = curvature(t1);
        SmoothCurve::Range range{std::fmin(k0, k1), std::fmax(k0, k1)};
        const double crest = 0.5 * stick_mm;
        if (t0 < crest && t1 > crest) {
            range.low = std::fmin(range.low, curvature(crest));
            range.high = std::fmax(range.high, curvature(crest));
        }
        return range;
    };
    curve.length_bound_mm = [](double t0, double t1) { return t1 - t0; };
    return curve;
}

std::variant<SprungStick, CurveProblem> stick_of(const Sprung& sprung) {
    if (!usable(sprung.from) || !usable(sprung.to)) {
        return refusal("The place of a pin is not a usable number.", "Give plain numbers of no more than a kilometre.");
    }
    const Point chord = sprung.to - sprung.from;
    if (geometry::norm(chord) == 0.0) return refusal("Both pins are at the same place.", "Move one of them.");
    if (sprung.length_mm.has_value() == sprung.rise_mm.has_value())
        return refusal("A stick between two pins is given by its length or by its rise.", "Give exactly one of them.");
    const double given = sprung.length_mm ? *sprung.length_mm : *sprung.rise_mm;
    SprungWish wish{geometry::norm(chord), std::nullopt, std::nullopt};
    (sprung.length_mm ? wish.length_mm : wish.rise_mm) = std::abs(given);
    auto stick = sprung_stick(wish);
    if (auto* problem = std::get_if<CurveProblem>(&stick)) problem->at = geometry::midpoint(sprung.from, sprung.to);
    return stick;
}

double sprung_rise_through(Point from, Point to, Point through) {
    const double chord_mm = geometry::distance(from, to);
    if (!(chord_mm > 0.0)) throw std::invalid_argument("sprung_rise_through: both ends are at the same place");
    const Point along = (to - from) / chord_mm;
    const double height_mm = dot(through - from, geometry::left_of(along));
    // A stick is alike on both sides of its crest: the side of its start will do.
    const double half_mm = 0.5 * chord_mm;
    const double x_mm = -std::fmin(std::abs(dot(through - from, along) - half_mm), half_mm);
    constexpr int halvings = 50;
    const auto height_at = [&](double rise_mm) {
        const auto stick = sprung_stick({chord_mm, std::nullopt, rise_mm});
        const auto* s = std::get_if<SprungStick>(&stick);
        if (s == nullptr) return 0.0;
        const double per_mm = 2.0 * elastica_arch(s->modulus).quarter_period / s->length_mm;
        double low = -0.5 * s->length_mm;
        double high = 0.0;
        for (int i = 0; i < halvings; ++i) {
            const double middle = 0.5 * (low + high);
            (elastica_place(s->modulus, per_mm * middle).along < per_mm * x_mm ? low : high) = middle;
        }
        return rise_mm - elastica_place(s->modulus, per_mm * high).across / per_mm;
    };
    const double wanted_mm = std::abs(height_mm);
    if (wanted_mm < least_rise_share * chord_mm) return 0.0;
    double low = 0.0;
    double high = most_sprung_rise * chord_mm;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (low + high);
        (height_at(middle) < wanted_mm ? low : high) = middle;
    }
    return std::copysign(high, height_mm);
}

std::variant<Drawn, CurveProblem> draw_sprung(const Sprung& sprung, double within_mm) {
    const auto stick = stick_of(sprung);
    if (const auto* problem = std::get_if<CurveProblem>(&stick)) return *problem;
    const double given = sprung.length_mm ? *sprung.length_mm : *sprung.rise_mm;
    auto drawn = draw_smooth(
        std::get<SprungStick>(stick).curve(sprung.from, geometry::heading(sprung.to - sprung.from), given > 0.0),
        within_mm);
    if (auto* problem = std::get_if<CurveProblem>(&drawn))
        problem->remedy = "Set the pins further apart, or bend the stick less.";
    return drawn;
}

}  // namespace seamwright::curves
