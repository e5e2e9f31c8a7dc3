#include "loads.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace seamwright::stock {
namespace {

using geometry::Point;

/// Chords may stand this far outside the shape.
constexpr double chords_mm = 0.2;
constexpr double stretch_mm = 8.0;

/// u⁽ᵏ⁾: x where (k + 1) x is whole, else the whole part of it over k.
double in_steps(double x, int k) {
    const double times = (k + 1) * x, whole = std::round(times);
    constexpr double rounding = 1e-9;
    return std::abs(times - whole) < rounding ? x : std::floor(times) / k;
}

/// What is nearly all counts as all, what is small as nothing.
double all_or_nothing(double x, double small) {
    if (x > 1.0 - small) return 1.0;
    return x < small ? 0.0 : x;
}

constexpr std::size_t functions = count_of_loads / 2;
double rounded(std::size_t function, double x) {
    switch (function) {
        case 0:
            return x;
        case 1:
        case 2:
        case 3:
        case 4:
            return in_steps(x, static_cast<int>(function));
        case 5:
            return all_or_nothing(x, 0.5);
        case 6:
            return all_or_nothing(x, 0.4);
        case 7:
            return all_or_nothing(x, 0.3);
        default:
            return all_or_nothing(x, 0.2);
    }
}

/// A closed outline as one edge after the other by x, for asking how much lies over a line.
double across_at(const std::vector<Point>& corners, double x, std::vector<double>& ys) {
    ys.clear();
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Point a = corners[i], b = corners[i + 1 == corners.size() ? 0 : i + 1];
        if ((a.x <= x) == (b.x <= x)) continue;
        ys.push_back(a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x));
    }
    std::sort(ys.begin(), ys.end());
    double sum = 0.0;
    for (std::size_t i = 0; i + 1 < ys.size(); i += 2) sum += ys[i + 1] - ys[i];
    return sum;
}

}  // namespace

std::vector<Stretch> stretches_of(const std::vector<Point>& corners, double grow_mm) {
    std::vector<double> cuts;
    for (const Point p : corners) cuts.push_back(p.x);
    std::sort(cuts.begin(), cuts.end());
    const double left = cuts.front(), right = cuts.back();
    const double steps = std::ceil((right - left) / stretch_mm);
    for (double k = 1.0; k < steps; k += 1.0) cuts.push_back(left + (right - left) * k / steps);
    std::sort(cuts.begin(), cuts.end());
    // Between cuts the outline is straight, so the least is at one of their ends.
    std::vector<Stretch> out;
    std::vector<double> ys;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        const double length = cuts[i + 1] - cuts[i];
        if (length < 1e-6) continue;
        const double hair = std::min(1e-7, 0.25 * length);
        const double least =
            std::min(across_at(corners, cuts[i] + hair, ys), across_at(corners, cuts[i + 1] - hair, ys));
        out.push_back({length, std::max(0.0, least - chords_mm) + 2.0 * grow_mm});
    }
    if (out.empty()) return out;
    // Beyond its ends: at least as wide as the end itself.
    const Stretch first{grow_mm, std::max(0.0, out.front().across_mm - 2.0 * grow_mm)};
    const Stretch last{grow_mm, std::max(0.0, out.back().across_mm - 2.0 * grow_mm)};
    out.insert(out.begin(), first);
    out.push_back(last);
    return out;
}

Loads loads_of(const std::vector<Stretch>& along, const std::vector<Stretch>& across, double board_length_mm,
               double board_width_mm) {
    Loads out{};
    const auto load = [](const std::vector<Stretch>& all, std::size_t f, double whole, double other) {
        double sum = 0.0;
        for (const Stretch& s : all) sum += s.length_mm * rounded(f, std::min(1.0, s.across_mm / other));
        return sum / whole;
    };
    for (std::size_t f = 0; f < functions; ++f) {
        out[f] = load(along, f, board_length_mm, board_width_mm);
        out[functions + f] = load(across, f, board_width_mm, board_length_mm);
    }
    return out;
}

}  // namespace seamwright::stock
