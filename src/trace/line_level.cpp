// Smaller pictures: means over squares, then a light smoothing. A line that is wide in the picture is narrow in one of
// them, so that one detector for narrow lines finds lines of every width.

#include "line_level.h"

#include <algorithm>
#include <cmath>

namespace seamwright::trace {
namespace {

/// Binomial weights 1 4 6 4 1 along rows and then columns; the border is continued.
std::vector<float> smoothed(const std::vector<float>& grey, int width, int height) {
    const auto w = static_cast<std::size_t>(width);
    std::vector<float> rows(grey.size()), out(grey.size());
    for (std::size_t y = 0; y < static_cast<std::size_t>(height); ++y) {
        const float* in = grey.data() + y * w;
        float* to = rows.data() + y * w;
        const auto clamped = [&](int x) { return in[std::clamp(x, 0, width - 1)]; };
        const auto at_border = [&](int x) {
            to[x] = 0.0625F * (clamped(x - 2) + clamped(x + 2)) + 0.25F * (clamped(x - 1) + clamped(x + 1)) +
                    0.375F * in[x];
        };
        for (int x = 0; x < std::min(2, width); ++x) at_border(x);
        for (std::size_t x = 2; x + 2 < w; ++x) {
            to[x] = 0.0625F * (in[x - 2] + in[x + 2]) + 0.25F * (in[x - 1] + in[x + 1]) + 0.375F * in[x];
        }
        for (int x = std::max(2, width - 2); x < width; ++x) at_border(x);
    }
    for (int y = 0; y < height; ++y) {
        const auto row = [&](int dy) {
            return rows.data() + static_cast<std::size_t>(std::clamp(y + dy, 0, height - 1)) * w;
        };
        const float *a = row(-2), *b = row(-1), *c = row(0), *d = row(1), *e = row(2);
        float* to = out.data() + static_cast<std::size_t>(y) * w;
        for (std::size_t x = 0; x < w; ++x) {
            to[x] = 0.0625F * (a[x] + e[x]) + 0.25F * (b[x] + d[x]) + 0.375F * c[x];
        }
    }
    return out;
}

/// Marks the pixels whose middles lie within the outline.
void mask(Level& level, const std::vector<Point>& outline_px) {
    if (outline_px.size() < 3) return;
    for (const Point& p : outline_px) {
        if (!std::isfinite(p.x) || !std::isfinite(p.y)) return;
    }
    if (level.masked.empty()) level.masked.assign(level.grey.size(), 0);
    const double scale = level.scale();
    std::vector<double> crossings;
    for (int y = 0; y < level.height; ++y) {
        const double middle = y + 0.5;
        crossings.clear();
        for (std::size_t i = 0; i < outline_px.size(); ++i) {
            const Point a = outline_px[i] / scale, b = outline_px[(i + 1) % outline_px.size()] / scale;
            if ((a.y <= middle) == (b.y <= middle)) continue;
            crossings.push_back(a.x + (middle - a.y) / (b.y - a.y) * (b.x - a.x));
        }
        std::sort(crossings.begin(), crossings.end());
        for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
            const double from = std::clamp(std::ceil(crossings[i] - 0.5), 0.0, static_cast<double>(level.width));
            const double to = std::clamp(std::ceil(crossings[i + 1] - 0.5), 0.0, static_cast<double>(level.width));
            for (int x = static_cast<int>(from); x < static_cast<int>(to); ++x) level.masked[level.index(x, y)] = 1;
        }
    }
}

void finish(Level& level, const std::vector<std::vector<Point>>& masked_px) {
    level.smooth = smoothed(level.grey, level.width, level.height);
    for (const auto& outline : masked_px) mask(level, outline);
}

}  // namespace

bool Level::passes_over(Point px) const {
    const int x = static_cast<int>(std::floor(px.x / scale())), y = static_cast<int>(std::floor(px.y / scale()));
    return !holds(x, y) || is_masked(x, y);
}

Level reduced(const Picture& picture, int power, const std::vector<std::vector<Point>>& masked_px) {
    Level level;
    level.power = power;
    const int side = 1 << power;
    level.width = picture.width / side;
    level.height = picture.height / side;
    const auto w = static_cast<std::size_t>(level.width);
    level.grey.resize(w * static_cast<std::size_t>(level.height));
    const float part = 1.0F / static_cast<float>(side * side);
    std::vector<int> sums(w);
    for (int y = 0; y < level.height; ++y) {
        std::fill(sums.begin(), sums.end(), 0);
        for (int dy = 0; dy < side; ++dy) {
            const std::uint8_t* in =
                picture.grey.data() + static_cast<std::size_t>(y * side + dy) * static_cast<std::size_t>(picture.width);
            for (std::size_t x = 0; x < w; ++x) {
                int sum = 0;
                for (int dx = 0; dx < side; ++dx) sum += *in++;
                sums[x] += sum;
            }
        }
        float* to = level.grey.data() + static_cast<std::size_t>(y) * w;
        for (std::size_t x = 0; x < w; ++x) to[x] = part * static_cast<float>(sums[x]);
    }
    finish(level, masked_px);
    return level;
}

Level halved(const Level& level, const std::vector<std::vector<Point>>& masked_px) {
    Level half;
    half.power = level.power + 1;
    half.width = level.width / 2;
    half.height = level.height / 2;
    half.grey.resize(static_cast<std::size_t>(half.width) * static_cast<std::size_t>(half.height));
    for (int y = 0; y < half.height; ++y) {
        const float* a = level.grey.data() + level.index(0, 2 * y);
        const float* b = level.grey.data() + level.index(0, 2 * y + 1);
        float* to = half.grey.data() + half.index(0, y);
        for (std::size_t x = 0; x < static_cast<std::size_t>(half.width); ++x) {
            to[x] = 0.25F * (a[2 * x] + a[2 * x + 1] + b[2 * x] + b[2 * x + 1]);
        }
    }
    finish(half, masked_px);
    return half;
}

}  // namespace seamwright::trace
