// What a drawn curve tells about itself: curvature along its length, tightest radii, inflections.
//
// All of it is taken from the curve that was meant, never from the arcs it became: arcs have stepped curvature. Lengths
// are measured along the drawn path (the two differ by less than the bound squared over the radius), so that a length
// names the same place everywhere.
//
// The tightest place is first enclosed: stretches whose curvature range cannot beat the best sample are dropped, the
// rest are halved until their range is within `enclosed_part` of the sample. Then golden-section search on the
// curvature itself finds the top of that place. Inflections are sign changes, bisected to rounding.

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <stdexcept>

#include "shapes.h"

namespace seamwright::curves {

namespace {

using geometry::ArcFit;
using geometry::SmoothCurve;

/// Samples per biarc: curvature is nearly straight along one, so four show every bend of the graph.
constexpr std::size_t samples_per_biarc = 4;
/// But never fewer than this over the whole curve: a curve of two arcs is still drawn as a graph.
constexpr std::size_t least_samples = 64;
/// The enclosure stops when no stretch can be sharper than the best sample by this part of it.
constexpr double enclosed_part = 1e-4;
/// Cap on the stretches looked at, for curves whose curvature runs level over much of their length.
constexpr int most_stretches = 50000;
/// A curve that turns by less than this (radians) over its whole length does not turn that way at all: rounding.
constexpr double least_turn_rad = 1e-9;

struct Top {
    double t = 0.0;
    double value = 0.0;
};

/// The largest value of sign · curvature, and where.
Top sharpest(const SmoothCurve& curve, const std::vector<double>& at, const std::vector<double>& curvature, double sign,
             double noise) {
    Top top{at.front(), sign * curvature.front()};
    std::size_t top_index = 0;
    for (std::size_t i = 1; i < at.size(); ++i) {
        if (sign * curvature[i] > top.value) {
            top = {at[i], sign * curvature[i]};
            top_index = i;
        }
    }
    const auto highest_on = [&](double t0, double t1) {
        const SmoothCurve::Range range = curve.curvature_range(t0, t1);
        return sign > 0.0 ? range.high : -range.low;
    };
    struct Stretch {
        double t0, t1;
    };
    double width = at.size() > 1 ? std::fmax(at[std::min(top_index + 1, at.size() - 1)] - at[top_index],
                                             at[top_index] - at[top_index > 0 ? top_index - 1 : 0])
                                 : 0.0;
    std::vector<Stretch> open;
    for (std::size_t i = 0; i + 1 < at.size(); ++i) open.push_back({at[i], at[i + 1]});
    for (int looked = 0; !open.empty() && looked < most_stretches; ++looked) {
        const Stretch s = open.back();
        open.pop_back();
        const double enough = std::fmax(top.value + enclosed_part * std::abs(top.value), noise);
        if (!(highest_on(s.t0, s.t1) > enough)) continue;
        const double middle = 0.5 * (s.t0 + s.t1);
        if (!(middle > s.t0 && middle < s.t1)) continue;
        const double value = sign * curve.curvature(middle);
        if (value > top.value) {
            top = {middle, value};
            width = s.t1 - s.t0;
        }
        open.push_back({s.t0, middle});
        open.push_back({middle, s.t1});
    }
    // Golden section about the best sample; the curvature has one top there or the enclosure would have split it.
    const double golden = 0.5 * (std::sqrt(5.0) - 1.0);
    double low = std::fmax(curve.t_begin, top.t - width);
    double high = std::fmin(curve.t_end, top.t + width);
    double inner0 = high - golden * (high - low);
    double inner1 = low + golden * (high - low);
    double value0 = sign * curve.curvature(inner0);
    double value1 = sign * curve.curvature(inner1);
    // 0.618^44 = 6e-10 of the bracket: beyond that a flat top is lost in rounding.
    constexpr int golden_steps = 44;
    for (int i = 0; i < golden_steps; ++i) {
        if (value0 >= value1) {
            high = inner1;
            inner1 = inner0;
            value1 = value0;
            inner0 = high - golden * (high - low);
            value0 = sign * curve.curvature(inner0);
        } else {
            low = inner0;
            inner0 = inner1;
            value0 = value1;
            inner1 = low + golden * (high - low);
            value1 = sign * curve.curvature(inner1);
        }
    }
    const double t = 0.5 * (low + high);
    // Curvature of a spline has its tops at pins, where it has a corner: the sample itself may be the top.
    if (const double value = sign * curve.curvature(t); value > top.value) top = {t, value};
    return top;
}

double sign_change(const SmoothCurve& curve, double t0, double k0, double t1) {
    for (int i = 0; i < 200; ++i) {
        const double middle = 0.5 * (t0 + t1);
        if (!(middle > t0 && middle < t1)) break;
        const double k = curve.curvature(middle);
        if (k == 0.0) return middle;
        if ((k > 0.0) == (k0 > 0.0)) {
            t0 = middle;
        } else {
            t1 = middle;
        }
    }
    return 0.5 * (t0 + t1);
}

/// Adds samples where the curvature could cross zero twice unseen between two samples of the same sign.
void look_between(const SmoothCurve& curve, double t0, double t1, int depth, std::vector<double>& extra) {
    if (depth == 0) return;
    const SmoothCurve::Range range = curve.curvature_range(t0, t1);
    if (range.low > 0.0 || range.high < 0.0) return;
    const double middle = 0.5 * (t0 + t1);
    look_between(curve, t0, middle, depth - 1, extra);
    extra.push_back(middle);
    look_between(curve, middle, t1, depth - 1, extra);
}

std::vector<double> inflections(const SmoothCurve& curve, const std::vector<double>& at, double noise) {
    std::vector<double> dense;
    // Halvings where both samples have one sign yet zero lies within reach: finds double crossings a 16th apart.
    constexpr int halvings = 4;
    for (std::size_t i = 0; i + 1 < at.size(); ++i) {
        dense.push_back(at[i]);
        const double k0 = curve.curvature(at[i]);
        const double k1 = curve.curvature(at[i + 1]);
        if (k0 * k1 > 0.0 && std::fmin(std::abs(k0), std::abs(k1)) > noise)
            look_between(curve, at[i], at[i + 1], halvings, dense);
    }
    dense.push_back(at.back());
    std::vector<double> found;
    bool have = false;
    double last_t = 0.0;
    double last_k = 0.0;
    for (const double t : dense) {
        const double k = curve.curvature(t);
        if (std::abs(k) <= noise) continue;
        if (have && (k > 0.0) != (last_k > 0.0)) found.push_back(sign_change(curve, last_t, last_k, t));
        have = true;
        last_t = t;
        last_k = k;
    }
    return found;
}

/// Lengths along the drawn path for parameters of the curve.
class Lengths {
  public:
    Lengths(const SmoothCurve& curve, const ArcFit& fit)
        : curve_(curve), fit_(fit), running_(geometry::running_length_mm(fit.path)) {}

    double whole() const { return running_.back(); }

    double at(double t) const {
        if (t <= fit_.at.front()) return 0.0;
        if (t >= fit_.at.back()) return running_.back();
        const auto after = std::upper_bound(fit_.at.begin(), fit_.at.end(), t);
        const auto biarc = static_cast<std::size_t>(after - fit_.at.begin()) - 1;
        const Point p = curve_.point(t);
        double best = HUGE_VAL;
        double at_mm = 0.0;
        for (std::size_t i = fit_.first_segment[biarc]; i < fit_.first_segment[biarc + 1]; ++i) {
            const auto near = geometry::nearest(fit_.path.segments[i], p);
            if (near.distance_mm < best) {
                best = near.distance_mm;
                at_mm = running_[i] + near.u * (running_[i + 1] - running_[i]);
            }
        }
        return at_mm;
    }

  private:
    const SmoothCurve& curve_;
    const ArcFit& fit_;
    std::vector<double> running_;
};

}  // namespace

std::variant<Drawn, CurveProblem> draw_smooth(const SmoothCurve& curve, double within_mm) {
    ArcFit fit;
    try {
        fit = geometry::fit_arcs(curve, within_mm);
    } catch (const std::runtime_error&) {
        return CurveProblem{"The curve turns so sharply that it cannot be drawn within " + plain(within_mm) + " mm.",
                            "", std::nullopt, std::nullopt};
    }
    const Lengths lengths(curve, fit);
    const std::size_t biarcs = fit.at.size() - 1;
    const std::size_t parts = std::max(samples_per_biarc, (least_samples + biarcs - 1) / biarcs);
    std::vector<double> at;
    std::vector<double> curvature;
    at.reserve(biarcs * parts + 1);
    for (std::size_t i = 0; i < biarcs; ++i) {
        for (std::size_t j = 0; j < parts; ++j) {
            const double part = static_cast<double>(j) / static_cast<double>(parts);
            at.push_back(fit.at[i] + part * (fit.at[i + 1] - fit.at[i]));
        }
    }
    at.push_back(fit.at.back());
    for (const double t : at) curvature.push_back(curve.curvature(t));

    Drawn out;
    out.bound_mm = fit.bound_mm;
    const double noise = least_turn_rad / lengths.whole();
    const auto describe = [&](double sign) -> std::optional<Drawn::Tightest> {
        const Top top = sharpest(curve, at, curvature, sign, noise);
        if (!(top.value > noise)) return std::nullopt;
        out.curvature.push_back({lengths.at(top.t), sign * top.value});
        return Drawn::Tightest{1.0 / top.value, lengths.at(top.t), curve.point(top.t), sign > 0.0};
    };
    out.tightest_left = describe(1.0);
    out.tightest_right = describe(-1.0);
    for (const double t : inflections(curve, at, noise)) {
        out.inflections_mm.push_back(lengths.at(t));
        out.curvature.push_back({out.inflections_mm.back(), 0.0});
    }
    for (std::size_t i = 0; i < at.size(); ++i) out.curvature.push_back({lengths.at(at[i]), curvature[i]});
    std::stable_sort(out.curvature.begin(), out.curvature.end(),
                     [](const CurvatureAt& a, const CurvatureAt& b) { return a.at_mm < b.at_mm; });

    for (const auto& tightest : {out.tightest_left, out.tightest_right}) {
        if (tightest && tightest->radius_mm < least_radius_mm) {
            return CurveProblem{"The curve turns on a radius of " + plain(tightest->radius_mm) + " mm, " +
                                    plain(tightest->at_mm) + " mm from its start: that is a corner, not a curve.",
                                "", std::nullopt, tightest->at};
        }
    }
    out.path = std::move(fit.path);
    return out;
}

void describe_arcs(Drawn& drawn) {
    drawn.curvature.clear();
    drawn.inflections_mm.clear();
    drawn.tightest_left.reset();
    drawn.tightest_right.reset();
    const std::vector<double> running = geometry::running_length_mm(drawn.path);
    const auto& segments = drawn.path.segments;
    double last_turn = 0.0;
    double turned_until = 0.0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const double k = geometry::curvature(segments[i]);
        // Neighbours of one curvature (a polyline, the halves of a circle) share one level stretch of the graph.
        if (!drawn.curvature.empty() && drawn.curvature.back().curvature == k) {
            drawn.curvature.back().at_mm = running[i + 1];
        } else {
            drawn.curvature.push_back({running[i], k});
            drawn.curvature.push_back({running[i + 1], k});
        }
        if (k == 0.0) continue;
        // Across a straight stretch the change is in its middle.
        if (last_turn != 0.0 && (k > 0.0) != (last_turn > 0.0))
            drawn.inflections_mm.push_back(0.5 * (turned_until + running[i]));
        last_turn = k;
        turned_until = running[i + 1];
        auto& tightest = k > 0.0 ? drawn.tightest_left : drawn.tightest_right;
        const double radius = segments[i].radius_mm;
        if (!tightest || radius < tightest->radius_mm) {
            // All of an arc is equally tight; its middle stands for it.
            tightest = Drawn::Tightest{radius, 0.5 * (running[i] + running[i + 1]),
                                       geometry::point_at(segments[i], 0.5), k > 0.0};
        }
    }
}

}  // namespace seamwright::curves
