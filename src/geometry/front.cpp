#include "front.h"

#include <algorithm>
#include <cmath>

#include "rounding.h"

namespace seamwright::geometry {

namespace {

/// Rounding steps (of slack) by which an arc's radius may differ from the disc's and still count as the disc's own. The
/// edge behind a rolled disc has arcs of exactly that radius, rounded once each time it is closed.
constexpr double pivot_slack = 4.0;

/// The segment shifted to its left. An arc that turns left within `radius_mm` has no front: every place on it would be
/// nearer to its neighbours on the arc than to its own foot. (With radius equal to the arc's own it is one point.)
bool left_front_of(const Segment& s, double radius_mm, double slack_mm, Segment& front) {
    front = s;
    if (s.is_line()) {
        const Point along = s.end - s.start;
        const double size = norm(along);
        if (size == 0.0) return false;
        const Point shift = (radius_mm / size) * left_of(along);
        front.start = s.start + shift;
        front.end = s.end + shift;
        return true;
    }
    const double radius = s.sweep_rad > 0.0 ? s.radius_mm - radius_mm : s.radius_mm + radius_mm;
    if (radius <= slack_mm) return false;
    const double scale = radius / s.radius_mm;
    front.radius_mm = radius;
    // Shifted from the end points, not from the centre, so that flat arcs keep their digits.
    const double shift = (scale - 1.0);
    front.start = s.start + shift * (s.start - s.centre);
    front.end = s.end + shift * (s.end - s.centre);
    return true;
}

Segment join_arc(Point vertex, Point from, Point to) {
    Segment arc;
    arc.start = from;
    arc.end = to;
    arc.centre = vertex;
    const Point a = from - vertex;
    const Point b = to - vertex;
    arc.radius_mm = norm(a);
    double sweep = std::atan2(cross(a, b), dot(a, b));
    // A spike turns back on itself: half a turn, clockwise.
    if (sweep > 0.0) sweep = sweep > 0.5 * pi ? sweep - 2.0 * pi : 0.0;
    arc.sweep_rad = sweep;
    return arc;
}

/// An arc that the disc just fits: its front is one point, the disc pivots there from one neighbour to the next.
bool is_pivot(const Segment& s, double radius_mm, double slack_mm) {
    return s.is_arc() && s.sweep_rad > 0.0 && std::abs(s.radius_mm - radius_mm) <= pivot_slack * slack_mm;
}

double turn_between(const Segment& s, const Segment& next) {
    const Point arriving = tangent_at(s, 1.0);
    const Point leaving = tangent_at(next, 0.0);
    return std::atan2(cross(arriving, leaving), dot(arriving, leaving));
}

bool joins_smoothly(const Path& path, std::size_t i) {
    const std::size_t n = path.segments.size();
    if (i + 1 == n && !path.closed) return true;
    return std::abs(turn_between(path.segments[i], path.segments[(i + 1) % n])) <= smooth_joint_rad;
}

}  // namespace

std::vector<Front> left_fronts(const Path& path, double radius_mm, double slack_mm) {
    const std::size_t n = path.segments.size();
    const Pruned pruned = prune_straight_stretches(path, radius_mm, slack_mm);
    std::vector<Front> fronts;
    fronts.reserve(n);
    bool previous_runs_on = false;
    for (std::size_t i = 0; i < n; ++i) {
        const Segment& s = path.segments[i];
        Front front;
        front.source = static_cast<std::uint32_t>(i);
        if (is_pivot(s, radius_mm, slack_mm) && joins_smoothly(path, i)) continue;  // the front before runs on
        bool here = false;
        if (pruned.line_hidden[i] == 0 && left_front_of(s, radius_mm, slack_mm, front.segment)) {
            if (previous_runs_on && !fronts.empty()) fronts.back().runs_into = fronts.size();
            fronts.push_back(front);
            here = true;
        }
        previous_runs_on = false;
        if (pruned.corner_hidden[i] != 0) continue;
        const bool has_next = i + 1 < n || path.closed;
        if (!has_next) continue;
        const Segment& next = path.segments[(i + 1) % n];
        Front corner;
        corner.from = TracedSegment::From::corner;
        corner.source = front.source;
        if (pruned.corner_cut[i] != 0) {
            corner.segment = join_arc(s.end, pruned.corner_arc[i].from, pruned.corner_arc[i].to);
            if (corner.segment.sweep_rad == 0.0) continue;
            // An end that was not shortened still runs on into its neighbour.
            const double same_mm = pivot_slack * slack_mm;
            if (here && distance(fronts.back().segment.end, corner.segment.start) <= same_mm) {
                fronts.back().runs_into = fronts.size();
            }
            fronts.push_back(corner);
            const Point natural_end = s.end + radius_mm * left_of(tangent_at(next, 0.0));
            previous_runs_on = distance(corner.segment.end, natural_end) <= same_mm;
            continue;
        }
        const double turn = turn_between(s, next);
        if (std::abs(turn) <= smooth_joint_rad) {
            previous_runs_on = here;
            continue;
        }
        const bool spike = std::abs(turn) > pi - smooth_joint_rad;
        if (turn > 0.0 && !spike) continue;
        corner.segment = join_arc(s.end, s.end + radius_mm * left_of(tangent_at(s, 1.0)),
                                  s.end + radius_mm * left_of(tangent_at(next, 0.0)));
        if (corner.segment.sweep_rad == 0.0) continue;
        if (here) fronts.back().runs_into = fronts.size();
        fronts.push_back(corner);
        previous_runs_on = true;
    }
    // The last joint of a closed path runs into the first front, if that one was kept.
    if (path.closed && previous_runs_on && !fronts.empty() && fronts.front().source == 0 &&
        fronts.front().from == TracedSegment::From::segment) {
        fronts.back().runs_into = 0;
    }
    return fronts;
}

namespace {

Front cap_about(Point vertex, Point from_mm, double sweep_rad) {
    Front f;
    f.place = Front::Place::cap;
    f.from = TracedSegment::From::corner;
    f.segment = arc_about(vertex, vertex + from_mm, sweep_rad);
    return f;
}

/// Says that one front runs into another if it ends where that one starts.
void join_if_touching(std::vector<Front>& fronts, std::size_t from, std::size_t into, double slack_mm) {
    if (distance(fronts[from].segment.end, fronts[into].segment.start) <= pivot_slack * slack_mm) {
        fronts[from].runs_into = into;
    }
}

}  // namespace

std::vector<Front> near_fronts(const Path& path, double radius_mm, double slack_mm) {
    std::vector<Front> fronts = left_fronts(path, radius_mm, slack_mm);
    if (path.closed || fronts.empty()) return fronts;
    const std::size_t n = fronts.size();
    const Point leaving = radius_mm * tangent_at(path.segments.back(), 1.0);
    const Point arriving = radius_mm * tangent_at(path.segments.front(), 0.0);
    fronts.push_back(cap_about(path.end(), left_of(leaving), -0.5 * pi));
    fronts.push_back(cap_about(path.start(), -arriving, -0.5 * pi));
    join_if_touching(fronts, n - 1, n, slack_mm);
    join_if_touching(fronts, n + 1, 0, slack_mm);
    return fronts;
}

std::vector<Front> all_fronts(const Path& path, double radius_mm, double slack_mm) {
    std::vector<Front> fronts = left_fronts(path, radius_mm, slack_mm);
    std::vector<Front> back = left_fronts(reversed(path), radius_mm, slack_mm);
    const std::size_t shift = fronts.size();
    for (Front& f : back) {
        f.place = Front::Place::right;
        if (f.runs_into != no_front) f.runs_into += shift;
    }
    fronts.insert(fronts.end(), back.begin(), back.end());
    if (path.closed || shift == 0 || back.empty()) return fronts;
    // The caps close the way around an open path: left fronts, end, right fronts, start.
    const std::size_t after = fronts.size();
    const Point leaving = radius_mm * left_of(tangent_at(path.segments.back(), 1.0));
    const Point arriving = radius_mm * left_of(tangent_at(path.segments.front(), 0.0));
    fronts.push_back(cap_about(path.end(), leaving, -pi));
    fronts.push_back(cap_about(path.start(), -arriving, -pi));
    join_if_touching(fronts, shift - 1, after, slack_mm);
    join_if_touching(fronts, after, shift, slack_mm);
    join_if_touching(fronts, after - 1, after + 1, slack_mm);
    join_if_touching(fronts, after + 1, 0, slack_mm);
    return fronts;
}

}  // namespace seamwright::geometry
