#include "edges.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "../tests/geometry/seeded.h"

namespace seamwright::bench {

namespace {

using geometry::pi;
using geometry::Point;
using geometry::testing::Seeded;

struct Sine {
    double height_mm;
    double length_mm;
};
constexpr std::array<Sine, 2> sines{{{40.0, 900.0}, {15.0, 410.0}}};

double slope(double x) {
    double sum = 0.0;
    for (const Sine& s : sines) sum += s.height_mm * 2.0 * pi / s.length_mm * std::cos(2.0 * pi * x / s.length_mm);
    return sum;
}

double bend(double x) {
    double sum = 0.0;
    for (const Sine& s : sines) {
        const double k = 2.0 * pi / s.length_mm;
        sum -= s.height_mm * k * k * std::sin(k * x);
    }
    return sum;
}

struct Range {
    double low, high;
    Range operator+(const Range& o) const { return {low + o.low, high + o.high}; }
};

/// Range of height × sin(k x + phase) on [x0, x1].
Range sine_range(double height, double k, double phase, double x0, double x1) {
    const double a = k * x0 + phase;
    const double b = k * x1 + phase;
    const auto crest_within = [&](double at) {
        return std::floor((b - at) / (2.0 * pi)) >= std::ceil((a - at) / (2.0 * pi));
    };
    const double ya = height * std::sin(a);
    const double yb = height * std::sin(b);
    Range r{std::min(ya, yb), std::max(ya, yb)};
    if (crest_within(0.5 * pi)) (height > 0.0 ? r.high : r.low) = height;
    if (crest_within(-0.5 * pi)) (height > 0.0 ? r.low : r.high) = -height;
    return r;
}

Range slope_range(double x0, double x1) {
    Range sum{0.0, 0.0};
    for (const Sine& s : sines) {
        const double k = 2.0 * pi / s.length_mm;
        sum = sum + sine_range(s.height_mm * k, k, 0.5 * pi, x0, x1);
    }
    return sum;
}

Range bend_range(double x0, double x1) {
    Range sum{0.0, 0.0};
    for (const Sine& s : sines) {
        const double k = 2.0 * pi / s.length_mm;
        sum = sum + sine_range(-s.height_mm * k * k, k, 0.0, x0, x1);
    }
    return sum;
}

/// Wander given every 0.5 mm, straight in between.
class Wander {
  public:
    Wander(double rms_mm, Seeded& random) {
        const auto places = static_cast<std::size_t>(board_length_mm / pitch_mm) + 2;
        for (std::size_t i = 0; i < places; ++i) heights_.push_back(rms_mm * random.normal());
    }
    double at(double x) const {
        const double place = std::floor(x / pitch_mm);
        const auto i = static_cast<std::size_t>(place);
        const double f = x / pitch_mm - place;
        return (1.0 - f) * heights_[i] + f * heights_[i + 1];
    }

  private:
    static constexpr double pitch_mm = 0.5;
    std::vector<double> heights_;
};

}  // namespace

double edge_height_mm(double x_mm) {
    double sum = board_depth_mm;
    for (const Sine& s : sines) sum += s.height_mm * std::sin(2.0 * pi * x_mm / s.length_mm);
    return sum;
}

geometry::SmoothCurve smooth_edge() {
    geometry::SmoothCurve curve;
    curve.t_begin = 0.0;
    curve.t_end = board_length_mm;
    curve.point = [](double x) { return Point{x, edge_height_mm(x)}; };
    curve.heading_rad = [](double x) { return std::atan(slope(x)); };
    curve.curvature = [](double x) { return bend(x) / std::pow(1.0 + slope(x) * slope(x), 1.5); };
    curve.curvature_range = [](double x0, double x1) {
        const Range s = slope_range(x0, x1);
        const Range b = bend_range(x0, x1);
        const double steepest = std::max(s.low * s.low, s.high * s.high);
        const double flattest = s.low <= 0.0 && s.high >= 0.0 ? 0.0 : std::min(s.low * s.low, s.high * s.high);
        const double least = std::pow(1.0 + steepest, -1.5);
        const double most = std::pow(1.0 + flattest, -1.5);
        return geometry::SmoothCurve::Range{b.low * (b.low < 0.0 ? most : least),
                                            b.high * (b.high > 0.0 ? most : least)};
    };
    curve.length_bound_mm = [](double x0, double x1) {
        const Range s = slope_range(x0, x1);
        return (x1 - x0) * std::sqrt(1.0 + std::max(s.low * s.low, s.high * s.high));
    };
    return curve;
}

Roughness trace() {
    return {.name = "trace", .wander_mm = 0.05, .jitter_steps = 0.1};
}
Roughness hard() {
    return {.name = "hard", .jitter_mm = 0.02};
}
Roughness back() {
    return {.name = "back", .wander_mm = 0.05, .jitter_steps = 0.1, .back_steps = 1.5};
}
Roughness fold() {
    return {.name = "fold", .wander_mm = 0.05, .jitter_steps = 0.1, .back_steps = 1.5, .fold_mm = 30.0};
}

geometry::Path traced_edge(const Roughness& roughness, std::size_t points) {
    constexpr std::uint64_t seed = 20240611;
    constexpr std::size_t steady_points = 64;
    constexpr double fold_length_mm = 240.0;
    Seeded random(seed);
    const Wander wander(roughness.wander_mm, random);
    const double step = board_length_mm / static_cast<double>(points - 1);
    const double across = roughness.jitter_steps * step + roughness.jitter_mm;
    std::vector<Point> places;
    places.reserve(points);
    for (std::size_t i = 0; i < points; ++i) {
        // A traced line begins and ends with the pen going one way.
        const bool at_end = i < steady_points || i + steady_points >= points;
        const double along = at_end ? 0.0 : roughness.back_steps * step * random.normal();
        const double x = std::min(std::max(step * static_cast<double>(i) + along, 0.0), board_length_mm);
        Point p{x, edge_height_mm(x) + wander.at(x) + across * random.normal()};
        // S folds: on the flanks the shift falls faster than x itself grows, so each crest overhangs both ways. They
        // begin gently, so that the edge meets the sides of the board squarely.
        const double turn = 2.0 * pi * x / fold_length_mm;
        const double fold =
            roughness.fold_mm * std::min({1.0, x / fold_length_mm, (board_length_mm - x) / fold_length_mm});
        p.x -= fold * std::sin(2.0 * turn);
        p.y += 2.0 * fold * std::sin(turn);
        places.push_back(p);
    }
    return geometry::polyline(places);
}

geometry::Path board_below(const geometry::Path& edge) {
    std::vector<Point> corners{{0.0, 0.0}, {board_length_mm, 0.0}};
    geometry::Path board = geometry::polyline(corners);
    const geometry::Path top = geometry::reversed(edge);
    board.segments.push_back(geometry::line(board.end(), top.start()));
    geometry::append(board, top);
    board.segments.push_back(geometry::line(top.end(), {0.0, 0.0}));
    board.closed = true;
    return board;
}

}  // namespace seamwright::bench
