// Any smooth curve as a chain of circular arcs, with a proof of how far the two lie apart.
//
// A biarc is two arcs that meet with a common tangent and together leave one point in a given direction and reach
// another in a given direction. Both ends of each biarc lie on the curve and have its tangent, so the chain is G1.
//
// How far a biarc misses. Let curvature be κ'u over a span of length L, u measured from its start. The biarc of two
// equal halves that has the right direction and place at both ends has the curvatures κ'L/6 and 5κ'L/6 (two linear
// equations). So near an end, v away from it, the distance η obeys η'' = κ' (v − L/6), η(0) = η'(0) = 0, hence
// η = κ' (v³/6 − L v²/12), which is largest at v = L/3:
//
//     |η| = |κ'| L³ / 324.
//
// The one-parameter freedom of the biarc is the place of the joint. If curvature is not quite linear, κ' (u + β u²/L),
// equal halves miss by different amounts; to first order both miss alike when the joint moves from L/2 by β L / 9.
//
// Spans are taken greedily, each as long as the proof allows, with the length predicted by the formula: about one and a
// half tries a span. (Splitting by halves instead costs a quarter more arcs.)
//
// The proof. On each half let d be the distance of the curve from the arc's full circle (positive to the left) and s
// the curve's own length. With k the arc's curvature and c the cosine between curve and circle,
//
//     d'' = c κ − c² k / (1 − k d),     so  |d'' − (κ − k)| ≤ F² |κ| + 2 |k| F² + 2 k² |d|,   F ≥ |d'|.
//
// d = d' = 0 at the end where curve and arc share point and tangent, so F = length · max|d''| closes the argument.
// Between two samples h apart, with d'' in [lo, hi] from the curve's own curvature range, d lies above the straight
// line between the samples by at most −lo q(1−q) h²/2 and below it by at most hi q(1−q) h²/2 (q: fraction of the way).
// The foot of the curve's point on the arc moves without jumps from one end of the arc to the other, so every point of
// the arc is the foot of some point of the curve: the bound holds in both directions.
//
// Error budget, as parts of within_mm: sampling in steps of a tenth of the span 4 %; spans stop a little short of the
// bound 5 %; the joint's foot, off by at most a hundredth of the span along the arc, below 0.1 %; rounding 32 units in
// the last place of the largest coordinate, added to the bound.

#include "geometry/biarc.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <stdexcept>

namespace seamwright::geometry {

namespace {

/// Samples per half. The proof's slack falls with its third power: 4 gives 8 % of the bound, 5 gives 4 %, 8 gives 1 %;
/// each costs one evaluation of the curve and of its curvature range per try.
constexpr int steps_per_half = 5;
/// A span is accepted when its proof uses at least this part of the bound; below it one longer try is made.
constexpr double wanted_use = 0.88;
/// Where the next try aims. Higher fails more often, lower wastes arcs.
constexpr double aimed_use = 0.95;
/// No biarc may turn by more than this (radians); the proof needs less than a quarter turn or so per half.
constexpr double most_turn_rad = 1.5;
/// The proof takes the curve to be nearer to the arc than this part of its radius.
constexpr double most_off_of_radius = 0.1;
/// Tries per span. Each failing try shortens it by at least a tenth, by half when nothing is known.
constexpr int most_tries = 200;
/// Spans shorter than this part of the whole parameter range mean that the bound cannot be reached.
constexpr double least_part = 1e-12;
/// A constant curvature is recognised when its range times the length (the direction it leaves open) is below this.
constexpr double constant_turn_rad = 1e-12;
/// Directions on the two sides of a break that agree to this are one direction.
constexpr double same_direction_rad = 1e-9;
/// More pieces than any bound above rounding can need on a piece of furniture; stops a runaway.
constexpr std::size_t most_biarcs = 4'000'000;
/// Rounding of one sample: a handful of operations on coordinates of the largest size.
constexpr double rounding_units = 32.0;

struct End {
    double t = 0.0;
    Point at;
    double heading_rad = 0.0;
    Point tangent;
    double curvature = 0.0;
};

/// Two arcs: from p0 with tangent t0 and curvature k0 to the joint, on to p1 with tangent t1 and curvature k1.
struct Biarc {
    Point joint;
    Point joint_tangent;
    double k0 = 0.0;
    double k1 = 0.0;
    bool usable = false;
};

/// `ratio` is the length of the first arc to that of the second (exactly: of their tangents to the corners).
Biarc biarc_between(const End& from, const End& to, double ratio) {
    Biarc out;
    const Point v = to.at - from.at;
    const Point bend = from.tangent - to.tangent;
    const double b = ratio * dot(v, from.tangent) + dot(v, to.tangent);
    // |p1 − d1 t1 − p0 − d0 t0| = d0 + d1 with d0 = ratio · d1; 1 − t0·t1 = |t0 − t1|²/2 without cancellation.
    const double root = b * b + ratio * norm2(bend) * norm2(v);
    const double below = b + std::sqrt(root);
    if (!(below > 0.0)) return out;
    const double d1 = norm2(v) / below;
    const double d0 = ratio * d1;
    const Point corner0 = from.at + d0 * from.tangent;
    const Point corner1 = to.at - d1 * to.tangent;
    out.joint = (d1 * corner0 + d0 * corner1) / (d0 + d1);
    const Point along = corner1 - corner0;
    out.joint_tangent = along / norm(along);
    const Point w0 = out.joint - from.at;
    const Point w1 = out.joint - to.at;
    out.k0 = 2.0 * cross(from.tangent, w0) / norm2(w0);
    out.k1 = 2.0 * cross(to.tangent, w1) / norm2(w1);
    // Both arcs shorter than half a circle, or their feet would not be where the proof wants them.
    out.usable =
        dot(from.tangent, w0) > 0.0 && dot(to.tangent, w1) < 0.0 && std::isfinite(out.k0) && std::isfinite(out.k1);
    return out;
}

void append_biarc(const End& from, const End& to, const Biarc& arcs, Path& out) {
    const double chord = norm(to.at - from.at);
    if (std::abs(arcs.k0 - arcs.k1) * chord <= constant_turn_rad) {
        out.segments.push_back(arc_from_heading(from.at, from.heading_rad, to.at));
        return;
    }
    out.segments.push_back(arc_from_heading(from.at, from.heading_rad, arcs.joint));
    // Built from the far end, so that both ends have the curve's own tangent to the last bit.
    out.segments.push_back(reversed(arc_from_heading(to.at, to.heading_rad + pi, arcs.joint)));
}

/// Distance to the left of a circle given by a point on it, its tangent there and its curvature; well-conditioned for
/// any curvature, none included.
double left_of_circle(Point on_it, Point tangent, double k, Point p) {
    const Point w = p - on_it;
    const double across = cross(tangent, w);
    const double size = norm2(w);
    const double rho2 = 1.0 - 2.0 * k * across + k * k * size;
    return (2.0 * across - k * size) / (1.0 + std::sqrt(std::fmax(0.0, rho2)));
}

struct Proof {
    double bound_mm = HUGE_VAL;
    bool proven = false;  ///< false: bound_mm is only what the samples show, or nothing (infinite)
};

struct Try {
    End to;
    Biarc biarc;
    double bound_mm = HUGE_VAL;
    bool accepted = false;
};

/// How far d can rise above, or fall below, the line from `da` to `db` when its second difference is bounded.
/// `bulge` = h²/2 · (bound of the second derivative on that side), >= 0.
double highest(double da, double db, double bulge) {
    const double rise = db - da;
    if (bulge <= std::abs(rise)) return std::fmax(da, db);
    const double reach = bulge + rise;
    return da + reach * reach / (4.0 * bulge);
}

class Fitter {
  public:
    Fitter(const SmoothCurve& curve, double within_mm) : curve_(curve), within_mm_(within_mm) {}

    End end_at(double t) const {
        End e;
        e.t = t;
        e.at = curve_.point(t);
        e.heading_rad = curve_.heading_rad(t);
        e.tangent = unit(e.heading_rad);
        e.curvature = curve_.curvature(t);
        if (!std::isfinite(e.at.x) || !std::isfinite(e.at.y) || !std::isfinite(e.heading_rad))
            throw std::runtime_error("fit_arcs: the curve has a place that is not a number");
        return e;
    }

    /// One stretch without breaks, appended to `out`.
    void fit(End from, const End& last, ArcFit& out) {
        if (fit_constant(from, last, out)) return;
        double span = (last.t - from.t) / first_parts;
        while (from.t < last.t) {
            const Try found = longest_from(from, last, span);
            span = found.to.t - from.t;
            append(from, found, out);
            from = found.to;
        }
    }

  private:
    /// A curve is opened with this part of its range; growth and shrinking find the right length within a few tries.
    static constexpr double first_parts = 16.0;

    bool fit_constant(const End& from, const End& last, ArcFit& out) const {
        const SmoothCurve::Range range = curve_.curvature_range(from.t, last.t);
        const double length = curve_.length_bound_mm(from.t, last.t);
        if (!((range.high - range.low) * length <= constant_turn_rad)) return false;
        const double k = 0.5 * (range.low + range.high);
        const double turn = last.heading_rad - from.heading_rad;
        const double scale = coordinate_scale(from, last);
        const double rise = 0.125 * std::abs(turn) * length;
        start_biarc(from.t, out);
        const double rounding = rounding_units * std::numeric_limits<double>::epsilon() * scale;
        out.bound_mm = std::fmax(out.bound_mm, rounding + 0.5 * (range.high - range.low) * length * length);
        if (rise <= rounding || k == 0.0) {
            out.path.segments.push_back(line(from.at, last.at));
            return true;
        }
        // A full circle is two halves; anything less is one arc.
        constexpr double nearly_full = 0.99 * 2.0 * pi;
        const int arcs = std::abs(turn) < nearly_full ? 1 : static_cast<int>(std::ceil(std::abs(turn) / pi - 1e-9));
        const Point centre = from.at + left_of(from.tangent) / k;
        Point start = from.at;
        for (int i = 0; i < arcs; ++i) {
            Segment s = arc_about(centre, start, turn / arcs);
            if (i + 1 == arcs) s.end = last.at;
            start = s.end;
            out.path.segments.push_back(s);
        }
        return true;
    }

    static double coordinate_scale(const End& a, const End& b) {
        return std::fmax(std::fmax(std::abs(a.at.x), std::abs(a.at.y)), std::fmax(std::abs(b.at.x), std::abs(b.at.y)));
    }

    /// Length of a span that the formula expects to use `aimed_use` of the bound, near the given length.
    double predicted(const End& from, double span, double most) const {
        for (int round = 0; round < 2; ++round) {
            span = std::fmin(span, most);
            const double middle = curve_.curvature(from.t + 0.5 * span);
            const double end = curve_.curvature(from.t + span);
            const double rise = 2.0 * std::fmax(std::abs(middle - from.curvature), std::abs(end - middle));
            const double length = norm(curve_.point(from.t + span) - from.at);
            const double expected = rise * length * length / 324.0;
            // Beyond a factor of 2 either way the curvature has changed too much for the formula.
            const double factor = expected > 0.0 ? std::cbrt(aimed_use * within_mm_ / expected) : 2.0;
            span *= std::clamp(factor, 0.5, 2.0);
            if (std::abs(factor - 1.0) < 0.2) break;
        }
        return std::fmin(span, most);
    }

    Try longest_from(const End& from, const End& last, double span) {
        const double remaining = last.t - from.t;
        const double least = least_part * (curve_.t_end - curve_.t_begin);
        span = predicted(from, span, remaining);
        std::optional<Try> best;
        double too_long = HUGE_VAL;
        for (int i = 0; i < most_tries; ++i) {
            // A short rest would be a sliver: share what remains between two.
            if (span > 0.95 * remaining) {
                span = remaining;
            } else if (span > 0.5 * remaining && !best) {
                span = 0.5 * remaining;
            }
            const bool to_end = span >= remaining;
            const Try now = attempt(from, to_end ? last : end_at(from.t + span));
            if (now.accepted) {
                best = now;
                if (to_end || now.bound_mm >= wanted_use * within_mm_ || too_long < HUGE_VAL) return now;
                const double more = now.bound_mm > 0.0 ? std::cbrt(aimed_use * within_mm_ / now.bound_mm) : 2.0;
                const double longer = std::fmin(span * std::clamp(more, 1.0, 2.0), remaining);
                if (longer <= 1.02 * span ||
                    (span <= 0.5 * remaining && longer > 0.5 * remaining && longer < remaining))
                    return now;
                span = longer;
            } else {
                if (best) return *best;
                too_long = span;
                const double less = std::isfinite(now.bound_mm) ? std::cbrt(0.93 * within_mm_ / now.bound_mm) : 0.5;
                span *= std::clamp(less, 0.25, 0.95);
                if (span < least) break;
            }
        }
        if (best) return *best;
        throw std::runtime_error("fit_arcs: the bound cannot be reached; the curve turns too sharply somewhere");
    }

    Try attempt(const End& from, const End& to) {
        Try out;
        out.to = to;
        if (!(to.t > from.t)) return out;
        const SmoothCurve::Range whole = curve_.curvature_range(from.t, to.t);
        const double sharpest = std::fmax(std::abs(whole.low), std::abs(whole.high));
        if (!(sharpest * curve_.length_bound_mm(from.t, to.t) <= most_turn_rad)) return out;

        const double middle = 0.5 * (from.t + to.t);
        const double middle_curvature = curve_.curvature(middle);
        const double rise0 = middle_curvature - from.curvature;
        const double rise1 = to.curvature - middle_curvature;
        double moved = 0.0;
        // Near an extreme of curvature the first-order rule says nothing; it is faded out there.
        if (const double sum = rise0 + rise1; sum != 0.0) {
            const double x = (rise1 - rise0) / sum;
            moved = std::clamp((2.0 / 9.0) * x / (1.0 + 2.0 * x * x * x * x), -0.1, 0.1);
        }
        out.biarc = biarc_between(from, to, (0.5 + moved) / (0.5 - moved));
        if (!out.biarc.usable) return out;
        const Proof proof = prove(from, to, out.biarc, from.t + (0.5 + moved) * (to.t - from.t));
        out.bound_mm = proof.bound_mm;
        out.accepted = proof.proven && proof.bound_mm <= within_mm_;
        return out;
    }

    Proof prove(const End& from, const End& to, const Biarc& arcs, double joint_t) {
        // The curve's place abreast of the joint: one or two Newton steps along the joint's tangent.
        const double per_t = norm(to.at - from.at) / (to.t - from.t);
        Point joint_at = curve_.point(joint_t);
        double ahead = dot(joint_at - arcs.joint, arcs.joint_tangent);
        // A hundredth of the span along the arc is enough: it enters only with its square times the step of curvature.
        const double near_enough = 0.005 * norm(to.at - from.at);
        for (int i = 0; i < 3 && std::abs(ahead) > near_enough; ++i) {
            joint_t -= ahead / per_t;
            if (!(joint_t > from.t && joint_t < to.t)) return {};
            joint_at = curve_.point(joint_t);
            ahead = dot(joint_at - arcs.joint, arcs.joint_tangent);
        }
        const double joint_off = dot(joint_at - arcs.joint, left_of(arcs.joint_tangent));

        std::array<double, 2 * steps_per_half + 1> t{};
        std::array<Point, 2 * steps_per_half + 1> at;
        for (int i = 0; i <= steps_per_half; ++i) {
            const double part = static_cast<double>(i) / steps_per_half;
            t[index(i)] = from.t + part * (joint_t - from.t);
            t[index(steps_per_half + i)] = joint_t + part * (to.t - joint_t);
        }
        t.back() = to.t;
        at.front() = from.at;
        at.back() = to.at;
        at[steps_per_half] = joint_at;
        double seen = 0.0;
        std::array<std::array<double, steps_per_half + 1>, 2> off{};
        for (int i = 1; i < 2 * steps_per_half; ++i)
            if (i != steps_per_half) at[index(i)] = curve_.point(t[index(i)]);
        for (int i = 1; i <= steps_per_half; ++i) {
            off[0][index(i)] = left_of_circle(from.at, from.tangent, arcs.k0, at[index(i)]);
            const int j = steps_per_half - i;
            off[1][index(j)] = left_of_circle(to.at, to.tangent, arcs.k1, at[index(steps_per_half + j)]);
            seen = std::fmax(seen, std::fmax(std::abs(off[0][index(i)]), std::abs(off[1][index(j)])));
        }
        Proof out;
        if (!(seen <= within_mm_)) {
            out.bound_mm = seen;
            return out;
        }
        const double bound0 = prove_half(arcs.k0, &t[0], &at[0], off[0]);
        const double bound1 = prove_half(arcs.k1, &t[steps_per_half], &at[steps_per_half], off[1]);
        if (!std::isfinite(bound0) || !std::isfinite(bound1)) return out;
        const double step = std::abs(arcs.k0 - arcs.k1);
        const double at_joint = 2.0 * step * std::abs(ahead) * (std::abs(ahead) + std::abs(joint_off));
        const double rounding = rounding_units * std::numeric_limits<double>::epsilon() * coordinate_scale(from, to);
        out.bound_mm = std::fmax(bound0, bound1) + at_joint + rounding;
        out.proven = true;
        return out;
    }

    static std::size_t index(int i) { return static_cast<std::size_t>(i); }

    /// The bound of |d| over one half, or infinity when the argument does not close.
    double prove_half(double k, const double* t, const Point* at,
                      const std::array<double, steps_per_half + 1>& off) const {
        std::array<SmoothCurve::Range, steps_per_half> range;
        std::array<double, steps_per_half> step_mm{};
        double length = 0.0;
        double difference = 0.0;
        double sharpest = 0.0;
        for (std::size_t i = 0; i < steps_per_half; ++i) {
            range[i] = curve_.curvature_range(t[i], t[i + 1]);
            const double sharp = std::fmax(std::abs(range[i].low), std::abs(range[i].high));
            const double most = curve_.length_bound_mm(t[i], t[i + 1]);
            // A curve that turns by at most 2x is no longer than its chord / cos x; cos x >= 1 − x²/2.
            const double x = 0.5 * sharp * most;
            const double slack = 1.0 - 0.5 * x * x;
            constexpr double chord_rounding = 1.0 + 1e-9;
            const double by_chord = slack > 0.1 ? distance(at[i], at[i + 1]) / slack * chord_rounding : HUGE_VAL;
            step_mm[i] = std::fmin(most, by_chord);
            length += step_mm[i];
            sharpest = std::fmax(sharpest, sharp);
            difference = std::fmax(difference, std::fmax(range[i].high - k, k - range[i].low));
        }
        if (!std::isfinite(difference) || !std::isfinite(length)) return HUGE_VAL;
        const double bend = std::abs(k);
        // The foot must not run round the centre: see the essay. The argument assumes |d| <= most_off and must end
        // there.
        if (bend * length > most_turn_rad) return HUGE_VAL;
        const double most_off = bend > 0.0 ? std::fmin(within_mm_, most_off_of_radius / bend) : within_mm_;
        const double slope = 1.25 * difference * length + 4.0 * bend * bend * most_off * length;
        const double correction = slope * slope * (sharpest + 2.0 * bend) + 2.0 * bend * bend * most_off;
        if (!((difference + correction) * length <= slope) && slope > 0.0) return HUGE_VAL;
        double bound = 0.0;
        for (std::size_t i = 0; i < steps_per_half; ++i) {
            const double half_square = 0.5 * step_mm[i] * step_mm[i];
            const double low = range[i].low - k - correction;
            const double high = range[i].high - k + correction;
            const double up = highest(off[i], off[i + 1], half_square * std::fmax(0.0, -low));
            const double down = highest(-off[i], -off[i + 1], half_square * std::fmax(0.0, high));
            bound = std::fmax(bound, std::fmax(up, down));
        }
        // Beyond within_mm the value only says how much shorter to try.
        return bound <= most_off || bound > within_mm_ ? bound : HUGE_VAL;
    }

    static void start_biarc(double t, ArcFit& out) {
        if (out.at.size() >= most_biarcs) throw std::runtime_error("fit_arcs: the curve needs too many arcs");
        out.at.push_back(t);
        out.first_segment.push_back(out.path.segments.size());
    }

    void append(const End& from, const Try& found, ArcFit& out) const {
        start_biarc(from.t, out);
        out.bound_mm = std::fmax(out.bound_mm, found.bound_mm);
        append_biarc(from, found.to, found.biarc, out.path);
    }

    const SmoothCurve& curve_;
    double within_mm_;
};

}  // namespace

ArcFit fit_arcs(const SmoothCurve& curve, double within_mm) {
    if (!curve.point || !curve.heading_rad || !curve.curvature || !curve.curvature_range || !curve.length_bound_mm)
        throw std::invalid_argument("fit_arcs: the curve lacks one of its functions");
    if (!(within_mm > 0.0) || !std::isfinite(within_mm))
        throw std::invalid_argument("fit_arcs: the bound must be a positive length");
    if (!(curve.t_end > curve.t_begin)) throw std::invalid_argument("fit_arcs: the curve has no length");

    std::vector<double> knots{curve.t_begin};
    for (const double b : curve.breaks)
        if (b > knots.back() && b < curve.t_end) knots.push_back(b);
    knots.push_back(curve.t_end);

    Fitter fitter(curve, within_mm);
    ArcFit out;
    out.path.closed = curve.closed;
    const End first = fitter.end_at(curve.t_begin);
    End from = first;
    for (std::size_t i = 0; i + 1 < knots.size(); ++i) {
        const bool last = i + 2 == knots.size();
        End to = fitter.end_at(last ? knots[i + 1] : std::nextafter(knots[i + 1], curve.t_begin));
        to.t = knots[i + 1];
        if (last && curve.closed) {
            to.at = first.at;
            if (std::abs(wrap_pi(to.heading_rad - first.heading_rad)) < same_direction_rad) {
                const double turns = std::round((to.heading_rad - first.heading_rad) / (2.0 * pi));
                to.heading_rad = first.heading_rad + turns * 2.0 * pi;
                to.tangent = first.tangent;
            }
        }
        fitter.fit(from, to, out);
        if (last) break;
        End next = fitter.end_at(std::nextafter(knots[i + 1], curve.t_end));
        next.t = knots[i + 1];
        next.at = to.at;
        if (std::abs(wrap_pi(next.heading_rad - to.heading_rad)) < same_direction_rad) {
            next.heading_rad = to.heading_rad;
            next.tangent = to.tangent;
        }
        from = next;
    }
    out.at.push_back(curve.t_end);
    out.first_segment.push_back(out.path.segments.size());
    return out;
}

Path biarcs_through(std::span<const Pose> poses) {
    Path out;
    const auto end_of = [](const Pose& p) { return End{0.0, p.at, p.heading_rad, unit(p.heading_rad), 0.0}; };
    for (std::size_t i = 1; i < poses.size(); ++i) {
        const End from = end_of(poses[i - 1]);
        const End to = end_of(poses[i]);
        if (norm(to.at - from.at) == 0.0) continue;
        const Biarc arcs = biarc_between(from, to, 1.0);
        if (arcs.usable) {
            append_biarc(from, to, arcs, out);
        } else {
            out.segments.push_back(line(from.at, to.at));
        }
    }
    return out;
}

}  // namespace seamwright::geometry
