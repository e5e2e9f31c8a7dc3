#include "curves/profile_filter.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "banded.h"
#include "geometry/point.h"

namespace seamwright::curves {

namespace {

using geometry::pi;

void require(double step_mm, double cut_off_mm) {
    if (!(step_mm > 0.0) || !(cut_off_mm > 0.0) || !std::isfinite(step_mm) || !std::isfinite(cut_off_mm))
        throw std::invalid_argument("profile filter: step and cut-off must be positive lengths");
}

/// The kernel is a normal curve of σ = 0.187 cut-offs. Cut eight σ away, 1e-15 of its area is lost.
constexpr double reach_in_cut_offs = 1.5;

/// (I + Σ factor · DᵀD) w = z with the differences of each order.
std::vector<double> by_differences(std::span<const double> heights,
                                   std::initializer_list<std::pair<std::size_t, double>> orders) {
    const std::size_t n = heights.size();
    // A band matrix has rows of four; fewer heights than that carry no wave.
    if (n < 4) return {heights.begin(), heights.end()};
    constexpr std::array<std::array<double, 4>, 4> difference{
        {{1.0, 0.0, 0.0, 0.0}, {-1.0, 1.0, 0.0, 0.0}, {1.0, -2.0, 1.0, 0.0}, {-1.0, 3.0, -3.0, 1.0}}};
    BandMatrix matrix(n);
    matrix.add_diagonal(1.0);
    for (const auto& [order, factor] : orders) {
        for (std::size_t i = 0; i + order < n; ++i) {
            BandRow row{i, difference[order]};
            // Near the end the four places of the row are the last four.
            if (i + 4 > n) {
                const std::size_t shift = i + 4 - n;
                row.first = i - shift;
                row.at = {};
                for (std::size_t k = 0; k <= order; ++k) row.at[k + shift] = difference[order][k];
            }
            matrix.add(row, factor);
        }
    }
    std::vector<double> out(heights.begin(), heights.end());
    const BandFactor factor(matrix);
    factor.solve(out);
    std::vector<double> rest = matrix.times(out);
    for (std::size_t i = 0; i < n; ++i) rest[i] = heights[i] - rest[i];
    factor.solve(rest);
    for (std::size_t i = 0; i < n; ++i) out[i] += rest[i];
    return out;
}

double wave_factor(double step_mm, double cut_off_mm) {
    require(step_mm, cut_off_mm);
    if (cut_off_mm <= 2.0 * step_mm)
        throw std::invalid_argument("profile filter: the cut-off must be longer than two steps");
    return 1.0 / (2.0 * std::sin(pi * step_mm / cut_off_mm));
}

}  // namespace

std::vector<double> gaussian_line(std::span<const double> at_mm, std::span<const double> heights, double cut_off_mm) {
    require(1.0, cut_off_mm);
    const std::size_t n = heights.size();
    if (n < 2) return {heights.begin(), heights.end()};
    const double alpha2 = std::log(2.0) / pi;
    const double scale = pi / (alpha2 * cut_off_mm * cut_off_mm);
    const double reach = reach_in_cut_offs * cut_off_mm;
    const auto width = [&](std::size_t i) {
        const double before = at_mm[i == 0 ? 0 : i - 1];
        const double after = at_mm[i + 1 == n ? i : i + 1];
        // An end point is its own mirror image: it stands for both halves.
        return (i == 0 || i + 1 == n) ? after - before : 0.5 * (after - before);
    };
    std::vector<double> out(n);
    std::size_t first = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const double here = at_mm[i];
        double sum = 0.0;
        double whole = 0.0;
        const auto count = [&](double at, double height, double w) {
            const double d = at - here;
            const double weight = w * std::exp(-scale * d * d);
            sum += weight * height;
            whole += weight;
        };
        while (at_mm[first] < here - reach) ++first;
        for (std::size_t k = first; k < n && at_mm[k] <= here + reach; ++k) count(at_mm[k], heights[k], width(k));
        const double start = at_mm[0];
        for (std::size_t k = 1; k < n && 2.0 * start - at_mm[k] >= here - reach; ++k)
            count(2.0 * start - at_mm[k], 2.0 * heights[0] - heights[k], width(k));
        const double end = at_mm[n - 1];
        for (std::size_t back = 1; back < n && 2.0 * end - at_mm[n - 1 - back] <= here + reach; ++back) {
            const std::size_t k = n - 1 - back;
            count(2.0 * end - at_mm[k], 2.0 * heights[n - 1] - heights[k], width(k));
        }
        out[i] = sum / whole;
    }
    return out;
}

std::vector<double> gaussian_line(std::span<const double> heights, double step_mm, double cut_off_mm) {
    require(step_mm, cut_off_mm);
    std::vector<double> at(heights.size());
    for (std::size_t i = 0; i < at.size(); ++i) at[i] = step_mm * static_cast<double>(i);
    return gaussian_line(at, heights, cut_off_mm);
}

std::vector<double> spline_line(std::span<const double> heights, double step_mm, double cut_off_mm, double tension) {
    if (!(tension >= 0.0 && tension <= 1.0)) throw std::invalid_argument("profile filter: tension must be in [0, 1]");
    const double alpha = wave_factor(step_mm, cut_off_mm);
    const double alpha2 = alpha * alpha;
    return by_differences(heights, {{1, tension * alpha2}, {2, (1.0 - tension) * alpha2 * alpha2}});
}

std::vector<double> third_order_line(std::span<const double> heights, double step_mm, double cut_off_mm) {
    const double alpha = wave_factor(step_mm, cut_off_mm);
    const double alpha2 = alpha * alpha;
    return by_differences(heights, {{3, alpha2 * alpha2 * alpha2}});
}

double bridged_wave_mm(double guide_radius_mm, double amplitude_mm) {
    return 2.0 * pi * std::sqrt(guide_radius_mm * amplitude_mm);
}

double felt_by_hand_mm(double width_mm) {
    constexpr double widest_mm = 240.0;
    constexpr double at_widest_mm = 8.0;
    constexpr double exponent = 1.3;
    return at_widest_mm * std::pow(width_mm / widest_mm, exponent);
}

double closed_by_clamps_mm(double wave_mm, double pressure_mpa, double contact_modulus_mpa) {
    return pressure_mpa * wave_mm / (pi * contact_modulus_mpa);
}

double curvature_scatter(double sigma_mm, double apart_mm) {
    return std::sqrt(6.0) * sigma_mm / (apart_mm * apart_mm);
}

double three_point_reading_mm(double curvature, double foot_mm) {
    return 0.5 * curvature * foot_mm * foot_mm;
}

}  // namespace seamwright::curves
