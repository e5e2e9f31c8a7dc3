#pragma once

#include <algorithm>
#include <cmath>

#include "geometry/biarc.h"
#include "geometry/path_index.h"

// Brute force: how far a curve and its arcs lie apart, by sampling. It can miss the worst place by a little, so it may
// come out smaller than the truth, never larger: a certified bound must not be beaten by it.
namespace seamwright::testing {

using geometry::Path;
using geometry::Point;

struct Seen {
    double curve_to_path = 0.0;
    double path_to_curve = 0.0;
    int places = 0;
    double worst() const { return std::fmax(curve_to_path, path_to_curve); }
};

inline double distance_to_curve(const geometry::SmoothCurve& curve, Point q, double t0, double t1) {
    constexpr int starts = 24;
    double best = HUGE_VAL;
    double best_t = t0;
    for (int i = 0; i <= starts; ++i) {
        const double t = t0 + (t1 - t0) * i / starts;
        const double d = geometry::distance(curve.point(t), q);
        if (d < best) {
            best = d;
            best_t = t;
        }
    }
    double step = (t1 - t0) / starts;
    for (int i = 0; i < 60; ++i) {
        bool better = false;
        for (const double t : {best_t - step, best_t + step}) {
            if (t < curve.t_begin || t > curve.t_end) continue;
            const double d = geometry::distance(curve.point(t), q);
            if (d < best) {
                best = d;
                best_t = t;
                better = true;
            }
        }
        if (!better) step *= 0.5;
    }
    return best;
}

inline Seen seen_both_ways(const geometry::SmoothCurve& curve, const geometry::ArcFit& fit, int per_biarc = 40) {
    Seen seen;
    const geometry::PathIndex index(fit.path);
    for (std::size_t i = 0; i + 1 < fit.at.size(); ++i) {
        const double t0 = fit.at[i];
        const double t1 = fit.at[i + 1];
        for (int j = 0; j <= per_biarc; ++j) {
            const Point p = curve.point(t0 + (t1 - t0) * j / per_biarc);
            seen.curve_to_path = std::fmax(seen.curve_to_path, index.distance_mm(p));
            ++seen.places;
        }
        const double margin = 0.3 * (t1 - t0);
        const double from = std::fmax(curve.t_begin, t0 - margin);
        const double to = std::fmin(curve.t_end, t1 + margin);
        for (std::size_t s = fit.first_segment[i]; s < fit.first_segment[i + 1]; ++s) {
            for (int j = 0; j <= per_biarc / 4; ++j) {
                const Point q = geometry::point_at(fit.path.segments[s], 4.0 * j / per_biarc);
                seen.path_to_curve = std::fmax(seen.path_to_curve, distance_to_curve(curve, q, from, to));
                ++seen.places;
            }
        }
    }
    return seen;
}

/// The largest distance from places on `a` to the path `b`, sampled.
inline double sampled_distance(const Path& a, const Path& b, int per_segment = 8) {
    const geometry::PathIndex index(b);
    double worst = 0.0;
    for (const auto& s : a.segments)
        for (int j = 0; j <= per_segment; ++j)
            worst = std::fmax(worst, index.distance_mm(geometry::point_at(s, static_cast<double>(j) / per_segment)));
    return worst;
}

}  // namespace seamwright::testing
