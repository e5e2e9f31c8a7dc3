// Where lines run, pixel by pixel. A drawn line is a valley of the smoothed picture: across it the second derivative is
// large and the first vanishes within the pixel (C. Steger, An unbiased detector of curvilinear structures, IEEE PAMI
// 20, 1998). An edge is where the gradient is largest along its own direction (J. Canny, IEEE PAMI 8, 1986).
//
// The dark foot of a step looks like a valley from its second derivative alone. So a valley counts only where both of
// its sides, a little way off, are lighter than its floor. Light that falls off over the picture plays no part in
// either: both compare with what is near.

#include "line_ridge.h"

#include <algorithm>
#include <cmath>

namespace seamwright::trace {
namespace {

/// Weakest response that counts, in scatters of what the picture gives everywhere. Of a million pixels of noise a few
/// hundred pass, and those in crumbs.
constexpr double least_in_scatters = 3.3;
/// And in greys: below this the steps of an 8-bit picture show.
constexpr double least_valley = 1.0, least_step = 1.0;
/// The sides of a line are looked at this far from its middle, in pixels of the level.
constexpr double flank = 3.0;
/// An edge is read from this far on either side.
constexpr double edge_flank = 2.5;
/// A valley that curves up along itself by more than this part of what it does across is a spot or a crossing.
constexpr double most_round = 0.5;
/// The line must pass within the pixel, or nearly.
constexpr double within_pixel = 0.6;
/// Pixels this near to the border have no neighbours to compare with.
constexpr int border = 4;

double smooth_at(const Level& level, double x, double y) {
    const double fx = std::clamp(x - 0.5, 0.0, level.width - 1.001),
                 fy = std::clamp(y - 0.5, 0.0, level.height - 1.001);
    const int ix = static_cast<int>(fx), iy = static_cast<int>(fy);
    const double u = fx - ix, v = fy - iy;
    const float* a = level.smooth.data() + level.index(ix, iy);
    const float* b = a + level.width;
    return (1 - v) * ((1 - u) * static_cast<double>(a[0]) + u * static_cast<double>(a[1])) +
           v * ((1 - u) * static_cast<double>(b[0]) + u * static_cast<double>(b[1]));
}

/// A quick response for all pixels of a row: the Laplacian for valleys, the squared gradient for edges.
void respond(const Level& level, LineKind kind, int y, std::vector<float>& response) {
    const float* up = level.smooth.data() + level.index(0, y - 1);
    const float* here = level.smooth.data() + level.index(0, y);
    const float* down = level.smooth.data() + level.index(0, y + 1);
    const auto w = static_cast<std::size_t>(level.width);
    if (kind == LineKind::drawn_line) {
        for (std::size_t x = 1; x + 1 < w; ++x) {
            response[x] = up[x] + down[x] + here[x - 1] + here[x + 1] - 4.0F * here[x];
        }
    } else {
        for (std::size_t x = 1; x + 1 < w; ++x) {
            const float gx = 0.5F * (here[x + 1] - here[x - 1]), gy = 0.5F * (down[x] - up[x]);
            response[x] = gx * gx + gy * gy;
        }
    }
}

/// Response that a pixel must exceed.
double threshold(const Level& level, LineKind kind) {
    std::vector<float> response(static_cast<std::size_t>(level.width)), seen;
    constexpr int every = 3;  // a ninth of the pixels tells as much as all
    for (int y = border; y < level.height - border; y += every) {
        respond(level, kind, y, response);
        for (int x = border; x < level.width - border; x += every) {
            if (level.is_masked(x, y)) continue;
            seen.push_back(std::abs(response[static_cast<std::size_t>(x)]));
        }
    }
    if (seen.empty()) return HUGE_VAL;
    const auto at_part = [&](double part) {
        const auto place = seen.begin() + static_cast<std::ptrdiff_t>(part * static_cast<double>(seen.size() - 1));
        std::nth_element(seen.begin(), place, seen.end());
        return static_cast<double>(*place);
    };
    const double middle = at_part(0.5);
    // The middle of |x| of a normal scatter is 0.6745 σ; that of the squared length of a vector is 2 ln 2 σ².
    const double least =
        kind == LineKind::drawn_line
            ? std::max(least_valley, least_in_scatters * middle / 0.6745)
            : std::max(least_step * least_step, least_in_scatters * least_in_scatters * middle / (2.0 * std::log(2.0)));
    const double all = static_cast<double>(seen.size()) * every * every;
    const double most = static_cast<double>(most_ridge_points);
    return all > 2.0 * most ? std::max(least, at_part(1.0 - 2.0 * most / all)) : least;
}

class Finder {
  public:
    Finder(const Level& level, double least) : level_(level), least_(least) {}

    std::optional<RidgePoint> valley(int x, int y) const {
        const double a = g(x + 1, y) - 2 * g(x, y) + g(x - 1, y), c = g(x, y + 1) - 2 * g(x, y) + g(x, y - 1);
        const double b = 0.25 * (g(x + 1, y + 1) - g(x - 1, y + 1) - g(x + 1, y - 1) + g(x - 1, y - 1));
        const double mean = 0.5 * (a + c), spread = std::hypot(0.5 * (a - c), b);
        const double across = mean + spread, along = mean - spread;
        if (across < least_ || along > most_round * across) return {};
        const Point n = geometry::unit(0.5 * std::atan2(2 * b, a - c));
        const double t = -(gx(x, y) * n.x + gy(x, y) * n.y) / across;
        if (std::abs(t * n.x) > within_pixel || std::abs(t * n.y) > within_pixel) return {};
        RidgePoint point;
        point.x = x;
        point.y = y;
        point.at = Point{x + 0.5, y + 0.5} + t * n;
        point.along = geometry::left_of(n);
        const Point right = point.at + flank * n, left = point.at - flank * n;
        const double floor = smooth_at(level_, point.at.x, point.at.y);
        const double side = std::min(smooth_at(level_, right.x, right.y), smooth_at(level_, left.x, left.y));
        point.depth = side - floor;
        if (point.depth < std::max(1.0, 0.6 * least_)) return {};
        point.part = point.depth / std::max(side, 1.0);
        return point;
    }

    std::optional<RidgePoint> edge(int x, int y) const {
        const Point gradient{gx(x, y), gy(x, y)};
        const double size = norm(gradient);
        const Point n = gradient / size;
        const double before = gradient_at(x - n.x, y - n.y), after = gradient_at(x + n.x, y + n.y);
        if (size < before || size <= after) return {};
        const double bend = 2 * size - before - after;
        const double t = bend > 0 ? std::clamp(0.5 * (after - before) / bend, -0.5, 0.5) : 0.0;
        RidgePoint point;
        point.x = x;
        point.y = y;
        point.at = Point{x + 0.5, y + 0.5} + t * n;
        point.along = {n.y, -n.x};
        const Point light = point.at + edge_flank * n, dark = point.at - edge_flank * n;
        const double high = smooth_at(level_, light.x, light.y);
        point.depth = high - smooth_at(level_, dark.x, dark.y);
        if (point.depth < std::max(2.0, 1.5 * std::sqrt(least_))) return {};
        point.part = point.depth / std::max(high, 1.0);
        return point;
    }

  private:
    double g(int x, int y) const { return static_cast<double>(level_.smooth[level_.index(x, y)]); }
    double gx(int x, int y) const { return 0.5 * (g(x + 1, y) - g(x - 1, y)); }
    double gy(int x, int y) const { return 0.5 * (g(x, y + 1) - g(x, y - 1)); }
    /// Between pixels, whole numbers being the middles of pixels.
    double gradient_at(double x, double y) const {
        const int ix = static_cast<int>(std::floor(x)), iy = static_cast<int>(std::floor(y));
        const double u = x - ix, v = y - iy;
        const auto size = [&](int dx, int dy) { return std::hypot(gx(ix + dx, iy + dy), gy(ix + dx, iy + dy)); };
        return (1 - v) * ((1 - u) * size(0, 0) + u * size(1, 0)) + v * ((1 - u) * size(0, 1) + u * size(1, 1));
    }

    const Level& level_;
    double least_;
};

}  // namespace

std::vector<RidgePoint> ridge_points(const Level& level, LineKind kind) {
    std::vector<RidgePoint> points;
    if (level.width <= 2 * border || level.height <= 2 * border) return points;
    const double least = threshold(level, kind);
    const Finder finder(level, least);
    std::vector<float> response(static_cast<std::size_t>(level.width));
    for (int y = border; y < level.height - border; ++y) {
        respond(level, kind, y, response);
        for (int x = border; x < level.width - border; ++x) {
            if (static_cast<double>(response[static_cast<std::size_t>(x)]) < least || level.is_masked(x, y)) continue;
            const auto point = kind == LineKind::drawn_line ? finder.valley(x, y) : finder.edge(x, y);
            if (!point) continue;
            points.push_back(*point);
        }
    }
    if (points.size() > most_ridge_points) {
        std::vector<double> depths;
        depths.reserve(points.size());
        for (const auto& point : points) depths.push_back(point.depth);
        const auto place = depths.begin() + static_cast<std::ptrdiff_t>(points.size() - most_ridge_points);
        std::nth_element(depths.begin(), place, depths.end());
        std::erase_if(points, [least_depth = *place](const RidgePoint& p) { return p.depth <= least_depth; });
    }
    return points;
}

}  // namespace seamwright::trace
