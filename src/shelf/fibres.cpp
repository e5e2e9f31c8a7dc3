#include "shelf/fibres.h"

#include <algorithm>
#include <cmath>

namespace seamwright::shelf {
namespace {

using geometry::Point;

/// Directions without sense, θ and θ + 180° being one, averaged by their doubled angles (K. Mardia, P. Jupp,
/// Directional Statistics, 2000, 1.1; from memory).
class MeanDirection {
  public:
    void add(double rad, double weight) { sum_ = sum_ + weight * geometry::unit(2.0 * rad); }
    double rad() const { return 0.5 * std::atan2(sum_.y, sum_.x); }

  private:
    Point sum_{0.0, 0.0};
};

struct Nearest {
    double distance_mm = HUGE_VAL, heading_rad = 0.0;
};
Nearest nearest_on(const std::vector<Point>& line, Point at) {
    Nearest out;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const Point along = line[i + 1] - line[i];
        const double length2 = geometry::dot(along, along);
        if (length2 == 0.0) continue;
        const double t = std::clamp(geometry::dot(at - line[i], along) / length2, 0.0, 1.0);
        const double distance = geometry::norm(at - (line[i] + t * along));
        if (distance < out.distance_mm) out = {distance, geometry::heading(along)};
    }
    return out;
}

}  // namespace

double fibres_rad(const Board& board, Point at) {
    constexpr double softened_mm = 5.0;  // so that a line does not outweigh all others on itself
    MeanDirection mean;
    bool any = false;
    for (const auto& line : board.grain_lines) {
        const Nearest nearest = nearest_on(line, at);
        if (!std::isfinite(nearest.distance_mm)) continue;
        any = true;
        mean.add(nearest.heading_rad, 1.0 / (nearest.distance_mm * nearest.distance_mm + softened_mm * softened_mm));
    }
    return any ? mean.rad() : board.slope_rad;
}

double mean_fibres_rad(const Board& board) {
    if (board.grain_lines.empty()) return board.slope_rad;
    constexpr int along = 40, across = 8;
    MeanDirection mean;
    for (int i = 0; i < along; ++i)
        for (int j = 0; j < across; ++j)
            mean.add(fibres_rad(board, {board.length_mm * (i + 0.5) / along, board.width_mm * (j + 0.5) / across}),
                     1.0);
    return mean.rad();
}

}  // namespace seamwright::shelf
