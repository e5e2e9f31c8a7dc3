#include "nodes.h"

#include <algorithm>
#include <cmath>

namespace seamwright::trace {
namespace {

constexpr double usual_step = 3.0, least_step = 0.25, least_steps = 100.0;
/// Samples a pixel apart are means over about two pixels along the line: so many count as one.
constexpr double shared = 2.0;
/// Nodes on either side over which their own scatter is taken.
constexpr std::ptrdiff_t window = 40;
/// A trace that scatters by this much, at 3 mm, is made fair with the usual wave; the wave grows with the cube root of
/// the scatter. (Judgement: what is left of the noise then stays about a fifth of the scatter.)
constexpr double usual_scatter = 0.05, usual_wave = 150.0;
constexpr double least_wave = 60.0, most_wave = 400.0;

double middle_of(std::vector<double>& values) {
    const auto place = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), place, values.end());
    return *place;
}

/// How far each node lies off the cubic through its four neighbours, in scatters of a node.
std::vector<double> strays(const std::vector<Point>& points, bool closed) {
    const auto n = static_cast<std::ptrdiff_t>(points.size());
    std::vector<double> out;
    const auto at = [&](std::ptrdiff_t i) { return points[static_cast<std::size_t>(((i % n) + n) % n)]; };
    // Weights of the cubic through neighbours one and two steps off; with the node's own, the sum of their squares.
    constexpr double near = 4.0 / 6.0, far = -1.0 / 6.0;
    const double spread = std::sqrt(1.0 + 2.0 * near * near + 2.0 * far * far);
    for (std::ptrdiff_t i = closed ? 0 : 2; i < (closed ? n : n - 2); ++i) {
        const Point off = at(i) - near * (at(i - 1) + at(i + 1)) - far * (at(i - 2) + at(i + 2));
        const Point along = at(i + 2) - at(i - 2);
        const double length = norm(along);
        out.push_back(length > 0.0 ? std::abs(cross(along, off)) / length / spread : 0.0);
    }
    return out;
}

}  // namespace

double usual_step_mm(double length_mm) {
    return std::clamp(length_mm / least_steps, least_step, usual_step);
}

Nodes nodes_of(const std::vector<Sample>& samples, double length_mm, bool closed, double wanted_step_mm) {
    const double steps = std::max(closed ? 3.0 : 2.0, std::round(length_mm / wanted_step_mm));
    Nodes nodes;
    nodes.step_mm = length_mm / steps;
    const auto count = static_cast<std::size_t>(steps) + (closed ? 0 : 1);
    struct Sum {
        Point at;
        double weight = 0.0, variance = 0.0;
    };
    std::vector<Sum> sums(count);
    for (const auto& s : samples) {
        const auto k = static_cast<std::size_t>(std::max(0.0, std::floor(s.along_mm / nodes.step_mm + 0.5)));
        if (k >= count && !closed) continue;
        auto& sum = sums[k % count];
        const double weight = 1.0 / std::max(s.scatter_mm * s.scatter_mm, 1e-12);
        sum.at = sum.at + weight * s.at;
        sum.weight += weight;
        sum.variance += weight * weight * s.scatter_mm * s.scatter_mm;
    }
    for (const auto& sum : sums) {
        if (sum.weight <= 0.0) continue;
        nodes.points.push_back(sum.at / sum.weight);
        nodes.scatter_mm.push_back(std::sqrt(shared * sum.variance) / sum.weight);
    }
    if (nodes.points.size() < 9) return nodes;
    const std::vector<double> stray = strays(nodes.points, closed);
    const auto n = static_cast<std::ptrdiff_t>(stray.size());
    const std::ptrdiff_t first = closed ? 0 : 2;
    std::vector<double> near;
    for (std::ptrdiff_t i = 0; i < static_cast<std::ptrdiff_t>(nodes.points.size()); ++i) {
        const std::ptrdiff_t from = std::max<std::ptrdiff_t>(0, std::min(i - first - window, n - 2 * window));
        const std::ptrdiff_t to = std::min(n, from + 2 * window);
        near.assign(stray.begin() + from, stray.begin() + to);
        auto& scatter = nodes.scatter_mm[static_cast<std::size_t>(i)];
        scatter = std::max(scatter, middle_of(near) / 0.6745);
    }
    return nodes;
}

double mean_scatter_mm(const Nodes& nodes) {
    double sum = 0.0;
    for (const double s : nodes.scatter_mm) sum += s * s;
    return nodes.scatter_mm.empty() ? 0.0 : std::sqrt(sum / static_cast<double>(nodes.scatter_mm.size()));
}

double usual_wave_mm(const Nodes& nodes, double length_mm) {
    // Twice as many nodes at the same scatter tell more: what counts is the scatter by root of length.
    const double at_usual_step = mean_scatter_mm(nodes) * std::sqrt(nodes.step_mm / usual_step);
    const double wave = usual_wave * std::cbrt(at_usual_step / usual_scatter);
    // A short curve is not flattened: a quarter of it is kept.
    return std::min(std::clamp(wave, least_wave, most_wave), std::max(0.25 * length_mm, 10.0));
}

}  // namespace seamwright::trace
