// A drawn edge as points, and the chain of clothoids a fair fit starts from.
//
// Pins of that chain stand close where the edge is rough and far apart where it is gentle: an interval is halved until
// its places lie within `gentle_mm` of a cubic. The chain need only be near; what it misses the fit makes good.

#include "edge_samples.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace seamwright::curves {

namespace {

/// At first so many samples over the whole edge, beside its vertices; the fit asks for more where it needs them.
constexpr double first_samples_over_all = 200.0;
/// Vertices nearer than this part of the finest length cannot be told apart from one.
constexpr double passed_over_part = 0.01;
/// Pins stand at most this part of the edge apart.
constexpr double longest_part = 1.0 / 8.0;
/// Off a cubic by less than this counts as gentle, mm.
constexpr double gentle_mm = 0.1;
/// Spans between two pins.
constexpr double spans_per_pin = 4.0;
constexpr int places = 13;

/// The largest distance of evenly spaced values from the cubic that fits them best (least squares).
double off_cubic(const std::array<double, places>& y) {
    // Orthogonal polynomials on the places u = −1 … 1: 1, u, u² − a, u³ − b u.
    std::array<double, places> u{};
    double s2 = 0.0;
    double s4 = 0.0;
    for (std::size_t i = 0; i < places; ++i) {
        u[i] = -1.0 + 2.0 * static_cast<double>(i) / (places - 1);
        s2 += u[i] * u[i];
        s4 += u[i] * u[i] * u[i] * u[i];
    }
    const double a = s2 / places;
    const double b = s4 / s2;
    std::array<double, places> rest = y;
    for (int degree = 0; degree <= 3; ++degree) {
        double up = 0.0;
        double down = 0.0;
        std::array<double, places> p{};
        for (std::size_t i = 0; i < places; ++i) {
            p[i] = degree == 0 ? 1.0 : degree == 1 ? u[i] : degree == 2 ? u[i] * u[i] - a : u[i] * (u[i] * u[i] - b);
            up += p[i] * y[i];
            down += p[i] * p[i];
        }
        for (std::size_t i = 0; i < places; ++i) rest[i] -= up / down * p[i];
    }
    double most = 0.0;
    for (const double r : rest) most = std::fmax(most, std::abs(r));
    return most;
}

}  // namespace

double spacing_at(double curvature) {
    // The middle of a chord d lies d² κ / 8 beside the arc.
    return std::sqrt(8.0 * most_sag_mm / std::fmax(std::abs(curvature), 1e-300));
}

DrawnEdge::DrawnEdge(const Path& path, double finest_mm)
    : path_(path), finest_mm_(finest_mm), running_mm_(geometry::running_length_mm(path)) {}

Point DrawnEdge::point(double at_mm) const {
    return geometry::point_at(path_, geometry::station_at(path_, running_mm_, at_mm));
}

EdgeSamples DrawnEdge::first_samples() const {
    const double spacing = length_mm() / first_samples_over_all;
    const double passed_over = passed_over_part * finest_mm_;
    EdgeSamples out;
    out.at_mm.push_back(0.0);
    out.points.push_back(path_.start());
    for (std::size_t i = 0; i < path_.segments.size(); ++i) {
        const geometry::Segment& s = path_.segments[i];
        const double length = running_mm_[i + 1] - running_mm_[i];
        const double wanted = std::fmin(std::fmax(length / spacing, length / spacing_at(geometry::curvature(s))),
                                        length / std::fmax(passed_over, 1e-300));
        const auto parts = static_cast<std::size_t>(std::fmax(1.0, std::ceil(wanted)));
        for (std::size_t k = 1; k <= parts; ++k) {
            const double u = static_cast<double>(k) / static_cast<double>(parts);
            const double at = running_mm_[i] + u * length;
            if (at - out.at_mm.back() < passed_over) continue;
            out.at_mm.push_back(at);
            out.points.push_back(geometry::point_at(s, u));
        }
    }
    // The end is kept whatever came just before it.
    if (out.at_mm.size() > 1 && length_mm() - out.at_mm.back() < passed_over) {
        out.at_mm.pop_back();
        out.points.pop_back();
    }
    if (out.at_mm.back() < length_mm()) {
        out.at_mm.push_back(length_mm());
        out.points.push_back(path_.end());
    }
    return out;
}

bool DrawnEdge::is_gentle(double from_mm, double to_mm) const {
    const Point from = point(from_mm);
    const Point chord = point(to_mm) - from;
    const double size = geometry::norm(chord);
    // A chord much shorter than the way along it: the edge winds.
    if (size < 0.9 * (to_mm - from_mm)) return false;
    std::array<double, places> off{};
    for (std::size_t i = 0; i < places; ++i) {
        const double u = static_cast<double>(i) / (places - 1);
        off[i] = cross(chord, point(from_mm + u * (to_mm - from_mm)) - from) / size;
    }
    return off_cubic(off) <= gentle_mm;
}

void DrawnEdge::lay_pins(double from_mm, double to_mm, double least_mm, std::vector<double>& at) const {
    if (to_mm - from_mm > 1.5 * least_mm && !is_gentle(from_mm, to_mm)) {
        const double middle = 0.5 * (from_mm + to_mm);
        lay_pins(from_mm, middle, least_mm, at);
        lay_pins(middle, to_mm, least_mm, at);
        return;
    }
    at.push_back(to_mm);
}

std::optional<FairBase> DrawnEdge::first_base(double least_mm) const {
    std::vector<double> at{0.0};
    const auto parts = static_cast<std::size_t>(1.0 / longest_part);
    for (std::size_t i = 0; i < parts; ++i) {
        const double part = static_cast<double>(i) / static_cast<double>(parts);
        lay_pins(part * length_mm(), (part + longest_part) * length_mm(), least_mm, at);
    }
    // Pins at neighbouring scales, or a short span is thrown about by a long one.
    std::vector<double> graded{0.0};
    for (std::size_t i = 1; i < at.size(); ++i) {
        const double gap = at[i] - at[i - 1];
        double near = gap;
        if (i > 1) near = std::fmin(near, 2.0 * (graded.back() - graded[graded.size() - 2]));
        if (i + 1 < at.size()) near = std::fmin(near, 4.0 * (at[i + 1] - at[i]));
        const auto pieces = static_cast<std::size_t>(std::fmax(1.0, std::ceil(gap / near - 1e-9)));
        for (std::size_t k = 1; k <= pieces; ++k)
            graded.push_back(at[i - 1] + gap * static_cast<double>(k) / static_cast<double>(pieces));
    }
    std::vector<Point> pins{path_.start()};
    std::vector<double> gaps;
    for (std::size_t i = 1; i < graded.size(); ++i) {
        const bool last = i + 1 == graded.size();
        Point pin = last ? path_.end() : Point{};
        if (!last) {
            // A quarter of the gap to either side: averages what is rough and leaves the gentle as it is.
            constexpr int around = 4;
            const double before = graded[i] - graded[i - 1];
            const double after = graded[i + 1] - graded[i];
            const double reach = 0.25 * std::fmin(before, after);
            const bool fine = std::fmin(before, after) <= 1.5 * least_mm;
            Point sum{};
            for (int k = -around; k <= around; ++k) sum = sum + point(graded[i] + (fine ? reach * k / around : 0.0));
            pin = sum / (2.0 * around + 1.0);
        }
        if (geometry::distance(pin, pins.back()) < 0.1 * (graded[i] - graded[i - 1])) {
            // The edge came back to where it was: no pin, unless it is the last, which then takes the place of that.
            if (!last || pins.size() < 2) continue;
            pins.pop_back();
            gaps.pop_back();
        }
        pins.push_back(pin);
        gaps.push_back(graded[i] - graded[i - 1]);
    }
    if (pins.size() < 2) return std::nullopt;
    const auto spline = euler_spline(pins, false);
    if (!spline) return std::nullopt;
    std::vector<double> curvature{spline->spans.front().curvature0};
    std::vector<double> lengths;
    for (const Clothoid& span : spline->spans) {
        for (double k = 1.0; k <= spans_per_pin; k += 1.0) {
            curvature.push_back(span.curvature0 + k / spans_per_pin * (span.curvature1 - span.curvature0));
            lengths.push_back(span.length_mm / spans_per_pin);
        }
    }
    return laid_out(spline->spans.front().start, spline->spans.front().heading_rad, std::move(curvature), lengths);
}

}  // namespace seamwright::curves
