#pragma once

#include <cmath>
#include <cstdint>
#include <vector>

#include "geometry/point.h"

// Invented traces, the same on every machine.
namespace seamwright::testing {

using geometry::Point;

/// Normal scatter from a fixed generator (the standard library's differ between machines).
class Scatter {
  public:
    explicit Scatter(std::uint64_t seed) : state_(seed * 2 + 1) {}
    double uniform() {
        state_ ^= state_ << 13U;
        state_ ^= state_ >> 7U;
        state_ ^= state_ << 17U;
        return (static_cast<double>(state_ >> 11U) + 0.5) * 0x1p-53;
    }
    double normal() { return std::sqrt(-2.0 * std::log(uniform())) * std::cos(2.0 * geometry::pi * uniform()); }

  private:
    std::uint64_t state_;
};

inline double edge_y(double x) {
    return 40.0 * std::sin(2.0 * geometry::pi * x / 1200.0) + 10.0 * std::sin(2.0 * geometry::pi * x / 700.0 + 1.0);
}
inline double edge_slope(double x) {
    return 40.0 * 2.0 * geometry::pi / 1200.0 * std::cos(2.0 * geometry::pi * x / 1200.0) +
           10.0 * 2.0 * geometry::pi / 700.0 * std::cos(2.0 * geometry::pi * x / 700.0 + 1.0);
}

/// The 2.4 m edge above, moved along its normal by scatter and by `bump(x)`, a place every `step`.
template <class Bump>
std::vector<Point> edge_trace(double step, double sigma, std::uint64_t seed, Bump bump) {
    Scatter scatter(seed);
    std::vector<Point> out;
    for (int i = 0; i * step <= 2400.0 + 1e-9; ++i) {
        const double x = i * step;
        const double slope = edge_slope(x);
        const double w = std::sqrt(1.0 + slope * slope);
        const double off = (sigma > 0.0 ? sigma * scatter.normal() : 0.0) + bump(x);
        out.push_back({x - off * slope / w, edge_y(x) + off / w});
    }
    return out;
}
inline std::vector<Point> edge_trace(double step, double sigma, std::uint64_t seed) {
    return edge_trace(step, sigma, seed, [](double) { return 0.0; });
}

}  // namespace seamwright::testing
