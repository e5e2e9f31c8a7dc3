// Splicing: inward joints of a dense polyline.
//
// A smooth curve given as very many points turns by a hair at each. On its hollow side the fronts of neighbouring lines
// then cross at an angle so flat that the general step cannot place the crossing among the joints. Here the place is
// known beforehand: at distance t = R tan(τ/2) from both ends. From there to its end, each front is nearer than R to
// the other line (its foot lies between 0 and R sin τ along it, its height is R − (t − s) sin τ), so cutting both there
// loses nothing that counts.

#include <algorithm>
#include <cmath>

#include "front.h"

namespace seamwright::geometry {

namespace {

bool is_smooth(Point before, Point after) {
    return std::abs(cross(before, after)) <= smooth_joint_rad * norm(before) * norm(after) && dot(before, after) > 0.0;
}

bool is_line_front(const Front& f) {
    return f.from == TracedSegment::From::segment && f.segment.is_line();
}

/// Neighbours on the source, or with one arc between them that was too tight to leave a front and that both run into
/// smoothly. An arc with a front of its own goes on between the two; beside a corner the triangle below has no equal
/// sides.
bool follows(const Front& a, const Front& b, const Path& path, double radius_mm) {
    const std::size_t n = path.segments.size();
    const std::size_t step = (b.source + n - a.source) % n;
    if (step == 1) return true;
    const Segment& arc = path.segments[(a.source + 1) % n];
    if (step != 2 || !arc.is_arc() || arc.sweep_rad <= 0.0 || arc.radius_mm > radius_mm) return false;
    const Point before = path.segments[a.source].end - path.segments[a.source].start;
    const Point after = path.segments[b.source].end - path.segments[b.source].start;
    return is_smooth(before, tangent_at(arc, 0.0)) && is_smooth(tangent_at(arc, 1.0), after);
}

void splice(Front& a, Front& b, std::size_t index_of_b, double slack_mm) {
    if (distance(a.segment.end, b.segment.start) <= slack_mm) {
        a.runs_into = index_of_b;
        return;
    }
    const double length_a = length_mm(a.segment);
    const double length_b = length_mm(b.segment);
    const Point along_a = (a.segment.end - a.segment.start) / length_a;
    const Point along_b = (b.segment.end - b.segment.start) / length_b;
    const double turn = cross(along_a, along_b);
    // Sharper joints are crossings like any other.
    constexpr double flat_turn = 0.1;
    if (turn <= 0.0 || turn > flat_turn || dot(along_a, along_b) <= 0.0) return;
    // The two ends and the meeting place make a triangle with equal sides, also around a symmetric arc between. Its
    // base is known to rounding, so the sides are too, however flat the joint.
    const Point between = b.segment.start - a.segment.end;
    if (dot(between, along_a) > 0.0) return;
    const double back = norm(between) / (1.0 + dot(along_a, along_b)) * std::sqrt(0.5 * (1.0 + dot(along_a, along_b)));
    if (back >= length_a || back >= length_b) return;
    const Point meeting = a.segment.end - back * along_a;
    a.u1 -= (a.u1 - a.u0) * back / length_a;
    b.u0 += (b.u1 - b.u0) * back / length_b;
    a.segment.end = meeting;
    b.segment.start = meeting;
    a.runs_into = index_of_b;
}

}  // namespace

void splice_flat_joints(std::vector<Front>& fronts, const Path& path, double radius_mm, double slack_mm) {
    const std::size_t n = fronts.size();
    if (n < 2) return;
    // Where the path doubles back, fronts of other stretches may stand between the two.
    constexpr std::size_t between = 4;
    for (std::size_t k = 0; k < n; ++k) {
        Front& a = fronts[k];
        if (a.runs_into != no_front || a.place != Front::Place::left || !is_line_front(a)) continue;
        for (std::size_t step = 1; step <= std::min(between, n - 1); ++step) {
            if (k + step >= n && !path.closed) break;
            const std::size_t next = (k + step) % n;
            Front& b = fronts[next];
            if (b.place != Front::Place::left || !is_line_front(b) || !follows(a, b, path, radius_mm)) continue;
            splice(a, b, next, slack_mm);
            break;
        }
    }
}

}  // namespace seamwright::geometry
