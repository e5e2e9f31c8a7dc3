#pragma once

// Simple pictures painted by formula, for tests that need no camera: a line or an edge along y = f(x), blurred, on a
// ground with uneven light and noise.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include "trace/line.h"

namespace seamwright::trace::testing {

/// A curve given by its height over x, and its slope.
struct Course {
    std::function<double(double)> y, slope;
};
inline Course wave(double middle, double half_height, double length) {
    const double k = 2.0 * std::numbers::pi / length;
    return {[=](double x) { return middle + half_height * std::sin(k * x); },
            [=](double x) { return half_height * k * std::cos(k * x); }};
}
inline Course straight(double at, double slope) {
    return {[=](double x) { return at + slope * x; }, [=](double) { return slope; }};
}
/// A bump on a course: a raised cosine, `height` high, `width` wide.
inline Course bumped(const Course& course, double at, double width, double height) {
    const double k = 2.0 * std::numbers::pi / width;
    const auto within = [=](double x) { return std::abs(x - at) < 0.5 * width; };
    return {[=](double x) { return course.y(x) + (within(x) ? 0.5 * height * (1.0 + std::cos(k * (x - at))) : 0.0); },
            [=](double x) { return course.slope(x) - (within(x) ? 0.5 * height * k * std::sin(k * (x - at)) : 0.0); }};
}

/// Normal scatter that is the same with every library.
class Scatter {
  public:
    explicit Scatter(unsigned seed) : random_(seed) {}
    double operator()() {
        const double u = (static_cast<double>(random_()) + 1.0) / 4294967297.0;
        const double v = static_cast<double>(random_()) / 4294967296.0;
        return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
    }
    double even() { return static_cast<double>(random_()) / 4294967296.0; }

  private:
    std::mt19937 random_;
};

class Painting {
  public:
    Painting(int width, int height, double light = 210.0)
        : width_(width),
          height_(height),
          grey_(static_cast<std::size_t>(width) * static_cast<std::size_t>(height), light) {}

    double& at(int x, int y) {
        return grey_[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(x)];
    }

    /// A dark line, `part` of the light taken away, between x = from and x = to.
    void line(const Course& course, double width_px, double part, double blur_px, double from, double to) {
        each(course, 0.5 * width_px + 5.0 * blur_px, from, to, [&](double d) {
            return 1.0 - part * (step((d + 0.5 * width_px) / blur_px) - step((d - 0.5 * width_px) / blur_px));
        });
    }
    /// Everything below the course loses `part` of its light.
    void edge(const Course& course, double part, double blur_px) {
        each(course, 1e9, -1e9, 1e9, [&](double d) { return 1.0 - part * step(d / blur_px); });
    }
    /// A dark ring line.
    void ring(double cx, double cy, double radius, double width_px, double part, double blur_px) {
        for (int y = 0; y < height_; ++y) {
            for (int x = 0; x < width_; ++x) {
                const double d = std::hypot(x + 0.5 - cx, y + 0.5 - cy) - radius;
                if (std::abs(d) > width_px + 6.0 * blur_px) continue;
                at(x, y) *= 1.0 - part * (step((d + 0.5 * width_px) / blur_px) - step((d - 0.5 * width_px) / blur_px));
            }
        }
    }
    /// Light that falls off towards one side and to the corners, by `part`.
    void shade(double part) {
        for (int y = 0; y < height_; ++y) {
            for (int x = 0; x < width_; ++x) {
                const double u = (x + 0.5) / width_ - 0.5, v = (y + 0.5) / height_ - 0.5;
                at(x, y) *= 1.0 - part * (0.5 + 0.6 * u + 0.8 * (u * u + v * v));
            }
        }
    }
    /// Streaks along x, as of planed wood: many of different strength, wandering slowly.
    void figure(double part, unsigned seed) {
        Scatter random(seed);
        struct Streak {
            double at, lean, wander, phase, strength, width;
        };
        std::vector<Streak> streaks;
        for (double y = 0.0; y < height_; y += 4.0 + 14.0 * random.even()) {
            streaks.push_back({y, 0.01 * random(), 3.0 + 5.0 * random.even(), 6.28 * random.even(),
                               part * (0.2 + 0.8 * random.even()), 1.0 + 2.5 * random.even()});
        }
        for (int x = 0; x < width_; ++x) {
            std::vector<double> light(static_cast<std::size_t>(height_), 1.0);
            for (const auto& s : streaks) {
                const double middle = s.at + s.lean * x + s.wander * std::sin(x / 310.0 + s.phase);
                const int from = std::max(0, static_cast<int>(middle - 4 * s.width));
                const int to = std::min(height_ - 1, static_cast<int>(middle + 4 * s.width));
                for (int y = from; y <= to; ++y) {
                    const double d = (y + 0.5 - middle) / s.width;
                    light[static_cast<std::size_t>(y)] *= 1.0 - s.strength * std::exp(-0.5 * d * d);
                }
            }
            for (int y = 0; y < height_; ++y) at(x, y) *= light[static_cast<std::size_t>(y)];
        }
    }
    void specks(int count, unsigned seed) {
        Scatter random(seed);
        for (int i = 0; i < count; ++i) {
            const double cx = width_ * random.even(), cy = height_ * random.even(), r = 0.8 + 2.0 * random.even();
            for (int y = std::max(0, static_cast<int>(cy) - 6); y < std::min<double>(height_, cy + 6); ++y) {
                for (int x = std::max(0, static_cast<int>(cx) - 6); x < std::min<double>(width_, cx + 6); ++x) {
                    const double d = std::hypot(x + 0.5 - cx, y + 0.5 - cy) / r;
                    at(x, y) *= 1.0 - 0.6 * std::exp(-0.5 * d * d);
                }
            }
        }
    }

    /// Greys as a camera writes them: by the curve of sRGB (IEC 61966-2-1), with noise in greys.
    Picture picture(double noise, unsigned seed) {
        Scatter random(seed);
        Picture picture;
        picture.width = width_;
        picture.height = height_;
        picture.grey.reserve(grey_.size());
        for (const double g : grey_) {
            picture.grey.push_back(
                static_cast<std::uint8_t>(std::clamp(std::lround(seen(g) + noise * random()), 0L, 255L)));
        }
        return picture;
    }

  private:
    static double seen(double light) {
        const double v = std::clamp(light / 255.0, 0.0, 1.0);
        return 255.0 * (v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1.0 / 2.4) - 0.055);
    }
    static double step(double t) { return 0.5 * std::erfc(-t / std::numbers::sqrt2); }

    /// Multiplies each pixel by the mean of a function of its distance from the course, over 3 × 3 places in it.
    template <typename Function>
    void each(const Course& course, double reach, double from, double to, const Function& light) {
        for (int x = 0; x < width_; ++x) {
            for (int y = 0; y < height_; ++y) {
                if (x + 0.5 < from || x + 0.5 > to) continue;
                const double rough = (y + 0.5 - course.y(x + 0.5)) / std::hypot(1.0, course.slope(x + 0.5));
                if (std::abs(rough) > reach + 2.0) continue;
                double sum = 0.0;
                for (int j = 0; j < 3; ++j) {
                    for (int i = 0; i < 3; ++i) {
                        const double px = x + (i + 0.5) / 3.0, py = y + (j + 0.5) / 3.0;
                        sum += light((py - course.y(px)) / std::hypot(1.0, course.slope(px)));
                    }
                }
                at(x, y) *= sum / 9.0;
            }
        }
    }

    int width_, height_;
    std::vector<double> grey_;
};

/// Distances of the points from a course, + below it in the picture. Good where the curve is gentle.
inline std::vector<double> offsets(const std::vector<Point>& points, const Course& course) {
    std::vector<double> off;
    for (const auto& p : points) {
        // The nearest place on the curve, by a few steps of Newton's method.
        double x = p.x;
        for (int i = 0; i < 4; ++i) {
            const double slope = course.slope(x);
            x -= ((x - p.x) + (course.y(x) - p.y) * slope) / (1.0 + slope * slope);
        }
        const double slope = course.slope(x);
        off.push_back(((p.y - course.y(x)) - slope * (p.x - x)) / std::hypot(1.0, slope));
    }
    return off;
}

inline double rms(const std::vector<double>& values) {
    double sum = 0.0;
    for (const double v : values) sum += v * v;
    return values.empty() ? HUGE_VAL : std::sqrt(sum / static_cast<double>(values.size()));
}
inline double mean(const std::vector<double>& values) {
    double sum = 0.0;
    for (const double v : values) sum += v;
    return values.empty() ? HUGE_VAL : sum / static_cast<double>(values.size());
}

}  // namespace seamwright::trace::testing
