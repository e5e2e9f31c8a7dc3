// Lines and arcs.
//
// Everything about an arc is worked out from its start: v = start − centre is turned by a part of the sweep as
// start + (cos δ − 1) v + sin δ Jv, with cos δ − 1 = −2 sin²(δ/2). The difference from the start is then exact to
// rounding of its own size, so an arc of 100 m radius is as accurate as one of 10 mm. For the same reason the distance
// of a point p from the circle is (2 v·w + w²) / (|p − centre| + radius) with w = p − start, and not the difference of
// two large numbers.

#include "geometry/segment.h"

#include <algorithm>
#include <array>
#include <limits>

#include "arc_sector.h"
#include "crossing.h"
#include "rounding.h"

namespace seamwright::geometry {

namespace {

Point turned_by(Point v, double angle_rad) {
    const double half_sine = std::sin(0.5 * angle_rad);
    const double cos_less_one = -2.0 * half_sine * half_sine;
    return cos_less_one * v + std::sin(angle_rad) * left_of(v);
}

NearestOnSegment nearest_on_line(const Segment& s, Point p) {
    const Point along = s.end - s.start;
    const double square = norm2(along);
    const double u = square > 0.0 ? std::clamp(dot(p - s.start, along) / square, 0.0, 1.0) : 0.0;
    const Point foot = u == 1.0 ? s.end : s.start + u * along;
    return {distance(foot, p), u, foot};
}

NearestOnSegment nearest_on_arc(const Segment& s, Point p) {
    if (in_sector(s, p - s.centre)) {
        const double u = fraction_at(s, p);
        return {std::abs(height_over_circle(s, p)), u, point_at(s, u)};
    }
    const double to_start = distance(s.start, p);
    const double to_end = distance(s.end, p);
    return to_start <= to_end ? NearestOnSegment{to_start, 0.0, s.start} : NearestOnSegment{to_end, 1.0, s.end};
}

/// An arc this many times larger in radius than its coordinates is nearly straight: its centre and radius carry
/// rounding of their own size, more than the coordinates do.
constexpr double nearly_straight = 8.0;

/// Two steps of Newton towards the crossing, on differences from the segments' starts, which remove the rounding of
/// large centres and radii. Fractions may lie beyond the ends.
void polish(const Segment& a, double& u, const Segment& b, double& v) {
    const double length_a = length_mm(a);
    const double length_b = length_mm(b);
    if (length_a == 0.0 || length_b == 0.0) return;
    for (int step = 0; step < 2; ++step) {
        const double on_a = std::clamp(u, 0.0, 1.0);
        const double on_b = std::clamp(v, 0.0, 1.0);
        const Point along_a = tangent_at(a, on_a);
        const Point along_b = tangent_at(b, on_b);
        const double turn = cross(along_a, along_b);
        // Flatter, a step would carry rounding far along the segments.
        if (std::abs(turn) < flattest_sine) return;
        const Point between = point_at(b, on_b) - point_at(a, on_a);
        u = on_a + cross(between, along_b) / turn / length_a;
        v = on_b + cross(between, along_a) / turn / length_b;
    }
}

/// Collects crossings, letting fractions overshoot the ends by rounding only.
class Collector {
  public:
    Collector(const Segment& a, const Segment& b) : a_(a), b_(b) {
        const double size_mm = std::max(largest_coordinate(a), largest_coordinate(b));
        radius_mm_ = std::max(a.radius_mm, b.radius_mm);
        polishes_ = radius_mm_ > nearly_straight * size_mm;
        slack_mm_ = rounding_mm(polishes_ ? size_mm : std::max(size_mm, radius_mm_));
    }

    /// `sine` of the angle at which the two cross: the flatter, the farther rounding shifts the place along them.
    void offer(double u, double v, Point p, double sine = 1.0) {
        const double length_a = std::max(length_mm(a_), slack_mm_);
        const double length_b = std::max(length_mm(b_), slack_mm_);
        if (polishes_) {
            // Only a place that rounding may have moved off the segments is worth bringing back.
            const double moved_mm = rounding_mm(radius_mm_) / flattest_sine;
            if (beyond(u, length_a, moved_mm) || beyond(v, length_b, moved_mm)) return;
            polish(a_, u, b_, v);
            p = point_at(b_, v);
        }
        const double over_mm = slack_mm_ / std::max(sine, flattest_sine);
        if (beyond(u, length_a, over_mm) || beyond(v, length_b, over_mm)) return;
        // Two offers of one place, each brought back to it in two steps, may still differ a little.
        const double same_mm = (polishes_ ? 1e3 : 2.0) * slack_mm_;
        for (const Crossing& known : found_) {
            if (distance(known.point, p) <= same_mm) return;
        }
        if (found_.size == found_.items.size()) return;
        found_.items[found_.size++] = {std::clamp(u, 0.0, 1.0), std::clamp(v, 0.0, 1.0), p};
    }

    CrossingList take() {
        // At most four items: insertion, because GCC 12 sees a false overrun in std::sort on so small an array.
        for (std::size_t i = 1; i < found_.size; ++i) {
            const Crossing item = found_.items[i];
            std::size_t at = i;
            for (; at > 0 && item.u < found_.items[at - 1].u; --at) found_.items[at] = found_.items[at - 1];
            found_.items[at] = item;
        }
        return found_;
    }

  private:
    /// The fraction lies before the start or behind the end by more than that.
    static bool beyond(double u, double length, double by_mm) {
        return u * length < -by_mm || (u - 1.0) * length > by_mm;
    }

    const Segment& a_;
    const Segment& b_;
    bool polishes_ = false;
    double radius_mm_ = 0.0;
    double slack_mm_ = 0.0;
    CrossingList found_;
};

/// Fraction of the segment at which a point on its line or circle lies; beyond the ends it is < 0 or > 1.
double fraction_of(const Segment& s, Point p) {
    if (s.is_arc()) return open_fraction_at(s, p);
    const Point along = s.end - s.start;
    const double square = norm2(along);
    return square > 0.0 ? dot(p - s.start, along) / square : 0.0;
}

/// Both lie on one line or one circle: the shared stretch is given by those ends that lie on the other.
void offer_shared(const Segment& a, const Segment& b, double slack_mm, Collector& to) {
    for (const double u : {0.0, 1.0}) {
        const Point p = point_at(a, u);
        if (nearest(b, p).distance_mm <= slack_mm) to.offer(u, fraction_of(b, p), p);
    }
    for (const double v : {0.0, 1.0}) {
        const Point p = point_at(b, v);
        if (nearest(a, p).distance_mm <= slack_mm) to.offer(fraction_of(a, p), v, p);
    }
}

void line_line(const Segment& a, const Segment& b, double slack_mm, Collector& to) {
    const Point along_a = a.end - a.start;
    const Point along_b = b.end - b.start;
    const Point between = b.start - a.start;
    const double turn = cross(along_a, along_b);
    const double size = norm(along_a) * norm(along_b);
    if (std::abs(turn) <= parallel_turn * size) {
        offer_shared(a, b, slack_mm, to);
        return;
    }
    const double u = cross(between, along_b) / turn;
    const double v = cross(between, along_a) / turn;
    to.offer(u, v, a.start + u * along_a, std::abs(turn) / size);
}

void line_arc(const Segment& l, const Segment& arc, double slack_mm, Collector& to, bool swapped) {
    const Point along = l.end - l.start;
    const double size = norm(along);
    if (size == 0.0) return;
    const Point e = along / size;
    const Point to_centre = arc.centre - l.start;
    const double foot = dot(to_centre, e);
    const double height = cross(e, to_centre);
    const double beyond = std::abs(height) - arc.radius_mm;
    if (beyond > slack_mm) return;
    // (r − h)(r + h) keeps its accuracy near tangency where r² − h² does not.
    const double square = (arc.radius_mm - std::abs(height)) * (arc.radius_mm + std::abs(height));
    const double half = square > 0.0 ? std::sqrt(square) : 0.0;
    for (const double at : {foot - half, foot + half}) {
        const Point p = l.start + at * e;
        const double u = at / size;
        const double v = open_fraction_at(arc, p);
        const double sine = half / arc.radius_mm;
        swapped ? to.offer(v, u, p, sine) : to.offer(u, v, p, sine);
    }
}

/// False when a place on the arc's circle lies beyond its ends by more than `over_mm`, found without trigonometry. True
/// says nothing.
bool may_lie_on(const Segment& arc, Point p, double over_mm) {
    constexpr double short_sweep = 1.0;  // rad: beyond the ends of shorter arcs the sine still grows over a half radian
    if (std::abs(arc.sweep_rad) > short_sweep) return true;
    const Point d = p - arc.centre;
    const double sign = arc.sweep_rad > 0.0 ? 1.0 : -1.0;
    // The sine of a turn is not less than 0.8 times the turn there.
    const double least = -over_mm * arc.radius_mm;
    return sign * cross(arc.start - arc.centre, d) >= least && sign * cross(d, arc.end - arc.centre) >= least &&
           dot(arc.start - arc.centre, d) > 0.0;
}

void arc_arc(const Segment& a, const Segment& b, double slack_mm, Collector& to) {
    const Point between = b.centre - a.centre;
    const double apart = norm(between);
    const double r_a = a.radius_mm;
    const double r_b = b.radius_mm;
    if (apart <= slack_mm) {
        if (std::abs(r_a - r_b) <= slack_mm) offer_shared(a, b, slack_mm, to);
        return;
    }
    if (apart > r_a + r_b + slack_mm || apart < std::abs(r_a - r_b) - slack_mm) return;
    const double along = r_a == r_b ? 0.5 * apart : 0.5 * (apart + (r_a - r_b) * ((r_a + r_b) / apart));
    const double square = (r_a - along) * (r_a + along);
    const double half = square > 0.0 ? std::sqrt(square) : 0.0;
    const double sine = (apart / r_a) * (half / r_b);
    const double over_mm = 2.0 * slack_mm / std::max(sine, flattest_sine);
    const Point middle = a.centre + (along / apart) * between;
    const Point side = (half / apart) * left_of(between);
    for (const Point p : {middle + side, middle - side}) {
        if (!may_lie_on(a, p, over_mm) || !may_lie_on(b, p, over_mm)) continue;
        to.offer(open_fraction_at(a, p), open_fraction_at(b, p), p, sine);
    }
}

}  // namespace

Segment line(Point start, Point end) {
    Segment s;
    s.start = start;
    s.end = end;
    return s;
}

Segment arc_about(Point centre, Point start, double sweep_rad) {
    Segment s;
    s.start = start;
    s.end = start + turned_by(start - centre, sweep_rad);
    if (sweep_rad == 0.0) return line(start, start);
    s.centre = centre;
    s.radius_mm = distance(start, centre);
    s.sweep_rad = sweep_rad;
    if (s.radius_mm == 0.0) return line(start, start);
    return s;
}

Segment arc_from_heading(Point start, double heading_rad, Point end) {
    const Point chord = end - start;
    const double size = norm(chord);
    if (size == 0.0) return line(start, end);
    const Point direction = unit(heading_rad);
    const double half_turn = std::atan2(cross(direction, chord), dot(direction, chord));
    // The rise is a quarter of chord × half turn for flat arcs; below rounding it is a line.
    const double rounding = rounding_mm(std::max({std::abs(start.x), std::abs(start.y), size}));
    if (0.25 * size * std::abs(half_turn) <= rounding) return line(start, end);
    const double radius = 0.5 * size / std::sin(std::abs(half_turn));
    Segment s;
    s.start = start;
    s.end = end;
    s.radius_mm = radius;
    s.sweep_rad = 2.0 * half_turn;
    s.centre = start + (half_turn > 0.0 ? radius : -radius) * left_of(direction);
    return s;
}

double length_mm(const Segment& s) {
    return s.is_line() ? distance(s.start, s.end) : s.radius_mm * std::abs(s.sweep_rad);
}

double curvature(const Segment& s) {
    if (s.is_line()) return 0.0;
    return s.sweep_rad > 0.0 ? 1.0 / s.radius_mm : -1.0 / s.radius_mm;
}

Point point_at(const Segment& s, double u) {
    if (u <= 0.0) return s.start;
    if (u >= 1.0) return s.end;
    if (s.is_line()) return s.start + u * (s.end - s.start);
    return s.start + turned_by(s.start - s.centre, u * s.sweep_rad);
}

Point tangent_at(const Segment& s, double u) {
    if (s.is_line()) {
        const Point along = s.end - s.start;
        const double size = norm(along);
        return size > 0.0 ? along / size : Point{1.0, 0.0};
    }
    Point out = s.start - s.centre;
    if (u == 1.0) {
        out = s.end - s.centre;
    } else if (u != 0.0) {
        out = out + turned_by(out, u * s.sweep_rad);
    }
    const Point along = s.sweep_rad > 0.0 ? left_of(out) : right_of(out);
    return along / norm(along);
}

double heading_at(const Segment& s, double u) {
    return heading(tangent_at(s, u));
}

Segment reversed(const Segment& s) {
    Segment r = s;
    r.start = s.end;
    r.end = s.start;
    r.sweep_rad = -s.sweep_rad;
    return r;
}

Segment part(const Segment& s, double u0, double u1) {
    Segment p = s;
    p.start = point_at(s, u0);
    p.end = point_at(s, u1);
    if (s.is_arc()) {
        p.sweep_rad = s.sweep_rad * (std::min(u1, 1.0) - std::max(u0, 0.0));
        if (p.sweep_rad == 0.0) return line(p.start, p.end);
    }
    return p;
}

Box bounding_box(const Segment& s) {
    Box box;
    box.add(s.start);
    box.add(s.end);
    if (s.is_arc()) {
        constexpr std::array<Point, 4> axes{Point{1, 0}, Point{0, 1}, Point{-1, 0}, Point{0, -1}};
        for (const Point axis : axes) {
            if (in_sector(s, axis)) box.add(s.centre + s.radius_mm * axis);
        }
    }
    return box;
}

NearestOnSegment nearest(const Segment& s, Point p) {
    return s.is_line() ? nearest_on_line(s, p) : nearest_on_arc(s, p);
}

CrossingList meet(const Segment& a, const Segment& b) {
    const double slack_mm = rounding_mm(std::max(largest_number(a), largest_number(b)));
    Collector found(a, b);
    if (a.is_line() && b.is_line()) {
        line_line(a, b, slack_mm, found);
    } else if (a.is_line()) {
        line_arc(a, b, slack_mm, found, false);
    } else if (b.is_line()) {
        line_arc(b, a, slack_mm, found, true);
    } else {
        arc_arc(a, b, slack_mm, found);
    }
    return found.take();
}

std::vector<Crossing> crossings(const Segment& a, const Segment& b) {
    const CrossingList found = meet(a, b);
    return {found.begin(), found.end()};
}

}  // namespace seamwright::geometry
