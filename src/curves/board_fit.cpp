// Fitting an insert into a board.
//
// Across the chord, the near edge lies at k f(x) and the far one at w + k g(x), k being the factor looked for. The
// width taken is the largest of four straight lines in k,
//
//     max(k f↑, w + k g↑) − min(k f↓, w + k g↓),      f↑, f↓ the highest and lowest place,
//
// so each gives its own bound on k, in closed form; so does the narrowest place, w + k min(g − f). Scaling an edge
// across its chord by k turns curvature κ at a place with direction θ (from the chord) into
//
//     κ_k = k κ / (cos²θ + k² sin²θ)^(3/2),
//
// which rises with k up to k² = ½ cot²θ and falls after. The first crossing of 1/r, if any, lies on the rising part.

#include "curves/board_fit.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "shapes.h"

namespace seamwright::curves {

namespace {

struct Edge {
    Point along;  // unit vector of the chord
    double chord_mm = 0.0;
    double lowest = 0.0, highest = 0.0;
    std::vector<Point> places;  // x along the chord, y across it, in order
    bool overhangs = false;
};

/// Chords stay this near to the edge when widths are compared.
constexpr double sag_mm = 1e-3;

std::optional<Edge> edge_of(const Drawn& drawn) {
    if (drawn.path.empty() || drawn.path.closed) return std::nullopt;
    Edge edge;
    const Point start = drawn.path.start();
    const Point span = drawn.path.end() - start;
    edge.chord_mm = geometry::norm(span);
    if (!(edge.chord_mm > 0.0)) return std::nullopt;
    edge.along = span / edge.chord_mm;
    const Point left = geometry::left_of(edge.along);
    edge.highest = dot(geometry::farthest(drawn.path, left).point - start, left);
    edge.lowest = dot(geometry::farthest(drawn.path, -left).point - start, left);
    for (const Point p : geometry::chords(drawn.path, sag_mm)) {
        const Point at{dot(p - start, edge.along), dot(p - start, left)};
        if (!edge.places.empty() && at.x <= edge.places.back().x) edge.overhangs = true;
        edge.places.push_back(at);
    }
    return edge;
}

double across(const Edge& edge, double x) {
    const auto after =
        std::upper_bound(edge.places.begin() + 1, edge.places.end() - 1, x, [](double v, Point p) { return v < p.x; });
    const Point b = *after;
    const Point a = *(after - 1);
    return a.y + (b.y - a.y) * std::clamp((x - a.x) / (b.x - a.x), 0.0, 1.0);
}

/// Least of (far − near) over the length both have.
double least_difference(const Edge& near, const Edge& far) {
    double least = HUGE_VAL;
    const double shared = std::fmin(near.chord_mm, far.chord_mm);
    for (const Edge* edge : {&near, &far}) {
        for (const Point p : edge->places) {
            if (p.x > shared) continue;
            least = std::fmin(least, across(far, p.x) - across(near, p.x));
        }
    }
    return least;
}

/// The first factor at which the edge turns tighter than allowed; infinite if none.
double factor_by_radius(const Drawn& drawn, const Edge& edge, double sign, double radius_mm) {
    double least = HUGE_VAL;
    const std::vector<double> running = geometry::running_length_mm(drawn.path);
    for (const CurvatureAt& sample : drawn.curvature) {
        const double bend = sign * sample.curvature * radius_mm;
        if (!(bend > 0.0)) continue;
        const auto station = geometry::station_at(drawn.path, running, std::clamp(sample.at_mm, 0.0, running.back()));
        const Point tangent = geometry::tangent_at(drawn.path, station);
        const double c = dot(tangent, edge.along);
        const double s = cross(edge.along, tangent);
        const auto bent = [&](double k) {
            const double q = c * c + k * k * s * s;
            return k * bend / (q * std::sqrt(q));
        };
        constexpr double most_factor = 1e6;
        double high = s == 0.0 ? most_factor : std::fmin(most_factor, std::abs(c / s) * std::sqrt(0.5));
        if (!(bent(high) > 1.0)) continue;
        double low = 0.0;
        for (int i = 0; i < 200; ++i) {
            const double middle = 0.5 * (low + high);
            if (!(middle > low && middle < high)) break;
            (bent(middle) > 1.0 ? high : low) = middle;
        }
        least = std::fmin(least, low);
    }
    return least;
}

std::optional<BoardProblem> check(const BoardRoom& room) {
    const auto length = [](double v) { return v >= 0.0 && usable(v); };
    if (!length(room.board_mm) || !length(room.insert_mm) || !length(room.margin_near_mm) ||
        !length(room.margin_far_mm) || !length(room.least_width_mm) || room.board_mm == 0.0 || room.insert_mm == 0.0) {
        return BoardProblem{"A width or margin is negative, nothing, or not a usable number.",
                            "Give the width of the board and of the insert, and margins of nothing or more."};
    }
    for (const auto& radius : {room.least_radius_left_mm, room.least_radius_right_mm}) {
        if (radius && !(*radius >= least_radius_mm))
            return BoardProblem{"The tightest radius allowed is " + plain(*radius) + " mm.", "Give a larger radius."};
    }
    const double free = room.board_mm - room.margin_near_mm - room.margin_far_mm;
    if (room.insert_mm > free) {
        return BoardProblem{"The insert is " + plain(room.insert_mm) + " mm wide; between its margins the board has " +
                                plain(free) + " mm.",
                            "Take a wider board, a narrower insert, or smaller margins."};
    }
    if (room.least_width_mm > room.insert_mm) {
        return BoardProblem{"The insert is asked to be at least " + plain(room.least_width_mm) + " mm wide, but is " +
                                plain(room.insert_mm) + " mm between its ends.",
                            "Make the insert wider."};
    }
    return std::nullopt;
}

}  // namespace

std::optional<double> largest_half_height_mm(const BoardRoom& room, double wave_length_mm) {
    if (check(room) || !(wave_length_mm > 0.0)) return std::nullopt;
    double half = 0.5 * (room.board_mm - room.margin_near_mm - room.margin_far_mm - room.insert_mm);
    for (const auto& radius : {room.least_radius_left_mm, room.least_radius_right_mm}) {
        if (radius)
            half = std::fmin(half, wave_length_mm * wave_length_mm / (4.0 * geometry::pi * geometry::pi * *radius));
    }
    return half;
}

std::variant<BoardFit, BoardProblem> fit_to_board(const Drawn& near, const Drawn& far, const BoardRoom& room) {
    if (auto problem = check(room)) return *problem;
    const auto a = edge_of(near);
    const auto b = edge_of(far);
    if (!a || !b) return BoardProblem{"An edge is closed, or its ends meet.", "Use edges that run from end to end."};
    if (room.least_width_mm > 0.0 && (a->overhangs || b->overhangs)) {
        return BoardProblem{"An edge overhangs its own chord, so its width across has no meaning.",
                            "Leave the least width out, or draw a calmer edge."};
    }
    BoardFit out;
    out.factor = HUGE_VAL;
    const auto bound = [&](double factor, BoardLimit limit) {
        if (factor < out.factor) {
            out.factor = factor;
            out.limit = limit;
        }
    };
    const double w = room.insert_mm;
    const double free = room.board_mm - room.margin_near_mm - room.margin_far_mm;
    const struct {
        double at, slope;
    } tops[] = {{0.0, a->highest}, {w, b->highest}}, bottoms[] = {{0.0, a->lowest}, {w, b->lowest}};
    for (const auto& top : tops) {
        for (const auto& bottom : bottoms) {
            const double slope = top.slope - bottom.slope;
            if (slope > 0.0) bound((free - (top.at - bottom.at)) / slope, BoardLimit::board);
        }
    }
    const double least = a->overhangs || b->overhangs ? 0.0 : least_difference(*a, *b);
    if (least < 0.0) bound((w - room.least_width_mm) / -least, BoardLimit::narrowest);
    for (const auto& [drawn, edge] : {std::pair{&near, &*a}, std::pair{&far, &*b}}) {
        if (room.least_radius_left_mm)
            bound(factor_by_radius(*drawn, *edge, 1.0, *room.least_radius_left_mm), BoardLimit::radius_left);
        if (room.least_radius_right_mm)
            bound(factor_by_radius(*drawn, *edge, -1.0, *room.least_radius_right_mm), BoardLimit::radius_right);
    }
    if (!std::isfinite(out.factor)) {
        out.used_mm = w;
        out.narrowest_mm = w;
        return out;
    }
    const double k = out.factor;
    out.height_mm = k * std::fmax(a->highest - a->lowest, b->highest - b->lowest);
    out.used_mm = std::fmax(k * a->highest, w + k * b->highest) - std::fmin(k * a->lowest, w + k * b->lowest);
    out.narrowest_mm = w + k * least;
    return out;
}

namespace {

/// Where a place comes to lie across the board: at + factor · rise.
struct Moving {
    double at = 0.0, rise = 0.0;
    double across(double factor) const { return at + factor * rise; }
};

struct Width {
    double mm = 0.0;
    double slope = 0.0;  // of the straight line it follows there
};

/// The width taken is the largest of many straight lines in the factor: convex.
Width width_at(const std::vector<Moving>& places, double factor) {
    Moving top = places.front();
    Moving bottom = top;
    for (const Moving& place : places) {
        const double y = place.across(factor);
        const double high = top.across(factor);
        const double low = bottom.across(factor);
        // Of two in the same place the one that leaves it faster.
        if (y > high || (y == high && place.rise > top.rise)) top = place;
        if (y < low || (y == low && place.rise < bottom.rise)) bottom = place;
    }
    return {top.across(factor) - bottom.across(factor), top.rise - bottom.rise};
}

double least_width_mm(const std::vector<Moving>& places) {
    double low = 0.0;
    double high = 1.0;
    constexpr int halvings = 60;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (low + high);
        (width_at(places, middle).slope > 0.0 ? high : low) = middle;
    }
    return std::fmin(width_at(places, low).mm, width_at(places, high).mm);
}

}  // namespace

LaidFit fit_to_board(const std::vector<LaidEdge>& edges, const std::vector<Point>& stays, double along_rad,
                     double free_mm) {
    if (!std::isfinite(along_rad) || !std::isfinite(free_mm))
        throw std::invalid_argument("fit_to_board: a direction or a width that is no number");
    const Point across = geometry::left_of(geometry::unit(along_rad));
    std::vector<Moving> places;
    for (const LaidEdge& edge : edges) {
        if (edge.stretch.empty()) continue;
        const Point base = edge.base_to - edge.base_from;
        const double base_mm = geometry::norm(base);
        const Point left = base_mm > 0.0 ? geometry::left_of(base) / base_mm : Point{};
        for (const Point p : geometry::chords(edge.stretch, sag_mm)) {
            const double rise = dot(p - edge.base_from, left) * dot(left, across);
            places.push_back({dot(p, across) - rise, rise});
        }
    }
    for (const Point p : stays) places.push_back({dot(p, across), 0.0});
    if (places.empty()) throw std::invalid_argument("fit_to_board: nothing to lay on the board");

    // Newton's method from the right on a convex function: it never steps past the largest factor that fits, and ends,
    // since there are no more lines than places.
    constexpr double most_factor = 1e6;
    double factor = most_factor;
    Width width = width_at(places, factor);
    if (width.mm <= free_mm) return {true, HUGE_VAL, width_at(places, 1.0).mm};
    for (std::size_t i = 0; i < 2 * places.size() && width.mm > free_mm && width.slope > 0.0; ++i) {
        const double next = factor - (width.mm - free_mm) / width.slope;
        if (!(next < factor) || next < 0.0) {
            factor = std::fmax(next, 0.0);
            width = width_at(places, factor);
            break;
        }
        factor = next;
        width = width_at(places, factor);
    }
    // To a thousandth of what chords stay near to.
    constexpr double rounding_mm = 1e-6;
    if (width.mm > free_mm + rounding_mm) return {false, 0.0, least_width_mm(places)};
    return {true, factor, width.mm};
}

}  // namespace seamwright::curves
