// The fair curve through pins: Euler spirals from pin to pin, equal curvature on both sides of every pin.
//
// R. Levien, "From Spiral to Spline" (thesis, 2009): of all two-parameter families this one is round (pins on a circle
// give the circle), local (a moved pin disturbs few neighbours) and robust. The unknowns are the directions h_i at the
// pins. Each span is a spiral fitted to its two end directions (clothoid.cpp); the equations are
//
//     curvature at the end of span i−1  =  curvature at the start of span i      at every inner pin,
//
// and at an open end either the wanted direction, or the natural end:
//
// Natural end = the end span is a circular arc (its curvature does not change). A free batten would end with no
// curvature at all; but then pins on a circle do not give the circle, and the first span is flatter than the maker
// sees in the pins. With the arc end, three pins give exactly their circle, and a straight row stays straight.
//
// Newton's method with exact derivatives; the matrix is tridiagonal, with two corners when the curve is closed (solved
// by Sherman and Morrison's formula). Each equation is multiplied by the mean of its two chords, so that it is a
// number of radians whatever the scale of the drawing. A step that would turn any pin by more than half a radian is
// shortened; one that leaves the family of simple spirals, or makes things clearly worse, is halved.

#include <algorithm>
#include <cmath>
#include <memory>

#include "curves/clothoid.h"
#include "laid_spans.h"
#include "spiral_fit.h"

namespace seamwright::curves {

namespace {

using geometry::wrap_pi;

/// Directions are settled when Newton's next step would turn no pin by more than this (radians): 1e-12 rad is a
/// nanometre per kilometre, and the error left after a quadratic step of that size is its square.
constexpr double settled_rad = 1e-12;
/// Where rounding keeps the step from falling that far (very unequal spans), this is still good: 1e-9 rad.
constexpr double good_enough_rad = 1e-9;
constexpr double most_turn_per_step_rad = 0.5;
/// Quadratic convergence needs 3 to 6 steps; shortened steps for wild pins need a few more. Beyond this it circles.
constexpr int most_steps = 60;
constexpr int most_halvings = 10;
/// A step may make the residual a little worse on its way round a bend of the equations, not much.
constexpr double most_worsening = 1.5;

struct Ends {
    bool closed = false;
    std::optional<double> start_heading;
    std::optional<double> end_heading;
};

/// Curvature times chord at both ends of a span, and the derivatives by its two end angles.
struct SpanCurvature {
    double start = 0.0, start_by_a = 0.0, start_by_b = 0.0;
    double end = 0.0, end_by_a = 0.0, end_by_b = 0.0;
};

SpanCurvature span_curvature(const SpiralFit& fit) {
    SpanCurvature out;
    const double size = std::abs(fit.integral.chord);
    const double k_start = fit.k0 - 0.5 * fit.k1;
    const double k_end = fit.k0 + 0.5 * fit.k1;
    out.start = size * k_start;
    out.end = size * k_end;
    const double phi_by_k0 = fit.log_by_k0.imag();
    for (const bool by_a : {true, false}) {
        const double dk0 = by_a ? -1.0 : 1.0;
        const double dk1 = (1.0 + 2.0 * phi_by_k0 * dk0) / fit.slope;
        const double dlog = fit.log_by_k0.real() * dk0 + fit.log_by_k1.real() * dk1;
        (by_a ? out.start_by_a : out.start_by_b) = size * (dk0 - 0.5 * dk1 + k_start * dlog);
        (by_a ? out.end_by_a : out.end_by_b) = size * (dk0 + 0.5 * dk1 + k_end * dlog);
    }
    return out;
}

/// lower[i] x[i−1] + middle[i] x[i] + upper[i] x[i+1] = right[i]; for a closed row lower[0] and upper[n−1] are the
/// corners.
struct Tridiagonal {
    std::vector<double> lower, middle, upper, right;
    explicit Tridiagonal(std::size_t n) : lower(n, 0.0), middle(n, 0.0), upper(n, 0.0), right(n, 0.0) {}
};

std::vector<double> solve_open(const Tridiagonal& m, std::vector<double> middle, std::vector<double> x) {
    const std::size_t n = x.size();
    for (std::size_t i = 1; i < n; ++i) {
        const double factor = m.lower[i] / middle[i - 1];
        middle[i] -= factor * m.upper[i - 1];
        x[i] -= factor * x[i - 1];
    }
    x[n - 1] /= middle[n - 1];
    for (std::size_t i = n - 1; i-- > 0;) x[i] = (x[i] - m.upper[i] * x[i + 1]) / middle[i];
    return x;
}

std::vector<double> solve(const Tridiagonal& m, bool closed) {
    const std::size_t n = m.right.size();
    if (n < 3) return m.right;  // not reached: the caller refuses such curves
    if (!closed) return solve_open(m, m.middle, m.right);
    const double corner_top = m.lower[0];         // row 0, column n−1
    const double corner_bottom = m.upper[n - 1];  // row n−1, column 0
    const double gamma = -m.middle[0];
    std::vector<double> middle = m.middle;
    middle[0] -= gamma;
    middle[n - 1] -= corner_top * corner_bottom / gamma;
    std::vector<double> u{gamma};
    u.resize(n - 1, 0.0);
    u.push_back(corner_bottom);
    std::vector<double> x = solve_open(m, middle, m.right);
    const std::vector<double> z = solve_open(m, middle, u);
    const double v_last = corner_top / gamma;
    const double factor = (x[0] + v_last * x[n - 1]) / (1.0 + z[0] + v_last * z[n - 1]);
    for (std::size_t i = 0; i < n; ++i) x[i] -= factor * z[i];
    return x;
}

class Spline {
  public:
    Spline(const std::vector<Point>& pins, Ends ends) : pins_(pins), ends_(ends) {
        const std::size_t n = pins.size();
        spans_ = ends.closed ? n : n - 1;
        for (std::size_t i = 0; i < spans_; ++i) {
            const Point chord = pins[(i + 1) % n] - pins[i];
            direction_.push_back(geometry::heading(chord));
            chord_mm_.push_back(geometry::norm(chord));
        }
    }

    bool chords_usable() const {
        return std::all_of(chord_mm_.begin(), chord_mm_.end(), [](double c) { return c > 0.0 && std::isfinite(c); });
    }

    /// The direction, at each pin, of the circle through it and its two neighbours.
    std::vector<double> first_guess() const {
        const std::size_t n = pins_.size();
        std::vector<double> h(n, 0.0);
        if (n < 2) return h;
        for (std::size_t i = 0; i < n; ++i) {
            if (!ends_.closed && (i == 0 || i + 1 == n)) continue;
            const Point before = pins_[(i + n - 1) % n];
            const Point here = pins_[i];
            const Point after = pins_[(i + 1) % n];
            // The tangent leaves the first chord by the angle under which that chord is seen from the third point.
            const Point to_before = before - after;
            const Point to_here = here - after;
            const double seen = std::atan2(std::abs(geometry::cross(to_before, to_here)), dot(to_before, to_here));
            const double turn = geometry::cross(here - before, after - here);
            h[i] = direction_[(i + n - 1) % n] + std::copysign(seen, turn);
        }
        if (!ends_.closed) {
            const std::size_t last = n - 1;
            if (n == 2) {
                h[0] = ends_.start_heading.value_or(2.0 * direction_[0] - ends_.end_heading.value_or(direction_[0]));
                h[1] = ends_.end_heading.value_or(2.0 * direction_[0] - h[0]);
            } else {
                h[0] = ends_.start_heading.value_or(2.0 * direction_[0] - h[1]);
                h[last] = ends_.end_heading.value_or(2.0 * direction_[spans_ - 1] - h[last - 1]);
            }
        }
        return h;
    }

    /// Fits every span to the directions; false when one has no simple spiral. `near` gives starting values.
    bool fit(const std::vector<double>& h, const std::vector<SpiralFit>& near, std::vector<SpiralFit>& out) const {
        out.clear();
        out.reserve(spans_);
        for (std::size_t i = 0; i < spans_; ++i) {
            const double a = wrap_pi(h[i] - direction_[i]);
            const double b = wrap_pi(h[(i + 1) % h.size()] - direction_[i]);
            const auto fitted = fit_spiral(a, b, near.empty() ? std::optional<double>{} : near[i].k1);
            if (!fitted) return false;
            out.push_back(*fitted);
        }
        return true;
    }

    /// The equations at the present fit: J·Δh = right.
    Tridiagonal equations(const std::vector<double>& h, const std::vector<SpiralFit>& fits) const {
        const std::size_t n = pins_.size();
        Tridiagonal m(n);
        std::vector<SpanCurvature> curvature;
        curvature.reserve(spans_);
        for (const SpiralFit& f : fits) curvature.push_back(span_curvature(f));
        for (std::size_t i = 0; i < n; ++i) {
            if (!ends_.closed && i == 0) {
                m.middle[0] = 1.0;
                if (!ends_.start_heading) {
                    m.upper[0] = 1.0;
                    m.right[0] = -(wrap_pi(h[0] - direction_[0]) + wrap_pi(h[1] - direction_[0]));
                }
                continue;
            }
            if (!ends_.closed && i + 1 == n) {
                m.middle[i] = 1.0;
                if (!ends_.end_heading) {
                    const double d = direction_[spans_ - 1];
                    m.lower[i] = 1.0;
                    m.right[i] = -(wrap_pi(h[i] - d) + wrap_pi(h[i - 1] - d));
                }
                continue;
            }
            const std::size_t into = (i + spans_ - 1) % spans_;
            const std::size_t from = i;
            const double mean = 0.5 * (chord_mm_[into] + chord_mm_[from]);
            const double scale_in = mean / chord_mm_[into];
            const double scale_out = mean / chord_mm_[from];
            const SpanCurvature& in = curvature[into];
            const SpanCurvature& out = curvature[from];
            m.lower[i] = scale_in * in.end_by_a;
            m.middle[i] = scale_in * in.end_by_b - scale_out * out.start_by_a;
            m.upper[i] = -scale_out * out.start_by_b;
            m.right[i] = -(scale_in * in.end - scale_out * out.start);
        }
        return m;
    }

    std::vector<Clothoid> spans(const std::vector<SpiralFit>& fits) const {
        std::vector<Clothoid> out;
        out.reserve(spans_);
        for (std::size_t i = 0; i < spans_; ++i)
            out.push_back(placed(fits[i], pins_[i], pins_[(i + 1) % pins_.size()]));
        return out;
    }

  private:
    const std::vector<Point>& pins_;
    Ends ends_;
    std::size_t spans_ = 0;
    std::vector<double> direction_;
    std::vector<double> chord_mm_;
};

double largest(const std::vector<double>& values) {
    double most = 0.0;
    for (const double v : values) {
        if (!std::isfinite(v)) return HUGE_VAL;
        most = std::fmax(most, std::abs(v));
    }
    return most;
}

}  // namespace

std::optional<EulerSpline> euler_spline(const std::vector<Point>& pins, bool closed,
                                        std::optional<double> start_heading_rad,
                                        std::optional<double> end_heading_rad) {
    if (pins.size() < (closed ? 3U : 2U)) return std::nullopt;
    Ends ends{closed, start_heading_rad, end_heading_rad};
    // Between two free ends any arc would do; the straight line is the fair one.
    if (pins.size() == 2 && !ends.start_heading && !ends.end_heading)
        ends.start_heading = geometry::heading(pins[1] - pins[0]);
    const Spline spline(pins, ends);
    if (!spline.chords_usable()) return std::nullopt;

    std::vector<double> h = spline.first_guess();
    std::vector<SpiralFit> fits;
    if (!spline.fit(h, {}, fits)) return std::nullopt;
    Tridiagonal m = spline.equations(h, fits);
    double residual = largest(m.right);

    EulerSpline out;
    out.closed = closed;
    for (out.steps = 1; out.steps <= most_steps; ++out.steps) {
        const std::vector<double> change = solve(m, closed);
        const double turn = largest(change);
        if (!std::isfinite(turn)) return std::nullopt;
        if (turn <= settled_rad || (turn <= good_enough_rad && out.steps > most_steps / 2)) {
            out.spans = spline.spans(fits);
            return out;
        }
        double factor = turn > most_turn_per_step_rad ? most_turn_per_step_rad / turn : 1.0;
        bool accepted = false;
        for (int halving = 0; halving <= most_halvings && !accepted; ++halving, factor *= 0.5) {
            std::vector<double> next = h;
            for (std::size_t i = 0; i < h.size(); ++i) next[i] += factor * change[i];
            std::vector<SpiralFit> next_fits;
            if (!spline.fit(next, fits, next_fits)) continue;
            Tridiagonal next_m = spline.equations(next, next_fits);
            const double next_residual = largest(next_m.right);
            // Below a microradian the residual is rounding, and comparing it would refuse good steps.
            constexpr double rounding_rad = 1e-6;
            if (next_residual > most_worsening * residual + rounding_rad) continue;
            h = std::move(next);
            fits = std::move(next_fits);
            m = std::move(next_m);
            residual = next_residual;
            accepted = true;
        }
        if (!accepted) return std::nullopt;
    }
    return std::nullopt;
}

geometry::SmoothCurve EulerSpline::curve() const {
    const auto laid = std::make_shared<const LaidSpans<Clothoid>>(spans);

    geometry::SmoothCurve curve;
    curve.t_begin = 0.0;
    curve.t_end = laid->from_mm.back();
    curve.closed = closed;
    curve.point = [laid](double t) {
        const std::size_t i = laid->span_at(t);
        return laid->spans[i].point(t - laid->from_mm[i]);
    };
    curve.heading_rad = [laid](double t) {
        const std::size_t i = laid->span_at(t);
        return laid->spans[i].heading(t - laid->from_mm[i]) + laid->turn_rad[i];
    };
    curve.curvature = [laid](double t) {
        const std::size_t i = laid->span_at(t);
        return laid->spans[i].curvature(t - laid->from_mm[i]);
    };
    curve.curvature_range = [laid](double t0, double t1) {
        const std::size_t first = laid->span_at(t0);
        const std::size_t last = laid->span_at(t1);
        const double k0 = laid->spans[first].curvature(t0 - laid->from_mm[first]);
        const double k1 = laid->spans[last].curvature(t1 - laid->from_mm[last]);
        geometry::SmoothCurve::Range range{std::fmin(k0, k1), std::fmax(k0, k1)};
        for (std::size_t i = first; i < last; ++i) {
            for (const double k : {laid->spans[i].curvature1, laid->spans[i + 1].curvature0}) {
                range.low = std::fmin(range.low, k);
                range.high = std::fmax(range.high, k);
            }
        }
        return range;
    };
    curve.length_bound_mm = [](double t0, double t1) { return t1 - t0; };
    return curve;
}

}  // namespace seamwright::curves
