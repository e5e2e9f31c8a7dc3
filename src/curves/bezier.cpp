// Cubic Bezier curves with a rigorous curvature range.
//
// Over any stretch [u, v] of the parameter, B', B'' are again Bernstein polynomials, whose coefficients come from the
// polar form ("blossom"). So are their products: cross(B', B'') of degree 3 and |B'|² of degree 4. A Bernstein
// polynomial lies between its least and largest coefficient (G. Farin, Curves and Surfaces for CAGD, the convex hull
// property), hence
//
//     κ = cross(B', B'') / |B'|³  ∈  [least, largest cross] / [least, largest |B'|²]^(3/2).
//
// Where the least coefficient of |B'|² is not positive the direction may be lost (a cusp, or two control points that
// coincide). Such a stretch is halved until it is either regular or so short that its whole control polygon lies within
// the bound of its chord; then the chord stands for it. A curve that runs from end to end of a chord and stays within a
// distance of it covers all of it, so that bound too holds in both directions.

#include "bezier.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <stdexcept>

namespace seamwright::curves {

namespace {

using geometry::Point;
using geometry::SmoothCurve;

Point between(Point a, Point b, double t) {
    return (1.0 - t) * a + t * b;
}

struct Cubic {
    CubicPoints p;
    std::array<Point, 3> first{};   // Bernstein coefficients of B'
    std::array<Point, 2> second{};  // of B''

    explicit Cubic(const CubicPoints& points) : p(points) {
        for (std::size_t i = 0; i < 3; ++i) first[i] = 3.0 * (p[i + 1] - p[i]);
        for (std::size_t i = 0; i < 2; ++i) second[i] = 2.0 * (first[i + 1] - first[i]);
    }

    Point point(double t) const {
        // Exact at both ends, so that neighbours join to the last bit.
        const double s = 1.0 - t;
        return (s * s * s) * p[0] + (3.0 * s * s * t) * p[1] + (3.0 * s * t * t) * p[2] + (t * t * t) * p[3];
    }
    Point first_polar(double u, double v) const {
        return between(between(first[0], first[1], u), between(first[1], first[2], u), v);
    }
    Point second_at(double t) const { return between(second[0], second[1], t); }
    Point tangent(double t) const { return first_polar(t, t); }
    double curvature(double t) const {
        const Point d = tangent(t);
        const double size = geometry::norm(d);
        return geometry::cross(d, second_at(t)) / (size * size * size);
    }

    /// Least and largest Bernstein coefficient of |B'|² on [u, v].
    SmoothCurve::Range speed2(double u, double v) const {
        const Point a = first_polar(u, u);
        const Point b = first_polar(u, v);
        const Point c = first_polar(v, v);
        const std::array<double, 5> all{dot(a, a), dot(a, b), (dot(a, c) + 2.0 * dot(b, b)) / 3.0, dot(b, c),
                                        dot(c, c)};
        const auto [least, largest] = std::minmax_element(all.begin(), all.end());
        return {*least, *largest};
    }

    SmoothCurve::Range curvature_range(double u, double v) const {
        const SmoothCurve::Range speed = speed2(u, v);
        // Below rounding of its own terms the least coefficient says nothing.
        if (!(speed.low > 1e-14 * speed.high)) return {-HUGE_VAL, HUGE_VAL};
        const Point a = first_polar(u, u);
        const Point b = first_polar(u, v);
        const Point c = first_polar(v, v);
        const Point e = second_at(u);
        const Point f = second_at(v);
        const std::array<double, 4> all{cross(a, e), (cross(a, f) + 2.0 * cross(b, e)) / 3.0,
                                        (2.0 * cross(b, f) + cross(c, e)) / 3.0, cross(c, f)};
        const auto [least, largest] = std::minmax_element(all.begin(), all.end());
        const double slow = speed.low * std::sqrt(speed.low);
        const double fast = speed.high * std::sqrt(speed.high);
        return {*least / (*least < 0.0 ? slow : fast), *largest / (*largest > 0.0 ? slow : fast)};
    }

    /// The control points of the stretch [u, v].
    CubicPoints stretch(double u, double v) const {
        const auto polar = [this](double a, double b, double c) {
            const Point q0 = between(p[0], p[1], a);
            const Point q1 = between(p[1], p[2], a);
            const Point q2 = between(p[2], p[3], a);
            return between(between(q0, q1, b), between(q1, q2, b), c);
        };
        return {point(u), polar(u, u, v), polar(u, v, v), point(v)};
    }
};

double distance_to_chord(Point a, Point b, Point p) {
    const Point along = b - a;
    const double size2 = geometry::norm2(along);
    const double t = size2 > 0.0 ? std::clamp(dot(p - a, along) / size2, 0.0, 1.0) : 0.0;
    return geometry::distance(p, a + t * along);
}

/// Halvings after which a stretch is shorter than rounding.
constexpr int most_halvings = 60;

class Fitting {
  public:
    Fitting(const CubicPoints& points, double within_mm) : points_(points), cubic_(points), within_mm_(within_mm) {}

    void fit(double u, double v, int depth) {
        if (std::isfinite(cubic_.curvature_range(u, v).low)) {
            geometry::ArcFit fitted = geometry::fit_arcs(cubic_curve(points_, u, v), within_mm_);
            out_.bound_mm = std::fmax(out_.bound_mm, fitted.bound_mm);
            out_.segments.insert(out_.segments.end(), fitted.path.segments.begin(), fitted.path.segments.end());
            return;
        }
        const CubicPoints part = cubic_.stretch(u, v);
        const double off =
            std::fmax(distance_to_chord(part[0], part[3], part[1]), distance_to_chord(part[0], part[3], part[2]));
        if (off <= within_mm_) {
            // The chord of a loop of no size: nothing to draw, its neighbours meet there.
            if (part[0] != part[3]) out_.segments.push_back(geometry::line(part[0], part[3]));
            out_.bound_mm = std::fmax(out_.bound_mm, off);
            return;
        }
        const double middle = 0.5 * (u + v);
        if (depth >= most_halvings || !(middle > u && middle < v))
            throw std::runtime_error("fit_cubic: the bound cannot be reached");
        fit(u, middle, depth + 1);
        fit(middle, v, depth + 1);
    }

    CubicFit& result() { return out_; }

  private:
    const CubicPoints& points_;
    Cubic cubic_;
    double within_mm_;
    CubicFit out_;
};

}  // namespace

SmoothCurve cubic_curve(const CubicPoints& points, double t_begin, double t_end) {
    const auto kept = std::make_shared<const Cubic>(points);
    SmoothCurve curve;
    curve.t_begin = t_begin;
    curve.t_end = t_end;
    curve.point = [kept](double t) { return kept->point(t); };
    // A cubic's direction stays within half a turn of its direction in the middle of a regular stretch, bar loops; for
    // those the heading may jump by a full turn, which no direction shows.
    const Point middle = kept->tangent(0.5 * (t_begin + t_end));
    const double middle_heading = geometry::heading(middle);
    curve.heading_rad = [kept, middle, middle_heading](double t) {
        const Point d = kept->tangent(t);
        return middle_heading + std::atan2(geometry::cross(middle, d), geometry::dot(middle, d));
    };
    curve.curvature = [kept](double t) { return kept->curvature(t); };
    curve.curvature_range = [kept](double u, double v) { return kept->curvature_range(u, v); };
    curve.length_bound_mm = [kept](double u, double v) { return (v - u) * std::sqrt(kept->speed2(u, v).high); };
    return curve;
}

CubicFit fit_cubic(const CubicPoints& points, double within_mm) {
    Fitting fitting(points, within_mm);
    if (points[0] == points[1] && points[1] == points[2] && points[2] == points[3]) return {};
    fitting.fit(0.0, 1.0, 0);
    return std::move(fitting.result());
}

}  // namespace seamwright::curves
