// Boxes over a path, in the order of the path.
//
// A path is already ordered in space, so runs of neighbouring segments make good boxes without any sorting: one sweep
// builds the lowest level, one sweep over it the next, and so on. Building costs a few nanoseconds a segment, a tenth
// of what a sorted box tree costs, and asking is as fast as long as the path does not fill the plane.

#include "geometry/path_index.h"

#include <algorithm>
#include <array>
#include <limits>
#include <queue>

#include "arc_sector.h"
#include "box_walk.h"
#include "crossing.h"
#include "rounding.h"
#include "square_distance.h"

namespace seamwright::geometry {

PathIndex::PathIndex(const Path& path) : path_(&path) {
    const std::size_t n = path.segments.size();
    runs_.reserve(n / box_fan + 1);
    Run run;
    Point before = n > 0 ? path.segments.front().start : Point{};
    levels_ = build_boxes(n, [&](std::size_t i) {
        const Segment& s = path.segments[i];
        const bool joined = s.start == before;
        before = s.end;
        unbroken_ = unbroken_ && joined;
        if (i % box_fan == 0) {
            run = {};
        } else if (!joined) {
            run.broken = true;
        }
        if (s.is_line()) {
            run.quarter_square = std::max(run.quarter_square, 0.25 * norm2(s.end - s.start));
        } else {
            run.half_arc_mm = std::max(run.half_arc_mm, 0.5 * s.radius_mm * std::abs(s.sweep_rad));
        }
        if (i % box_fan == box_fan - 1 || i + 1 == n) runs_.push_back(run);
        return holding_box(s);
    });
}

NearestOnPath PathIndex::nearest(Point p) const {
    NearestOnPath best;
    double best_square = std::numeric_limits<double>::infinity();
    std::size_t best_segment = 0;
    struct Node {
        double square;
        std::size_t level;
        std::size_t index;
    };
    // Depth first, nearest child first: the stack never holds more than fan boxes a level.
    std::array<Node, walk_room> stack{};
    std::size_t size = 0;
    if (path_->empty()) return {std::numeric_limits<double>::infinity(), {}, p};
    stack[size++] = {0.0, levels_.size() - 1, 0};
    while (size > 0) {
        const Node node = stack[--size];
        if (node.square > best_square) continue;
        if (node.level == 0) {
            const std::size_t stop = std::min((node.index + 1) * box_fan, path_->segments.size());
            for (std::size_t i = node.index * box_fan; i < stop; ++i) {
                const double square = square_distance_to(path_->segments[i], p);
                if (square < best_square || (square == best_square && i < best_segment)) {
                    best_square = square;
                    best_segment = i;
                }
            }
            continue;
        }
        const std::vector<Box>& below = levels_[node.level - 1];
        const std::size_t from = node.index * box_fan;
        const std::size_t stop = std::min(from + box_fan, below.size());
        const std::size_t base = size;
        for (std::size_t k = from; k < stop; ++k) {
            const double square = square_distance(below[k], p);
            if (square > best_square) continue;
            std::size_t at = size++;
            // Insertion keeps the nearest on top of the stack.
            while (at > base && stack[at - 1].square < square) {
                stack[at] = stack[at - 1];
                --at;
            }
            stack[at] = {square, node.level - 1, k};
        }
    }
    const NearestOnSegment on = geometry::nearest(path_->segments[best_segment], p);
    best.distance_mm = on.distance_mm;
    best.at = {best_segment, on.u};
    best.point = on.point;
    return best;
}

void PathIndex::visit(const Box& box, const std::function<void(std::size_t)>& visit) const {
    visit_from(0, box, visit);
}

void PathIndex::visit_from(std::size_t first, const Box& box, const std::function<void(std::size_t)>& visit) const {
    walk_boxes(levels_, path_->segments.size(), box, first, [&](std::size_t i) {
        if (holding_box(path_->segments[i]).meets(box)) visit(i);
    });
}

bool PathIndex::contains(Point p) const {
    return !path_->empty() && contains(p, nearest(p));
}

bool PathIndex::contains(Point p, const NearestOnPath& on) const {
    if (path_->empty()) return false;
    // The side on which p lies of the nearest place. At a corner, the place nearest to p is the corner itself only on
    // its outward side, so the turn of the corner tells the side.
    const std::size_t n = path_->segments.size();
    const Segment& s = path_->segments[on.at.segment];
    if (on.at.u > 0.0 && on.at.u < 1.0) return cross(tangent_at(s, on.at.u), p - on.point) > 0.0;
    const std::size_t before = on.at.u > 0.0 ? on.at.segment : (on.at.segment + n - 1) % n;
    const std::size_t after = (before + 1) % n;
    const Point arriving = tangent_at(path_->segments[before], 1.0);
    const Point leaving = tangent_at(path_->segments[after], 0.0);
    const double turn = cross(arriving, leaving);
    constexpr double smooth_turn = 1e-6;  // rad: flatter joints are judged by their mean direction instead
    if (std::abs(turn) > smooth_turn || dot(arriving, leaving) < 0.0) return turn < 0.0;
    return cross(arriving + leaving, p - on.point) > 0.0;
}

std::vector<PathCrossing> crossings(const PathIndex& a, const PathIndex& b) {
    std::vector<PathCrossing> found;
    const Path& along = a.path();
    const std::size_t n = along.segments.size();
    for (std::size_t i = 0; i < n; ++i) {
        const Segment& s = along.segments[i];
        const double slack = rounding_mm(largest_number(s));
        const std::size_t first = found.size();
        b.visit(holding_box(s).grown(slack), [&](std::size_t j) {
            for (const Crossing& c : meet(s, b.path().segments[j])) {
                // A crossing at a joint belongs to two segments: keep the first.
                const double same = 4.0 * slack;
                const auto known = [&](const PathCrossing& k) {
                    const bool neighbour = k.on_a.segment + 1 >= i || (i + 1 == n && k.on_a.segment == 0);
                    return neighbour && distance(k.point, c.point) <= same;
                };
                if (std::none_of(found.begin(), found.end(), known)) {
                    found.push_back({{i, c.u}, {j, c.v}, c.point});
                }
            }
        });
        std::sort(found.begin() + static_cast<std::ptrdiff_t>(first), found.end(),
                  [](const PathCrossing& x, const PathCrossing& y) { return x.on_a.u < y.on_a.u; });
    }
    return found;
}

namespace {

/// How far from the joint of two neighbours a computed meeting is still the joint. Where the path turns by less than a
/// quarter, the neighbours part in opposite directions and cannot meet again nearby; but the circles touch there, or
/// nearly so, and the computed meeting of touching circles is off by the root of rounding times size.
double joint_reach_mm(const Segment& arriving, const Segment& leaving) {
    const double size = std::max(largest_number(arriving), largest_number(leaving));
    const double slack = rounding_mm(size);
    const bool goes_on = dot(tangent_at(arriving, 1.0), tangent_at(leaving, 0.0)) > 0.0;
    if (!goes_on) return 16.0 * slack;
    // Never a notable part of a neighbour: a tight curl may come back to its joint.
    const double shorter = std::min(length_mm(arriving), length_mm(leaving));
    return std::max(16.0 * slack, std::min(std::sqrt(8.0 * slack * size), 0.25 * shorter));
}

}  // namespace

void visit_self_crossings(const PathIndex& index, const std::function<bool(const PathCrossing&)>& go_on) {
    const Path& path = index.path();
    const std::size_t n = path.segments.size();
    bool going = true;
    for (std::size_t i = 0; i < n && going; ++i) {
        const Segment& s = path.segments[i];
        const double slack = rounding_mm(largest_number(s));
        const Box box = holding_box(s).grown(slack);
        index.visit_from(i + 1, box, [&](std::size_t j) {
            if (!going) return;
            const bool next = j == i + 1;
            const bool wraps = path.closed && i == 0 && j == n - 1;
            const Segment& t = path.segments[j];
            for (const Crossing& c : meet(s, t)) {
                // The joint itself, reached from either side, is no crossing; the neighbours may still meet again.
                if (next && distance(c.point, s.end) <= joint_reach_mm(s, t)) continue;
                if (wraps && distance(c.point, s.start) <= joint_reach_mm(t, s)) continue;
                going = going && go_on({{i, c.u}, {j, c.v}, c.point});
            }
        });
    }
}

std::vector<PathCrossing> self_crossings(const PathIndex& index) {
    std::vector<PathCrossing> found;
    visit_self_crossings(index, [&](const PathCrossing& c) {
        found.push_back(c);
        return true;
    });
    return found;
}

namespace {

/// Largest distance from the points of one segment to another segment, bounded from above in closed form.
///
/// While the foot of the perpendicular stays on `to`, the distance from a circle is | |p − c| − r |, and |p − c| runs
/// monotonically along an arc between the places where p, c and the arc's own centre are in line.
double most_distant(const Segment& from, const Segment& to) {
    double most = std::max(nearest(to, from.start).distance_mm, nearest(to, from.end).distance_mm);
    const auto try_direction = [&](Point towards) {
        if (from.is_arc() && norm2(towards) > 0.0 && in_sector(from, towards)) {
            const Point p = from.centre + (from.radius_mm / norm(towards)) * towards;
            most = std::max(most, nearest(to, p).distance_mm);
        }
    };
    if (to.is_arc()) {
        try_direction(from.centre - to.centre);
        try_direction(to.centre - from.centre);
    } else {
        const Point normal = left_of(to.end - to.start);
        try_direction(normal);
        try_direction(-normal);
    }
    return most;
}

/// True when every point of `from` has its foot on `to`, so that most_distant is the exact maximum.
bool feet_stay_on(const Segment& from, const Segment& to) {
    if (to.is_line()) {
        const Point along = to.end - to.start;
        const double square = norm2(along);
        const Box box = bounding_box(from);
        for (const Point p : {box.low, box.high, Point{box.low.x, box.high.y}, Point{box.high.x, box.low.y}}) {
            const double at = dot(p - to.start, along);
            if (at < 0.0 || at > square) return false;
        }
        return true;
    }
    // A convex sector (up to a half turn) that holds both ends and the middle's box corners holds the whole.
    const Box box = bounding_box(from);
    for (const Point p : {box.low, box.high, Point{box.low.x, box.high.y}, Point{box.high.x, box.low.y}}) {
        if (!in_sector(to, p - to.centre)) return false;
    }
    return std::abs(to.sweep_rad) <= pi;
}

struct Stretch {
    double upper = 0.0;
    std::size_t segment = 0;
    double u0 = 0.0, u1 = 1.0;
    NearestOnPath n0, n1;  // of its ends
    friend bool operator<(const Stretch& a, const Stretch& b) {
        if (a.upper != b.upper) return a.upper < b.upper;
        if (a.segment != b.segment) return a.segment > b.segment;
        return a.u0 > b.u0;
    }
};

}  // namespace

LargestDistance largest_distance(const Path& from, const PathIndex& to, double bound_mm) {
    LargestDistance best;
    best.bound_mm = bound_mm;
    if (from.empty() || to.path().empty()) return best;
    best.at = from.start();
    std::priority_queue<Stretch> open;
    const auto seen = [&](const NearestOnPath& n, Point p) {
        if (n.distance_mm > best.value_mm) {
            best.value_mm = n.distance_mm;
            best.at = p;
        }
    };
    const auto offer = [&](std::size_t segment, double u0, const NearestOnPath& n0, double u1,
                           const NearestOnPath& n1) {
        const Segment whole = from.segments[segment];
        const Segment here = u0 == 0.0 && u1 == 1.0 ? whole : part(whole, u0, u1);
        // The distance to the path changes no faster than one goes along.
        double upper = 0.5 * (n0.distance_mm + n1.distance_mm + length_mm(here));
        if (upper <= best.value_mm + bound_mm) return;
        for (const std::size_t j : {n0.at.segment, n1.at.segment}) {
            const Segment& near = to.path().segments[j];
            if (feet_stay_on(here, near)) upper = std::min(upper, most_distant(here, near));
        }
        if (upper > best.value_mm + bound_mm) open.push({upper, segment, u0, u1, n0, n1});
    };
    // All ends first: the largest of them makes most stretches not worth opening.
    std::vector<std::array<NearestOnPath, 2>> ends;
    ends.reserve(from.segments.size());
    for (const Segment& s : from.segments) {
        const bool joined = !ends.empty() && s.start == from.segments[ends.size() - 1].end;
        const NearestOnPath n0 = joined ? ends.back()[1] : to.nearest(s.start);
        const NearestOnPath n1 = to.nearest(s.end);
        seen(n0, s.start);
        seen(n1, s.end);
        ends.push_back({n0, n1});
    }
    for (std::size_t i = 0; i < ends.size(); ++i) offer(i, 0.0, ends[i][0], 1.0, ends[i][1]);
    while (!open.empty()) {
        const Stretch stretch = open.top();
        open.pop();
        if (stretch.upper <= best.value_mm + bound_mm) break;
        const Segment& s = from.segments[stretch.segment];
        const double middle = 0.5 * (stretch.u0 + stretch.u1);
        if (middle <= stretch.u0 || middle >= stretch.u1) continue;  // a rounding step wide: nothing left between
        const Point p = point_at(s, middle);
        const NearestOnPath n = to.nearest(p);
        seen(n, p);
        offer(stretch.segment, stretch.u0, stretch.n0, middle, n);
        offer(stretch.segment, middle, n, stretch.u1, stretch.n1);
    }
    return best;
}

}  // namespace seamwright::geometry
