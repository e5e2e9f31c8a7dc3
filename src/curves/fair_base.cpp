// The base of a fair fit.
//
// Feet of many thousand points are looked for each round, so a place on a span is found without sines: spans turn by
// little (`most_turn_per_span` in fair.cpp), and with φ the turn since the start of the span,
//
//     x = ∫ (1 − φ²/2 + φ⁴/24) du,   y = ∫ (φ − φ³/6 + φ⁵/120) du
//
// by Gauss's rule with three nodes (Abramowitz & Stegun, table 25.4). A turn of 0.2 rad misses by 4e-10 of the span.

#include "fair_base.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace seamwright::curves {

namespace {

constexpr std::array<double, 3> gauss_node{0.11270166537925831, 0.5, 0.88729833462074169};
constexpr std::array<double, 3> gauss_weight{5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0};

struct LocalPlace {
    double x = 0.0, y = 0.0;
    double turn = 0.0;  // direction there, from the direction at the start of the span
};

LocalPlace local_place(double k0, double slope, double u) {
    LocalPlace out;
    for (std::size_t i = 0; i < gauss_node.size(); ++i) {
        const double v = gauss_node[i] * u;
        const double turn = v * (k0 + 0.5 * slope * v);
        const double turn2 = turn * turn;
        out.x += gauss_weight[i] * (1.0 - turn2 * (0.5 - turn2 / 24.0));
        out.y += gauss_weight[i] * turn * (1.0 - turn2 * (1.0 / 6.0 - turn2 / 120.0));
    }
    out.x *= u;
    out.y *= u;
    out.turn = u * (k0 + 0.5 * slope * u);
    return out;
}

}  // namespace

Clothoid FairBase::span(std::size_t j) const {
    return {place[j], direction[j], span_mm(j), curvature[j], curvature[j + 1]};
}

FairBase laid_out(Point start, double direction_rad, std::vector<double> curvature,
                  const std::vector<double>& span_mm) {
    FairBase base;
    const std::size_t n = span_mm.size();
    base.place.reserve(n + 1);
    base.direction.reserve(n + 1);
    base.at_mm.reserve(n + 1);
    base.curvature = std::move(curvature);
    base.place.push_back(start);
    base.direction.push_back(direction_rad);
    base.at_mm.push_back(0.0);
    for (std::size_t j = 0; j < n; ++j) {
        const Clothoid span{base.place[j], base.direction[j], span_mm[j], base.curvature[j], base.curvature[j + 1]};
        base.place.push_back(span.point(span_mm[j]));
        base.direction.push_back(span.heading(span_mm[j]));
        base.at_mm.push_back(base.at_mm[j] + span_mm[j]);
    }
    return base;
}

std::optional<FairBase> first_base(std::span<const Point> trace, double group_mm, double step_mm) {
    // Groups by the length of the trace's chords over `group_mm` / 4, which jitter lengthens less than those between
    // neighbouring points.
    std::vector<double> run(trace.size(), 0.0);
    std::size_t anchor = 0;
    for (std::size_t i = 1; i < trace.size(); ++i) {
        const double from_anchor = geometry::distance(trace[anchor], trace[i]);
        run[i] = run[anchor] + from_anchor;
        if (from_anchor >= 0.25 * group_mm) anchor = i;
    }
    const double whole = run.back();
    const auto groups = static_cast<std::size_t>(std::fmax(2.0, std::round(whole / group_mm)));
    const double pitch = whole / static_cast<double>(groups);
    std::vector<Point> pins{trace.front()};
    // A quarter of the pitch to either side: enough to average, too little to cut corners of the base's own scale.
    const double reach = 0.25 * pitch;
    std::size_t i = 0;
    for (std::size_t g = 1; g < groups; ++g) {
        const double middle = pitch * static_cast<double>(g);
        while (i < trace.size() && run[i] < middle - reach) ++i;
        Point sum{};
        std::size_t count = 0;
        for (std::size_t k = i; k < trace.size() && run[k] <= middle + reach; ++k) {
            sum = sum + trace[k];
            ++count;
        }
        if (count == 0) continue;
        const Point mean = sum / static_cast<double>(count);
        // Sparse points: whatever falls into the window may lie close to the pin before.
        if (geometry::distance(mean, pins.back()) < 0.5 * reach) continue;
        pins.push_back(mean);
    }
    while (pins.size() > 1 && geometry::distance(pins.back(), trace.back()) < reach) pins.pop_back();
    if (geometry::distance(pins.back(), trace.back()) > 0.0) pins.push_back(trace.back());
    if (pins.size() == 2 && trace.size() > 2) {
        // Too few for a curve: the point farthest from the chord shows the bend.
        const Point along = (pins[1] - pins[0]) / geometry::distance(pins[0], pins[1]);
        std::size_t far = 0;
        double most = -1.0;
        for (std::size_t k = 1; k + 1 < trace.size(); ++k) {
            const double x = dot(trace[k] - pins[0], along);
            const double off = std::abs(cross(along, trace[k] - pins[0]));
            const double length = geometry::distance(pins[0], pins[1]);
            if (x > 0.2 * length && x < 0.8 * length && off > most) {
                most = off;
                far = k;
            }
        }
        if (far != 0) pins.insert(pins.begin() + 1, trace[far]);
    }
    const auto spline = euler_spline(pins, false);
    if (!spline) return std::nullopt;
    std::vector<double> curvature{spline->spans.front().curvature0};
    std::vector<double> lengths;
    for (const Clothoid& span : spline->spans) {
        const auto parts = static_cast<std::size_t>(std::fmax(1.0, std::round(span.length_mm / step_mm)));
        for (std::size_t k = 1; k <= parts; ++k) {
            const double part = static_cast<double>(k) / static_cast<double>(parts);
            curvature.push_back(span.curvature0 + part * (span.curvature1 - span.curvature0));
            lengths.push_back(span.length_mm / static_cast<double>(parts));
        }
    }
    return laid_out(spline->spans.front().start, spline->spans.front().heading_rad, std::move(curvature), lengths);
}

Foot foot_on(const FairBase& base, Point p, std::size_t near) {
    const std::size_t last = base.spans() - 1;
    std::size_t j = std::min(near, last);
    int way = 0;
    for (;;) {
        const double length = base.span_mm(j);
        const double k0 = base.curvature[j];
        const double slope = (base.curvature[j + 1] - k0) / length;
        const Point d = p - base.place[j];
        const double c = std::cos(base.direction[j]);
        const double s = std::sin(base.direction[j]);
        const double x = c * d.x + s * d.y;
        const double y = -s * d.x + c * d.y;
        double u = std::clamp(x, -length, 2.0 * length);
        LocalPlace at;
        double off = 0.0;
        // Newton on (p − P(u))·T(u) = 0, whose slope is −(1 − κ off).
        for (int step = 0; step < 8; ++step) {
            at = local_place(k0, slope, u);
            const double t2 = at.turn * at.turn;
            const double tx = 1.0 - t2 * (0.5 - t2 / 24.0);
            const double ty = at.turn * (1.0 - t2 * (1.0 / 6.0 - t2 / 120.0));
            const double ahead = (x - at.x) * tx + (y - at.y) * ty;
            off = (y - at.y) * tx - (x - at.x) * ty;
            // Beyond the centre of curvature a foot is no longer the nearest place; hold on to what is there.
            const double reach = std::fmax(0.2, 1.0 - (k0 + slope * u) * off);
            const double change = ahead / reach;
            u = std::clamp(u + change, -2.0 * length, 3.0 * length);
            if (std::abs(change) <= 1e-12 * length) break;
        }
        if (u < 0.0 && j > 0 && way <= 0) {
            --j;
            way = -1;
            continue;
        }
        if (u > length && j < last && way >= 0) {
            ++j;
            way = 1;
            continue;
        }
        // Between two spans that each send it on to the other (a kink of rounding), the joint is the foot.
        if (j > 0) u = std::fmax(u, 0.0);
        if (j < last) u = std::fmin(u, length);
        return {j, u, off};
    }
}

OffsetSpline::OffsetSpline(const std::vector<double>& nodes) {
    const double first = nodes[1] - nodes[0];
    const double last = nodes[nodes.size() - 1] - nodes[nodes.size() - 2];
    for (int k = 3; k >= 1; --k) knots_.push_back(nodes.front() - k * first);
    knots_.insert(knots_.end(), nodes.begin(), nodes.end());
    for (int k = 1; k <= 3; ++k) knots_.push_back(nodes.back() + k * last);
}

OffsetSpline::Rows OffsetSpline::at(std::size_t span, double along) const {
    // knots_[i] is t_i; the span runs from t_m to t_{m+1}, m = span + 3, where B_{m−3} … B_m live.
    const std::size_t m = span + 3;
    const auto& t = knots_;
    const double x = t[m] + along;
    const double w1 = t[m + 1] - t[m];
    // Degree 1: the two that live here.
    const std::array<double, 2> b1{(t[m + 1] - x) / w1, (x - t[m]) / w1};
    const auto raised = [&](const auto& lower, std::size_t degree, auto& higher) {
        for (std::size_t k = 0; k <= degree; ++k) {
            const std::size_t i = m - degree + k;
            double sum = 0.0;
            if (k > 0) sum += (x - t[i]) / (t[i + degree] - t[i]) * lower[k - 1];
            if (k < degree) sum += (t[i + degree + 1] - x) / (t[i + degree + 1] - t[i + 1]) * lower[k];
            higher[k] = sum;
        }
    };
    const auto derived = [&](const auto& lower, std::size_t degree, auto& higher) {
        for (std::size_t k = 0; k <= degree; ++k) {
            const std::size_t i = m - degree + k;
            double sum = 0.0;
            if (k > 0) sum += lower[k - 1] / (t[i + degree] - t[i]);
            if (k < degree) sum -= lower[k] / (t[i + degree + 1] - t[i + 1]);
            higher[k] = static_cast<double>(degree) * sum;
        }
    };
    std::array<double, 3> b2{};
    raised(b1, 2, b2);
    std::array<double, 3> slope2{};
    derived(b1, 2, slope2);
    Rows out;
    out.value.first = out.slope.first = out.bend.first = span;
    raised(b2, 3, out.value.at);
    derived(b2, 3, out.slope.at);
    derived(slope2, 3, out.bend.at);
    return out;
}

}  // namespace seamwright::curves
