#pragma once

#include <cstdint>
#include <vector>

#include "trace/picture.h"

namespace seamwright::trace {

/// A picture made smaller for looking where lines run.
struct Level {
    int power = 0;  ///< a pixel here is 2^power pixels of the picture wide
    int width = 0, height = 0;
    std::vector<float> grey;           ///< row after row
    std::vector<float> smooth;         ///< the same, smoothed by binomial weights (σ = 1 pixel)
    std::vector<std::uint8_t> masked;  ///< 1 where lines are passed over; empty: nowhere

    double scale() const { return static_cast<double>(1 << power); }
    std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
    }
    bool holds(int x, int y) const { return x >= 0 && y >= 0 && x < width && y < height; }
    bool is_masked(int x, int y) const { return !masked.empty() && masked[index(x, y)] != 0; }
    /// Is this place, in pixels of the picture, passed over, or outside?
    bool passes_over(Point px) const;
};

/// `masked_px`: outlines in pixels of the picture; a place within an odd number of them is not enough to be free: any
/// outline masks.
Level reduced(const Picture& picture, int power, const std::vector<std::vector<Point>>& masked_px);
Level halved(const Level& level, const std::vector<std::vector<Point>>& masked_px);

}  // namespace seamwright::trace
