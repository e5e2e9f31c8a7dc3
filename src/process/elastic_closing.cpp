// The seam is carried on beyond both ends as its own mirror image, so that it is a sum of cosines, each with its own
// compliance. Pressure and gap are found by conjugate gradients that keep the pressure from pulling (I. Polonsky,
// L. Keer, Wear 231 (1999) 206, from memory).

#include "process/elastic_closing.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;
using geometry::pi;

/// Places along the seam at which gap and pressure are told, half a step from the ends.
constexpr int places = 128;
/// Cosines that the pressure is made of, and how many of them the gap is taken to have: what lies between is the
/// measuring's own.
constexpr int waves = places - 1;
constexpr int gap_waves = places / 2;
constexpr int most_steps = 2000;
constexpr double settled = 1e-7;

double per_pressure(double k, std::span<const PressedSide> sides) {
    double sum = 0.0;
    for (const PressedSide& side : sides) {
        sum += 2.0 / (wood::edge_modulus(side.wood, side.grain_rad) * k);
        if (!std::isfinite(side.width_mm)) continue;
        const double w = side.width_mm, along = wood::modulus_at(side.wood, side.grain_rad);
        sum += 12.0 / (along * w * w * w * k * k * k * k) + 1.2 / (side.wood.shear_mpa * w * k * k);
    }
    return sum;
}

void check(std::span<const PressedSide> sides) {
    if (sides.empty()) throw std::invalid_argument("close_elastically: no pieces");
    for (const PressedSide& side : sides)
        if (!(side.width_mm > 0.0)) throw std::invalid_argument("close_elastically: a piece without width");
}

/// The gap at the middle of each of the even stretches.
VectorXd sampled(std::span<const seam::GapAt> gap, double from, double length) {
    VectorXd out(places);
    std::size_t next = 1;
    for (int i = 0; i < places; ++i) {
        const double at = from + length * (i + 0.5) / places;
        while (next + 1 < gap.size() && gap[next].at_mm < at) ++next;
        const seam::GapAt &a = gap[next - 1], &b = gap[next];
        const double part = b.at_mm > a.at_mm ? std::clamp((at - a.at_mm) / (b.at_mm - a.at_mm), 0.0, 1.0) : 0.0;
        out[i] = a.gap_mm + part * (b.gap_mm - a.gap_mm);
    }
    return out;
}

/// Column m: the cosine of m half waves over the length, of unit mean square.
const MatrixXd& cosines() {
    static const MatrixXd made = [] {
        MatrixXd out(places, waves);
        for (int i = 0; i < places; ++i)
            for (int m = 1; m <= waves; ++m) out(i, m - 1) = std::sqrt(2.0) * std::cos(pi * m * (i + 0.5) / places);
        return out;
    }();
    return made;
}
/// The same at the ends of the stretches and between them, four times as close: the sum's largest value.
double largest(const VectorXd& heights) {
    static const MatrixXd fine = [] {
        MatrixXd out(4 * places + 1, gap_waves);
        for (int i = 0; i <= 4 * places; ++i)
            for (int m = 1; m <= gap_waves; ++m) out(i, m - 1) = std::sqrt(2.0) * std::cos(pi * m * i / (4.0 * places));
        return out;
    }();
    return (fine * heights.head(gap_waves)).maxCoeff();
}

struct Contact {
    VectorXd pressure, gap;
};

/// Pressure >= 0 of the given mean, gap >= 0, one of them nothing everywhere.
Contact pressed(const VectorXd& gap, const VectorXd& compliance, double mean) {
    const MatrixXd& basis = cosines();
    const auto dented = [&](const VectorXd& p) -> VectorXd {
        return basis * (compliance.asDiagonal() * (basis.transpose() * p / static_cast<double>(places)));
    };
    VectorXd p = VectorXd::Constant(places, mean);
    VectorXd way = VectorXd::Zero(places);
    double before = 1.0, carry = 0.0;
    const auto mean_where = [&](const VectorXd& v) {
        double sum = 0.0, count = 0.0;
        for (int i = 0; i < places; ++i) {
            if (p[i] <= 0.0) continue;
            sum += v[i];
            count += 1.0;
        }
        return count > 0.0 ? sum / count : 0.0;
    };
    for (int step = 0; step < most_steps; ++step) {
        VectorXd g = gap + dented(p);
        g.array() -= mean_where(g);
        double now = 0.0;
        for (int i = 0; i < places; ++i)
            if (p[i] > 0.0) now += g[i] * g[i];
        for (int i = 0; i < places; ++i) way[i] = p[i] > 0.0 ? g[i] + carry * (now / before) * way[i] : 0.0;
        before = std::max(now, 1e-300);
        VectorXd r = dented(way);
        r.array() -= mean_where(r);
        double up = 0.0, down = 0.0;
        for (int i = 0; i < places; ++i) {
            if (p[i] <= 0.0) continue;
            up += g[i] * way[i];
            down += r[i] * way[i];
        }
        if (!(down > 0.0)) break;
        const double tau = up / down;
        const VectorXd was = p;
        for (int i = 0; i < places; ++i)
            if (p[i] > 0.0) p[i] = std::max(0.0, p[i] - tau * way[i]);
        // Where nothing presses and the pieces would lie in each other, pressure comes up.
        carry = 1.0;
        for (int i = 0; i < places; ++i) {
            if (p[i] > 0.0 || g[i] >= 0.0) continue;
            p[i] -= tau * g[i];
            carry = 0.0;
        }
        const double sum = p.mean();
        if (!(sum > 0.0)) break;
        p *= mean / sum;
        if ((p - was).cwiseAbs().sum() < settled * p.sum()) break;
    }
    VectorXd g = gap + dented(p);
    g.array() -= mean_where(g);
    return {p, g};
}

}  // namespace

double closing_per_pressure(double wave_mm, std::span<const PressedSide> sides) {
    if (!(wave_mm > 0.0)) throw std::invalid_argument("closing_per_pressure: no wave");
    check(sides);
    return per_pressure(geometry::two_pi / wave_mm, sides);
}

ElasticClosing close_elastically(std::span<const seam::GapAt> gap, double thickness_mm, double pressure_mpa,
                                 std::span<const PressedSide> sides) {
    check(sides);
    if (gap.size() < 2 || !(thickness_mm > 0.0) || !(pressure_mpa > 0.0))
        throw std::invalid_argument("close_elastically: no seam, thickness or pressure");
    const double from = gap.front().at_mm, length = gap.back().at_mm - from;
    if (!(length > 0.0)) throw std::invalid_argument("close_elastically: a seam without length");

    const MatrixXd& basis = cosines();
    const VectorXd all = sampled(gap, from, length);
    VectorXd heights = basis.transpose() * all / static_cast<double>(places);
    heights.tail(waves - gap_waves).setZero();
    VectorXd compliance(waves);
    for (int m = 1; m <= waves; ++m) compliance[m - 1] = per_pressure(pi * m / length, sides);
    const VectorXd smooth = (basis * heights).array() + all.mean();

    ElasticClosing out;
    out.pressure_mpa = pressure_mpa;
    // To close all of it the pressure must fall by this where the gap was, and may nowhere fall below nothing.
    out.needed_mpa = std::max(0.0, largest((heights.array() / compliance.array()).matrix()));
    out.needed_n_per_mm = out.needed_mpa * thickness_mm;
    const Contact contact = pressed(smooth, compliance, pressure_mpa);
    out.highest_mpa = contact.pressure.maxCoeff();
    int touching = 0;
    for (int i = 0; i < places; ++i) {
        const double at = from + length * (i + 0.5) / places;
        const double left = contact.pressure[i] > 0.0 ? 0.0 : std::max(0.0, contact.gap[i]);
        touching += contact.pressure[i] > 0.0 ? 1 : 0;
        out.gap.push_back({at, left});
        out.pressed_mpa.push_back(contact.pressure[i]);
        if (left > out.left_mm) {
            out.left_mm = left;
            out.left_at_mm = at;
        }
    }
    out.touching_part = static_cast<double>(touching) / places;
    out.closes = out.needed_mpa <= pressure_mpa;
    return out;
}

}  // namespace seamwright::process
