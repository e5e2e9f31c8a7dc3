#pragma once

// What a trace is worth, told by a curve that is known.

#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

#include "camera.h"
#include "trace/trace.h"

namespace seamwright::trace::testing {

/// Signed distance of p from a line of points, + to its left.
inline double beside(std::span<const Point> curve, Point p, Point* along = nullptr) {
    double least = HUGE_VAL, signed_off = 0.0;
    for (std::size_t i = 0; i + 1 < curve.size(); ++i) {
        const Point a = curve[i], way = curve[i + 1] - a;
        const double t = std::clamp(dot(p - a, way) / norm2(way), 0.0, 1.0);
        const double off = distance(p, a + t * way);
        if (off >= least) continue;
        least = off;
        // Beyond an end only what lies across counts.
        signed_off = cross(way, p - a) / norm(way);
        if (along != nullptr) *along = way / norm(way);
    }
    return signed_off;
}

struct Errors {
    std::vector<double> along_mm, off_mm;  ///< of each point, laid on the truth as well as can be
    double overall_mm = 0.0;               ///< of the worst point
    double near_mm = 0.0;                  ///< 95 of 100 points lie within it, once the line is laid on anew about each
    double near_worst_mm = 0.0;            ///< of the worst point, likewise
};

/// The points are laid on the curve by the rigid motion that fits best, from a first one that is nearly right. "Near":
/// about each point the stretch of 150 mm to either side is laid on by a rigid motion of its own (its mean and slope
/// are taken out), and what is left at the point counts; half stretches at the ends.
inline Errors errors_of(std::vector<Point> points, std::span<const Point> curve, Point move, double turn_rad) {
    const auto moved = [](Point p, Point by, double turn) {
        const Point u = geometry::unit(turn);
        return by + Point{u.x * p.x - u.y * p.y, u.y * p.x + u.x * p.y};
    };
    for (auto& p : points) p = moved(p, move, turn_rad);
    Errors errors;
    for (int round = 0; round < 12; ++round) {
        double m[3][4] = {};
        for (const Point p : points) {
            Point t;
            const double off = beside(curve, p, &t);
            const Point n = geometry::left_of(t);
            const double row[3] = {n.x, n.y, cross(p, n)};
            for (int i = 0; i < 3; ++i) {
                for (int j = 0; j < 3; ++j) m[i][j] += row[i] * row[j];
                m[i][3] -= row[i] * off;
            }
        }
        for (int i = 0; i < 3; ++i) m[i][i] *= 1.0 + 1e-12;
        for (int i = 0; i < 3; ++i) {
            for (int k = i + 1; k < 3; ++k) {
                const double part = m[k][i] / m[i][i];
                for (int j = i; j < 4; ++j) m[k][j] -= part * m[i][j];
            }
        }
        double x[3] = {};
        for (int i = 2; i >= 0; --i) {
            x[i] = m[i][3];
            for (int j = i + 1; j < 3; ++j) x[i] -= m[i][j] * x[j];
            x[i] /= m[i][i];
        }
        for (auto& p : points) p = moved(p, {x[0], x[1]}, x[2]);
        if (std::abs(x[2]) < 1e-9 && std::hypot(x[0], x[1]) < 1e-6) break;
    }
    double along = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (i > 0) along += distance(points[i - 1], points[i]);
        errors.along_mm.push_back(along);
        errors.off_mm.push_back(beside(curve, points[i]));
        errors.overall_mm = std::max(errors.overall_mm, std::abs(errors.off_mm.back()));
    }
    constexpr double half = 150.0;
    std::vector<double> near;
    for (std::size_t i = 0; i < points.size(); ++i) {
        double n = 0, s = 0, ss = 0, e = 0, se = 0;
        for (std::size_t j = 0; j < points.size(); ++j) {
            const double d = errors.along_mm[j] - errors.along_mm[i];
            if (std::abs(d) > half) continue;
            n += 1;
            s += d;
            ss += d * d;
            e += errors.off_mm[j];
            se += d * errors.off_mm[j];
        }
        const double mean = (e * ss - se * s) / (n * ss - s * s);
        near.push_back(std::abs(errors.off_mm[i] - mean));
    }
    std::sort(near.begin(), near.end());
    if (!near.empty()) {
        errors.near_worst_mm = near.back();
        errors.near_mm = near[static_cast<std::size_t>(0.95 * static_cast<double>(near.size() - 1))];
    }
    return errors;
}

/// A photo's own origin is the middle of its first strip.
inline Errors errors_of(const std::vector<Point>& points, const UsualCase& usual, int first_strip = 0) {
    const LaidStrip& strip = usual.bench.strips[static_cast<std::size_t>(first_strip)];
    return errors_of(points, usual.curve, strip.at, strip.heading_rad);
}

}  // namespace seamwright::trace::testing
