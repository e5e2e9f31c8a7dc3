// The edge that rolling leaves behind.
//
// Where the disc touches the source once, the edge is the source shifted; where it rests on two places, the edge is an
// arc about the disc's centre. So nothing has to be offset again: each piece of the centre path is mapped back by
// changing its radius (an arc) or shifting it (a line), and at each joint where the disc changes from one touch point
// to another, an arc about the joint fills in. The same map at another distance gives the edge that a concentric cutter
// of another radius leaves.
//
// Error: one scaling about an exact centre per piece, a few u S (see parallel.cpp).

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "front.h"
#include "geometry/parallel.h"
#include "geometry/path_index.h"
#include "rounding.h"
#include "shift.h"

namespace seamwright::geometry {

namespace {

/// Hollows shallower than this part of the disc's radius are not told: 1.5 µm under a 30 mm guide, less than the tools
/// themselves are true. A dense polyline has one at every joint.
constexpr double untold_depth = 1e-4;

/// The piece moved back toward the source, which lies on its right when rolling on the left. A corner shrinks to a
/// point at distance 0.
Segment mapped_back(const Segment& piece, Side side, double back_mm) {
    return shifted_left(piece, side == Side::left ? -back_mm : back_mm);
}

/// A disc cannot rest on two places that are nearer than this, seen from its centre, with all but a full turn between
/// them. Rounding of the flattest crossing (a micrometre on a 2.4 m top) stays below it for discs over 2 mm.
constexpr double largest_step_back_rad = 1e-3;

Segment resting_arc(Point centre, Point from, Point to, Side side) {
    Segment arc;
    arc.start = from;
    arc.end = to;
    arc.centre = centre;
    arc.radius_mm = distance(centre, from);
    const Point a = from - centre;
    const Point b = to - centre;
    const double short_turn = std::atan2(cross(a, b), dot(a, b));
    const double turn = wrap_two_pi(short_turn);
    arc.sweep_rad = side == Side::left ? turn : turn - 2.0 * pi;
    // At a crossing as flat as rounding the touch points may come in the wrong order: a step back, not a full turn.
    if (std::abs(short_turn) < largest_step_back_rad) arc.sweep_rad = short_turn;
    return arc;
}

}  // namespace

std::vector<TracedPath> edge_behind(const Parallel& rolled, double distance_mm) {
    if (!(distance_mm >= 0.0) || distance_mm > rolled.distance_mm) {
        throw std::invalid_argument("edge_behind: the distance must lie between zero and the disc's radius");
    }
    const double back_mm = rolled.distance_mm - distance_mm;
    if (back_mm == 0.0) return rolled.paths;
    std::vector<TracedPath> edges;
    for (const TracedPath& way : rolled.paths) {
        TracedPath edge;
        edge.closed = way.closed;
        Box box;
        for (const TracedSegment& t : way.segments) box.add(t.segment.start);
        const double slack_mm = rounding_mm(largest_coordinate(box) + rolled.distance_mm);
        // Touch points of one smooth joint differ by rounding and by the joint's own turn; a place of rest by more.
        const double same_mm = slack_mm + 2.0 * rolled.distance_mm * smooth_joint_rad;
        const std::size_t n = way.segments.size();
        const Segment first = mapped_back(way.segments.front().segment, rolled.side, back_mm);
        Segment here = first;
        for (std::size_t i = 0; i < n; ++i) {
            const TracedSegment& t = way.segments[i];
            TracedSegment mapped = t;
            mapped.segment = here;
            if (t.segment.is_line() || here.radius_mm > slack_mm) edge.segments.push_back(mapped);
            if (i + 1 == n && !way.closed) break;
            const Segment next = i + 1 < n ? mapped_back(way.segments[i + 1].segment, rolled.side, back_mm) : first;
            const Point from = here.end;
            const Point to = next.start;
            here = next;
            if (distance(from, to) <= same_mm) continue;
            TracedSegment rest;
            rest.from = TracedSegment::From::crossing;
            rest.source = t.source;
            rest.u0 = rest.u1 = t.u1;
            rest.segment = resting_arc(t.segment.end, from, to, rolled.side);
            edge.segments.push_back(rest);
        }
        if (!edge.segments.empty()) edges.push_back(std::move(edge));
    }
    return edges;
}

std::vector<Unreached> unreached(const Path& source, const Parallel& rolled) {
    struct Interval {
        double from, to;
    };
    const std::vector<double> running = running_length_mm(source);
    const double whole = running.back();
    std::vector<Interval> touched;
    Path ways;
    for (const TracedPath& way : rolled.paths) {
        for (const TracedSegment& t : way.segments) {
            ways.segments.push_back(t.segment);
            const double size = running[t.source + 1] - running[t.source];
            touched.push_back({running[t.source] + t.u0 * size, running[t.source] + t.u1 * size});
        }
    }
    std::sort(touched.begin(), touched.end(), [](const Interval& a, const Interval& b) { return a.from < b.from; });
    const double slack_mm = rounding_mm(whole + rolled.distance_mm);
    std::vector<Interval> gaps;
    double reached = 0.0;
    for (const Interval& t : touched) {
        if (t.from > reached + slack_mm) gaps.push_back({reached, t.from});
        reached = std::max(reached, t.to);
    }
    if (whole > reached + slack_mm) gaps.push_back({reached, whole});
    // On a closed source the last gap and the first are one.
    if (source.closed && gaps.size() > 1 && gaps.front().from <= slack_mm && gaps.back().to >= whole - slack_mm) {
        gaps.front().from = gaps.back().from;
        gaps.pop_back();
    }
    std::vector<Unreached> found;
    const PathIndex index(ways);
    for (const Interval& gap : gaps) {
        const double around = gap.to >= gap.from ? gap.to - gap.from : gap.to + whole - gap.from;
        // No place of a hollow lies deeper than half of the way around it.
        if (0.5 * around <= untold_depth * rolled.distance_mm) continue;
        Unreached u;
        u.from = station_at(source, running, gap.from);
        u.to = station_at(source, running, gap.to);
        const Path hidden = part(source, running, gap.from, gap.to);
        if (ways.empty()) {
            u.depth_mm = rolled.distance_mm;
            u.deepest = hidden.empty() ? point_at(source, u.from) : hidden.start();
        } else {
            // To a thousandth of the disc: the depth is told to the maker, no edge is made from it.
            const LargestDistance depth = largest_distance(hidden, index, 1e-3 * rolled.distance_mm);
            u.depth_mm = std::max(0.0, depth.value_mm - rolled.distance_mm);
            u.deepest = depth.at;
        }
        // A disc that just fits an arc touches all of it from one place.
        if (u.depth_mm > untold_depth * rolled.distance_mm) found.push_back(u);
    }
    return found;
}

}  // namespace seamwright::geometry
