// The caul in finite elements: cubic beam elements on springs that push and never pull. Where a spring would pull the
// caul has lifted off; it is left out and the beam is solved again, until none pulls and none that was left out is
// pressed.

#include "process/clamping.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::dot;
using geometry::Point;

constexpr Eigen::Index elements = 120;
constexpr int most_rounds = 60;

void check(const Caul& caul, const Behind& behind) {
    for (const double size :
         {caul.modulus_mpa, caul.deep_mm, caul.thick_mm, behind.depth_mm, behind.modulus_mpa, behind.thickness_mm}) {
        if (!(size > 0.0) || !std::isfinite(size))
            throw std::invalid_argument("clamping: a size that is none, or not above nothing");
    }
}

double resistance(const Behind& behind) {
    return behind.modulus_mpa * behind.thickness_mm / behind.depth_mm;
}

/// The seam as seen in the direction of the push: how far along the caul, and how square to the push.
struct Seen {
    double x = 0.0;
    double square = 1.0;  ///< cosine between the seam's normal and the push, > 0
    double aside = 0.0;   ///< its sine, + where the pressure pushes the right piece to the left of the push
};

std::vector<Seen> seen_along(std::span<const seam::SeamPlace> places, double push_rad) {
    const Point push = geometry::unit(push_rad), across = geometry::left_of(push);
    std::vector<Seen> out;
    for (const seam::SeamPlace& p : places) {
        // The right piece is pressed back along the normal.
        out.push_back({dot(p.at, across), -dot(p.normal, push), dot(p.normal, across)});
    }
    const bool backwards = out.size() > 1 && out.back().x < out.front().x;
    if (backwards)
        for (Seen& s : out) s.x = -s.x;
    for (std::size_t i = 0; i < out.size(); ++i) {
        constexpr double least_square = 1e-3;
        if (out[i].square < least_square || (i > 0 && !(out[i].x > out[i - 1].x)))
            throw std::invalid_argument("seam_pressure: the seam hooks behind the push");
    }
    const double from = out.empty() ? 0.0 : out.front().x;
    for (Seen& s : out) s.x -= from;
    return out;
}

double between(std::span<const Seen> seen, double x, double Seen::* what) {
    std::size_t i = 1;
    while (i + 1 < seen.size() && seen[i].x < x) ++i;
    const double part = std::clamp((x - seen[i - 1].x) / (seen[i].x - seen[i - 1].x), 0.0, 1.0);
    return seen[i - 1].*what + part * (seen[i].*what - seen[i - 1].*what);
}

/// Sinking of the caul at each node, and the foundation that is left under it.
struct Sunk {
    std::vector<double> by_mm;
    std::vector<double> spring;  ///< N/mm²: per length; 0 where it lifts off
};

Sunk solve(double length, double stiffness, const std::vector<double>& k_at, std::span<const Clamp> clamps) {
    const double h = length / static_cast<double>(elements);
    const Eigen::Index unknowns = 2 * (elements + 1);
    Sunk out;
    out.spring = k_at;
    Eigen::VectorXd load = Eigen::VectorXd::Zero(unknowns);
    for (const Clamp& clamp : clamps) {
        const double x = std::clamp(clamp.at_mm, 0.0, length);
        const Eigen::Index e = std::min(static_cast<Eigen::Index>(x / h), elements - 1);
        const double u = x / h - static_cast<double>(e);
        // Cubic shapes: the load is shared as the beam's own deflection would do work on it.
        load[2 * e] += clamp.force_n * (1.0 - 3.0 * u * u + 2.0 * u * u * u);
        load[2 * e + 1] += clamp.force_n * h * (u - 2.0 * u * u + u * u * u);
        load[2 * e + 2] += clamp.force_n * (3.0 * u * u - 2.0 * u * u * u);
        load[2 * e + 3] += clamp.force_n * h * (u * u * u - u * u);
    }
    Eigen::Matrix4d bend, rest;
    bend << 12.0, 6.0 * h, -12.0, 6.0 * h, 6.0 * h, 4.0 * h * h, -6.0 * h, 2.0 * h * h, -12.0, -6.0 * h, 12.0, -6.0 * h,
        6.0 * h, 2.0 * h * h, -6.0 * h, 4.0 * h * h;
    bend *= stiffness / (h * h * h);
    rest << 156.0, 22.0 * h, 54.0, -13.0 * h, 22.0 * h, 4.0 * h * h, 13.0 * h, -3.0 * h * h, 54.0, 13.0 * h, 156.0,
        -22.0 * h, -13.0 * h, -3.0 * h * h, -22.0 * h, 4.0 * h * h;
    rest *= h / 420.0;
    std::vector<bool> on(static_cast<std::size_t>(elements), true);
    for (int round = 0; round < most_rounds; ++round) {
        Eigen::MatrixXd K = Eigen::MatrixXd::Zero(unknowns, unknowns);
        for (Eigen::Index e = 0; e < elements; ++e) {
            const auto i = static_cast<std::size_t>(e);
            const double k = on[i] ? 0.5 * (k_at[i] + k_at[i + 1]) : 0.0;
            K.block<4, 4>(2 * e, 2 * e) += bend + k * rest;
        }
        const Eigen::VectorXd sunk = K.ldlt().solve(load);
        bool changed = false;
        for (Eigen::Index e = 0; e < elements; ++e) {
            const double middle =
                0.5 * (sunk[2 * e] + sunk[2 * e + 2]) + 0.125 * h * (sunk[2 * e + 1] - sunk[2 * e + 3]);
            const bool presses = middle >= 0.0;
            if (presses != on[static_cast<std::size_t>(e)]) changed = true;
            on[static_cast<std::size_t>(e)] = presses;
        }
        out.by_mm.assign(static_cast<std::size_t>(elements) + 1, 0.0);
        for (std::size_t i = 0; i < out.by_mm.size(); ++i) out.by_mm[i] = sunk[2 * static_cast<Eigen::Index>(i)];
        const bool any = std::any_of(on.begin(), on.end(), [](bool o) { return o; });
        if (!changed || !any) break;
    }
    for (std::size_t i = 0; i < out.by_mm.size(); ++i) out.by_mm[i] = std::max(0.0, out.by_mm[i]);
    return out;
}

/// The mean over a window of 2·reach, held within the seam.
std::vector<double> spread(const std::vector<double>& values, double step, double reach) {
    std::vector<double> sums(values.size(), 0.0);
    for (std::size_t i = 1; i < values.size(); ++i) sums[i] = sums[i - 1] + 0.5 * step * (values[i - 1] + values[i]);
    const double whole = step * static_cast<double>(values.size() - 1);
    const auto integral = [&](double x) {
        x = std::clamp(x, 0.0, whole);
        const auto i = std::min(static_cast<std::size_t>(x / step), values.size() - 2);
        const double u = x / step - static_cast<double>(i);
        return sums[i] + step * (u * values[i] + 0.5 * u * u * (values[i + 1] - values[i]));
    };
    std::vector<double> out(values.size());
    // What would spread beyond an end is thrown back from it, so that the force stays the same.
    const auto folded = [&](double x) {
        if (x < 0.0) return -integral(-x);
        if (x > whole) return 2.0 * integral(whole) - integral(2.0 * whole - x);
        return integral(x);
    };
    const double r = std::min(reach, whole);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double x = step * static_cast<double>(i);
        out[i] = (folded(x + r) - folded(x - r)) / (2.0 * r);
    }
    return out;
}

template <typename Test, typename Steep>
std::vector<SeamPressure::Stretch> stretches(std::span<const seam::SeamPlace> places, const Test& test,
                                             const Steep& steep) {
    std::vector<SeamPressure::Stretch> out;
    bool before = false;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const bool here = test(i);
        if (here && !before) out.push_back({places[i].at_mm, places[i].at_mm, 0.0});
        if (here) {
            out.back().to_mm = places[i].at_mm;
            out.back().steepest_rad = std::max(out.back().steepest_rad, steep(i));
        }
        before = here;
    }
    return out;
}

}  // namespace

double caul_lambda(const Caul& caul, const Behind& behind) {
    check(caul, behind);
    return std::pow(resistance(behind) / (4.0 * caul.stiffness_nmm2()), 0.25);
}

RowPressure row_pressure(double z) {
    if (!(z > 0.0)) throw std::invalid_argument("row_pressure: no spacing");
    // A caul that is soft between its clamps presses under them alone.
    constexpr double soft = 300.0;
    const double y = std::min(z, soft);
    RowPressure out;
    out.under = 0.5 * z * (std::sinh(y) + std::sin(y)) / (std::cosh(y) - std::cos(y));
    const double h = 0.5 * y;
    out.midway =
        out.under * 2.0 * (std::cosh(h) * std::sin(h) + std::sinh(h) * std::cos(h)) / (std::sinh(y) + std::sin(y));
    return out;
}

SeamPressure seam_pressure(std::span<const seam::SeamPlace> places, double push_rad, const Caul& caul,
                           const Behind& behind, std::span<const Clamp> clamps, double friction, bool spreads) {
    check(caul, behind);
    if (places.size() < 3 || clamps.empty()) throw std::invalid_argument("seam_pressure: no seam, or no clamps");
    for (const Clamp& clamp : clamps)
        if (!(clamp.force_n >= 0.0) || !std::isfinite(clamp.force_n + clamp.at_mm))
            throw std::invalid_argument("seam_pressure: a clamp's force or place is none");
    const auto seen = seen_along(places, push_rad);
    const double length = seen.back().x;
    const double step = length / static_cast<double>(elements);
    std::vector<double> k_at;
    for (Eigen::Index i = 0; i <= elements; ++i)
        k_at.push_back(resistance(behind) * between(seen, step * static_cast<double>(i), &Seen::square));
    const Sunk sunk = solve(length, caul.stiffness_nmm2(), k_at, clamps);
    // Per length of the caul; square to the seam it is this over thickness, whatever the slope: p n·push ds = p dx.
    std::vector<double> push(sunk.by_mm.size());
    for (std::size_t i = 0; i < push.size(); ++i) push[i] = k_at[i] * sunk.by_mm[i] / behind.thickness_mm;
    if (spreads) push = spread(push, step, behind.depth_mm);

    SeamPressure out;
    for (const Clamp& clamp : clamps) out.force_n += clamp.force_n;
    const auto at = [&](double x) {
        const auto i = std::min(static_cast<std::size_t>(x / step), push.size() - 2);
        const double u = x / step - static_cast<double>(i);
        return std::max(0.0, push[i] + u * (push[i + 1] - push[i]));
    };
    for (const Seen& s : seen) out.pressure_mpa.push_back(at(std::clamp(s.x, 0.0, length)));
    double along = 0.0;
    out.least_mpa = HUGE_VAL;
    for (std::size_t i = 0; i < seen.size(); ++i) {
        const double before = i > 0 ? places[i].at_mm - places[i - 1].at_mm : 0.0;
        const double after = i + 1 < seen.size() ? places[i + 1].at_mm - places[i].at_mm : 0.0;
        const double ds = 0.5 * (before + after), p = out.pressure_mpa[i];
        along += ds;
        out.mean_mpa += p * ds;
        out.sideways_n += p * behind.thickness_mm * ds * seen[i].aside;
        out.holds_sideways_n += friction * p * behind.thickness_mm * ds;
        out.least_mpa = std::min(out.least_mpa, p);
        out.largest_mpa = std::max(out.largest_mpa, p);
    }
    out.mean_mpa /= along;
    out.slides = std::abs(out.sideways_n) > out.holds_sideways_n;
    const auto slope = [&](std::size_t i) { return std::atan2(std::abs(seen[i].aside), seen[i].square); };
    out.steep = stretches(places, [&](std::size_t i) { return std::tan(slope(i)) > friction; }, slope);
    constexpr double nothing = 1e-6;
    out.lifted =
        stretches(places, [&](std::size_t i) { return out.pressure_mpa[i] <= nothing * out.largest_mpa; }, slope);
    return out;
}

ClampRow even_row(double length_mm, std::size_t count, double force_n) {
    ClampRow row;
    row.count = count;
    row.spacing_mm = length_mm / static_cast<double>(count);
    row.force_n = force_n;
    for (std::size_t i = 0; i < count; ++i)
        row.clamps.push_back({row.spacing_mm * (static_cast<double>(i) + 0.5), force_n});
    return row;
}

ClampRow clamp_row(double length_mm, double pressure_mpa, const Caul& caul, const Behind& behind, double most_force_n) {
    const double lambda = caul_lambda(caul, behind);
    if (!(length_mm > 0.0) || !(pressure_mpa > 0.0) || !(most_force_n > 0.0))
        throw std::invalid_argument("clamp_row: length, pressure and force must be above nothing");
    const double by_force = pressure_mpa * behind.thickness_mm * length_mm / most_force_n;
    const double by_stiffness = length_mm * lambda / 2.0;
    const auto count = static_cast<std::size_t>(std::max(2.0, std::ceil(std::max(by_force, by_stiffness) - 1e-9)));
    ClampRow row =
        even_row(length_mm, count, pressure_mpa * behind.thickness_mm * length_mm / static_cast<double>(count));
    row.by_stiffness = by_stiffness >= by_force;
    return row;
}

}  // namespace seamwright::process
