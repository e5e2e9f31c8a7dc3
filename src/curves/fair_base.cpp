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

OffsetSpline::OffsetSpline(const FairBase& base) {
    const std::size_t n = base.spans();
    spans_.reserve(n + 6);
    const Span before = span_of(base.span_mm(0), base.curvature[0], base.curvature[0]);
    const Span after = span_of(base.span_mm(n - 1), base.curvature[n], base.curvature[n]);
    spans_.insert(spans_.end(), 3, before);
    for (std::size_t j = 0; j < n; ++j)
        spans_.push_back(span_of(base.span_mm(j), base.curvature[j], base.curvature[j + 1]));
    spans_.insert(spans_.end(), 3, after);
    functions_.reserve(n + 3);
    for (std::size_t i = 0; i < n + 3; ++i) functions_.push_back(function_of(i));
}

/// With θ(s) = k0 s + (k1 − k0) s²/2ℓ in the span's own axes, its end P and direction there move by
///
///     ∂P/∂k0 = ∫ n (s − s²/2ℓ) ds,  ∂P/∂k1 = ∫ n s²/2ℓ ds,  ∂P/∂ℓ = e(θ(ℓ)) − (k1 − k0) ∫ n s²/2ℓ² ds,
///     ∂θ/∂k0 = ∂θ/∂k1 = ℓ/2,  ∂θ/∂ℓ = (k0 + k1)/2,
///
/// e being the tangent and n the normal. They must make good η₁ n(θ(ℓ)) − η₀ n(0) − φ₀ (P turned by a quarter), and
/// φ₁ − φ₀: three equations for the gains of k0, k1 and ℓ.
OffsetSpline::Span OffsetSpline::span_of(double length, double k0, double k1) {
    // In units of the span: all entries are of order one.
    const double c0 = k0 * length;
    const double c1 = k1 * length;
    const double rise = c1 - c0;
    const auto direction = [](double turn) {
        const double t2 = turn * turn;
        return Point{1.0 - t2 * (0.5 - t2 * (1.0 / 24.0 - t2 / 720.0)),
                     turn * (1.0 - t2 * (1.0 / 6.0 - t2 * (1.0 / 120.0 - t2 / 5040.0)))};
    };
    Point end{};
    Point by_k0{};
    Point by_k1{};
    for (std::size_t i = 0; i < gauss_node.size(); ++i) {
        const double u = gauss_node[i];
        const Point e = direction(u * (c0 + 0.5 * rise * u));
        const Point normal = geometry::left_of(e);
        end = end + gauss_weight[i] * e;
        by_k0 = by_k0 + gauss_weight[i] * (u - 0.5 * u * u) * normal;
        by_k1 = by_k1 + gauss_weight[i] * (0.5 * u * u) * normal;
    }
    const Point last = direction(0.5 * (c0 + c1));
    const Point last_normal = geometry::left_of(last);
    const Point by_length = last - rise * by_k1;
    const double turn_by_length = 0.5 * (c0 + c1);
    // Columns k0, k1, ℓ; rows x, y, θ.
    const double a = by_k0.x, b = by_k1.x, c = by_length.x;
    const double d = by_k0.y, e = by_k1.y, f = by_length.y;
    const double g = 0.5, h = 0.5, k = turn_by_length;
    const double det = a * (e * k - f * h) - b * (d * k - f * g) + c * (d * h - e * g);
    const auto solved = [&](Point p, double turn) {
        return std::array<double, 3>{
            (p.x * (e * k - f * h) - b * (p.y * k - f * turn) + c * (p.y * h - e * turn)) / det,
            (a * (p.y * k - f * turn) - p.x * (d * k - f * g) + c * (d * turn - p.y * g)) / det,
            (a * (e * turn - p.y * h) - b * (d * turn - p.y * g) + p.x * (d * h - e * g)) / det};
    };
    const std::array<std::array<double, 3>, 4> gains{solved(Point{0.0, -1.0}, 0.0),                // η₀
                                                     solved(-1.0 * geometry::left_of(end), -1.0),  // φ₀
                                                     solved(last_normal, 0.0),                     // η₁
                                                     solved(Point{}, 1.0)};                        // φ₁
    Span out;
    out.length = length;
    for (std::size_t i = 0; i < 4; ++i) {
        // Back to mm: an offset counts in spans, a curvature in turns per span.
        const double unit = i % 2 == 0 ? 1.0 / length : 1.0;
        out.start_bend[i] = unit * gains[i][0] / length;
        out.end_bend[i] = unit * gains[i][1] / length;
        out.stretch[i] = unit * gains[i][2] * length;
    }
    return out;
}

/// Six numbers, offset and turn at three nodes, from five equations: no bend at the outer ends, the same bend from both
/// sides at the nodes between.
OffsetSpline::Function OffsetSpline::function_of(std::size_t first) const {
    const Span* s = &spans_[first];
    const double unit = s[1].length;  // turns times this are of the size of offsets
    std::array<std::array<double, 6>, 5> m{};
    const auto put = [&](std::size_t row, std::size_t node, double offset, double turn) {
        if (node == 0 || node == 4) return;
        m[row][2 * (node - 1)] += offset;
        m[row][2 * (node - 1) + 1] += turn / unit;
    };
    for (std::size_t node = 0; node < 5; ++node) {
        if (node < 4) {
            put(node, node, -s[node].start_bend[0], -s[node].start_bend[1]);
            put(node, node + 1, -s[node].start_bend[2], -s[node].start_bend[3]);
        }
        if (node > 0) {
            put(node, node - 1, s[node - 1].end_bend[0], s[node - 1].end_bend[1]);
            put(node, node, s[node - 1].end_bend[2], s[node - 1].end_bend[3]);
        }
    }
    // Gauss with the largest entry of all as pivot; the column left over is free.
    std::array<std::size_t, 6> column{0, 1, 2, 3, 4, 5};
    for (std::size_t r = 0; r < 5; ++r) {
        // Rows of different spans have different sizes.
        double most = 0.0;
        for (const double v : m[r]) most = std::fmax(most, std::abs(v));
        for (double& v : m[r]) v /= most;
    }
    for (std::size_t r = 0; r < 5; ++r) {
        std::size_t row = r;
        std::size_t col = r;
        for (std::size_t i = r; i < 5; ++i) {
            for (std::size_t j = r; j < 6; ++j) {
                if (std::abs(m[i][j]) > std::abs(m[row][col])) {
                    row = i;
                    col = j;
                }
            }
        }
        std::swap(m[r], m[row]);
        std::swap(column[r], column[col]);
        for (auto& line : m) std::swap(line[r], line[col]);
        for (std::size_t i = r + 1; i < 5; ++i) {
            const double factor = m[i][r] / m[r][r];
            for (std::size_t j = r; j < 6; ++j) m[i][j] -= factor * m[r][j];
        }
    }
    std::array<double, 6> found{};
    found[5] = 1.0;
    for (std::size_t r = 5; r-- > 0;) {
        double sum = 0.0;
        for (std::size_t j = r + 1; j < 6; ++j) sum += m[r][j] * found[j];
        found[r] = -sum / m[r][r];
    }
    std::array<double, 6> values{};
    for (std::size_t j = 0; j < 6; ++j) values[column[j]] = found[j];
    // As a B-spline over even nodes has it.
    const double scale = (2.0 / 3.0) / values[2];
    Function out;
    for (std::size_t node = 1; node < 4; ++node) {
        out.offset[node] = scale * values[2 * (node - 1)];
        out.turn[node] = scale * values[2 * (node - 1) + 1] / unit;
    }
    for (std::size_t node = 1; node < 4; ++node) {
        const Span& right = s[node];
        out.bend[node] = right.start_bend[0] * out.offset[node] + right.start_bend[1] * out.turn[node] +
                         right.start_bend[2] * out.offset[node + 1] + right.start_bend[3] * out.turn[node + 1];
    }
    return out;
}

BandRow OffsetSpline::value(std::size_t span, double along) const {
    // Between nodes Hermite's cubic; what a bent span adds to it is of second order in its turn.
    const double length = spans_[span + 3].length;
    const double u = along / length;
    const double v = 1.0 - u;
    const double h0 = v * v * (1.0 + 2.0 * u);
    const double h1 = u * u * (1.0 + 2.0 * v);
    const double t0 = length * u * v * v;
    const double t1 = -length * u * u * v;
    BandRow out;
    out.first = span;
    for (std::size_t k = 0; k < 4; ++k) {
        const Function& f = functions_[span + k];
        const std::size_t node = 3 - k;
        out.at[k] = h0 * f.offset[node] + t0 * f.turn[node] + h1 * f.offset[node + 1] + t1 * f.turn[node + 1];
    }
    return out;
}

BandRow OffsetSpline::turn(std::size_t node) const {
    BandRow out;
    // The last node is seen from the span before it.
    out.first = std::min(node, size() - 4);
    for (std::size_t k = 0; k < 4; ++k) {
        const std::size_t at = node + 3 - (out.first + k);
        out.at[k] = at < 5 ? functions_[out.first + k].turn[at] : 0.0;
    }
    return out;
}

BandRow OffsetSpline::bend(std::size_t node) const {
    BandRow out;
    out.first = std::min(node, size() - 4);
    for (std::size_t k = 0; k < 4; ++k) {
        const std::size_t at = node + 3 - (out.first + k);
        out.at[k] = at < 5 ? functions_[out.first + k].bend[at] : 0.0;
    }
    return out;
}

BandRow OffsetSpline::stretch(std::size_t span) const {
    BandRow out;
    out.first = span;
    const auto& gain = spans_[span + 3].stretch;
    for (std::size_t k = 0; k < 4; ++k) {
        const Function& f = functions_[span + k];
        const std::size_t node = 3 - k;
        out.at[k] = gain[0] * f.offset[node] + gain[1] * f.turn[node] + gain[2] * f.offset[node + 1] +
                    gain[3] * f.turn[node + 1];
    }
    return out;
}

namespace {

/// The curve's last span brought to a new end, `beyond_mm` ahead of the old one (negative: before it). Says whether the
/// end has to be looked at again.
bool trim_end(std::vector<double>& lengths, std::vector<double>& curvature, double beyond_mm) {
    // Trimming leaves at least so many spans.
    constexpr std::size_t least_spans = 8;
    const double last = lengths.back();
    const double step = lengths.size() > 1 ? lengths[lengths.size() - 2] : last;
    const double wanted = last + beyond_mm;
    // A span is neither cut below half its neighbour nor stretched beyond one and a half of it.
    if (beyond_mm < 0.0 && wanted < 0.5 * step && lengths.size() > least_spans) {
        lengths.pop_back();
        curvature.pop_back();
        return true;
    }
    if (wanted > 1.5 * step && beyond_mm > 0.5 * step) {
        lengths.push_back(std::fmin(beyond_mm, step));
        curvature.push_back(curvature.back());
        return true;
    }
    if (wanted > 1.5 * step && beyond_mm > 0.0) {
        // A new span of what lacks would be a sliver: the old one is cut in two and its second part stretched.
        const double cut = 0.5 * wanted;
        const double middle = curvature[lengths.size() - 1];
        const double part = std::fmin(cut / last, 1.0);
        curvature.insert(curvature.end() - 1, middle + part * (curvature.back() - middle));
        lengths.back() = part * last;
        lengths.push_back(wanted - part * last);
        return false;
    }
    lengths.back() = std::fmax(wanted, 0.25 * step);
    return false;
}

}  // namespace

double trim_ends(FairBase& base, Point first_point, Point last_point) {
    // Each pass moves an end by up to a span and a half; a round that turns the base leaves little to move.
    constexpr int most_passes = 60;
    double trimmed_mm = 0.0;
    for (int pass = 0; pass < most_passes; ++pass) {
        const std::size_t end = base.spans() - 1;
        const Foot first = foot_on(base, first_point, 0);
        const Foot last = foot_on(base, last_point, end);
        const double before = first.span == 0 ? -first.along_mm : -base.span_mm(0);
        const double beyond = last.span == end ? last.along_mm - base.span_mm(end) : -base.span_mm(end);
        trimmed_mm = std::fmax(trimmed_mm, std::fmax(std::abs(before), std::abs(beyond)));
        if (before == 0.0 && beyond == 0.0) break;
        std::vector<double> lengths(base.spans());
        for (std::size_t j = 0; j < lengths.size(); ++j) lengths[j] = base.span_mm(j);
        std::vector<double> curvature = base.curvature;
        bool again = trim_end(lengths, curvature, beyond);
        // The start is the end of the curve seen backwards.
        const std::size_t after_end = lengths.size();
        std::reverse(lengths.begin(), lengths.end());
        std::reverse(curvature.begin(), curvature.end());
        again = trim_end(lengths, curvature, before) || again;
        std::reverse(lengths.begin(), lengths.end());
        std::reverse(curvature.begin(), curvature.end());
        // What lies beyond the first span stays where it is.
        const std::size_t second = lengths.size() + 1 - after_end;
        FairBase next = laid_out({}, 0.0, std::move(curvature), lengths);
        const double turn = base.direction[1] - next.direction[second];
        const Point e = geometry::unit(turn);
        const Point from = next.place[second];
        const Point start = base.place[1] - (from.x * e + from.y * geometry::left_of(e));
        base = laid_out(start, turn, std::move(next.curvature), lengths);
        if (!again) break;
    }
    return trimmed_mm;
}

void refine(FairBase& base, double most_turn_rad, double least_mm) {
    const std::size_t n = base.spans();
    std::vector<double> wanted(n);
    for (std::size_t j = 0; j < n; ++j) {
        const double sharpest = std::fmax(std::abs(base.curvature[j]), std::abs(base.curvature[j + 1]));
        wanted[j] = std::fmin(base.span_mm(j), std::fmax(most_turn_rad / std::fmax(sharpest, 1e-300), least_mm));
    }
    // Short steps spread to their neighbours, twice as long each time.
    for (std::size_t j = 1; j < n; ++j) wanted[j] = std::fmin(wanted[j], 2.0 * wanted[j - 1]);
    for (std::size_t j = n - 1; j-- > 0;) wanted[j] = std::fmin(wanted[j], 2.0 * wanted[j + 1]);
    std::vector<double> curvature{base.curvature.front()};
    std::vector<double> lengths;
    // A span a little too long is left alone, or the same span would be cut again and again.
    constexpr double slack = 1.25;
    for (std::size_t j = 0; j < n; ++j) {
        const double length = base.span_mm(j);
        const auto parts = static_cast<std::size_t>(std::fmax(1.0, std::ceil(length / (slack * wanted[j]))));
        for (std::size_t k = 1; k <= parts; ++k) {
            const double part = static_cast<double>(k) / static_cast<double>(parts);
            curvature.push_back(base.curvature[j] + part * (base.curvature[j + 1] - base.curvature[j]));
            lengths.push_back(length / static_cast<double>(parts));
        }
    }
    if (lengths.size() == n) return;
    base = laid_out(base.place.front(), base.direction.front(), std::move(curvature), lengths);
}

std::optional<FairBase> moved(const FairBase& base, const std::vector<double>& offset, const CurvatureBounds& bounds) {
    // The moved curve runs along the base at 1 − κη, which must not come near standing still or turning back, and
    // across it at η'.
    constexpr double least_along = 0.2;
    constexpr double most_turn_rad = 1.2;
    const OffsetSpline spline(base);
    const std::size_t n = base.spans();
    std::vector<double> off(n + 1);
    std::vector<double> off_slope(n + 1);
    for (std::size_t j = 0; j <= n; ++j) {
        off[j] = (j < n ? spline.value(j, 0.0) : spline.value(n - 1, base.span_mm(n - 1))).times(offset);
        off_slope[j] = spline.turn(j).times(offset);
    }
    std::vector<double> curvature(n + 1);
    std::vector<double> lengths(n);
    std::vector<double> pace(n + 1);
    for (std::size_t j = 0; j <= n; ++j) {
        const double k = base.curvature[j];
        // Slopes of the curvature and bends of Hermite's cubic, mean of both sides.
        double k_slope = 0.0;
        double off_bend = 0.0;
        double sides = 0.0;
        if (j > 0) {
            const double h = base.span_mm(j - 1);
            k_slope += (k - base.curvature[j - 1]) / h;
            off_bend += (6.0 * (off[j - 1] - off[j]) / h + 2.0 * off_slope[j - 1] + 4.0 * off_slope[j]) / h;
            sides += 1.0;
        }
        if (j < n) {
            const double h = base.span_mm(j);
            k_slope += (base.curvature[j + 1] - k) / h;
            off_bend += (6.0 * (off[j + 1] - off[j]) / h - 4.0 * off_slope[j] - 2.0 * off_slope[j + 1]) / h;
            sides += 1.0;
        }
        k_slope /= sides;
        off_bend /= sides;
        const double along = 1.0 - k * off[j];
        const double along_slope = -k_slope * off[j] - k * off_slope[j];
        const double size = std::hypot(along, off_slope[j]);
        if (!(along > least_along) || std::abs(std::atan2(off_slope[j], along)) > most_turn_rad) return std::nullopt;
        // Curvature of P + η n, n being P's left normal, less its part of first order, which the spline knows better.
        const double turned = (along * off_bend - off_slope[j] * along_slope + k * size * size) / (size * size * size);
        const double beyond_first = turned - (k + off_bend + k * k * off[j]);
        const double next = k + spline.bend(j).times(offset) + beyond_first;
        curvature[j] = std::fmax(bounds.low, std::fmin(bounds.high, next));
        pace[j] = size;
    }
    for (std::size_t j = 0; j < n; ++j) {
        // Simpson's rule for what the length gains beyond first order.
        const double length = base.span_mm(j);
        const double k = 0.5 * (base.curvature[j] + base.curvature[j + 1]);
        const double middle = 0.5 * (off[j] + off[j + 1]) + 0.125 * length * (off_slope[j] - off_slope[j + 1]);
        const double slope = 1.5 * (off[j + 1] - off[j]) / length - 0.25 * (off_slope[j] + off_slope[j + 1]);
        const auto gained = [](double size, double bend, double offset_mm) { return size - (1.0 - bend * offset_mm); };
        const double beyond_first =
            length *
            (gained(pace[j], base.curvature[j], off[j]) + 4.0 * gained(std::hypot(1.0 - k * middle, slope), k, middle) +
             gained(pace[j + 1], base.curvature[j + 1], off[j + 1])) /
            6.0;
        lengths[j] = length + spline.stretch(j).times(offset) + beyond_first;
        if (!(lengths[j] > 0.1 * length)) return std::nullopt;
        // A span that winds up is nothing that was drawn, and costs as much to follow as it has turns.
        const double turn = 0.5 * (std::abs(curvature[j]) + std::abs(curvature[j + 1])) * lengths[j];
        if (!(turn < geometry::pi)) return std::nullopt;
    }
    const Point along = geometry::unit(base.direction[0]);
    const Point start = base.place[0] + off[0] * geometry::left_of(along);
    const double turn = std::atan2(off_slope[0], 1.0 - base.curvature[0] * off[0]);
    return laid_out(start, base.direction[0] + turn, std::move(curvature), lengths);
}

}  // namespace seamwright::curves
