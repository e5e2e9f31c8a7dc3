#include "geometry/path.h"

#include <algorithm>
#include <stdexcept>

#include "arc_sector.h"
#include "rounding.h"

namespace seamwright::geometry {

namespace {

template <class Map>
Path mapped(const Path& path, Map map) {
    Path out;
    out.closed = path.closed;
    out.segments.reserve(path.segments.size());
    for (const Segment& s : path.segments) out.segments.push_back(map(s));
    return out;
}

/// The segment's contribution to the area left of a closed path: its chord's, plus the cap between chord and arc.
double swept_area(const Segment& s, Point about) {
    double area = 0.5 * cross(s.start - about, s.end - about);
    if (s.is_arc()) {
        const double a = s.sweep_rad;
        area += 0.5 * s.radius_mm * s.radius_mm * (a - std::sin(a));
    }
    return area;
}

}  // namespace

Path polyline(std::span<const Point> points, bool closed) {
    Path path;
    path.closed = closed;
    if (points.empty()) return path;
    path.segments.reserve(points.size());
    Point last = points.front();
    for (const Point p : points.subspan(1)) {
        if (p == last) continue;
        path.segments.push_back(line(last, p));
        last = p;
    }
    if (closed && last != points.front()) path.segments.push_back(line(last, points.front()));
    return path;
}

Path circle(Point centre, double radius_mm) {
    Path path;
    path.closed = true;
    const Point right = centre + Point{radius_mm, 0.0};
    const Point left = centre - Point{radius_mm, 0.0};
    Segment upper = arc_about(centre, right, pi);
    Segment lower = arc_about(centre, left, pi);
    upper.end = left;
    lower.end = right;
    path.segments = {upper, lower};
    return path;
}

Path rectangle(Point low, Point high) {
    const std::vector<Point> corners{low, {high.x, low.y}, high, {low.x, high.y}};
    return polyline(corners, true);
}

double length_mm(const Path& path) {
    double sum = 0.0;
    for (const Segment& s : path.segments) sum += length_mm(s);
    return sum;
}

double area_mm2(const Path& path) {
    if (path.empty()) return 0.0;
    double sum = 0.0;
    for (const Segment& s : path.segments) sum += swept_area(s, path.start());
    return sum;
}

Box bounding_box(const Path& path) {
    Box box;
    for (const Segment& s : path.segments) box.add(bounding_box(s));
    return box;
}

Path reversed(const Path& path) {
    Path out;
    out.closed = path.closed;
    out.segments.reserve(path.segments.size());
    for (auto s = path.segments.rbegin(); s != path.segments.rend(); ++s) out.segments.push_back(reversed(*s));
    return out;
}

Path moved(const Path& path, Point by) {
    return mapped(path, [by](Segment s) {
        s.start = s.start + by;
        s.end = s.end + by;
        s.centre = s.centre + by;
        return s;
    });
}

Path scaled(const Path& path, double factor) {
    return mapped(path, [factor](Segment s) {
        s.start = factor * s.start;
        s.end = factor * s.end;
        s.centre = factor * s.centre;
        s.radius_mm *= factor;
        return s;
    });
}

Path turned(const Path& path, Point about, double angle_rad) {
    const double c = std::cos(angle_rad);
    const double s = std::sin(angle_rad);
    const auto turn = [=](Point p) {
        const Point d = p - about;
        return about + Point{c * d.x - s * d.y, s * d.x + c * d.y};
    };
    return mapped(path, [&](Segment seg) {
        seg.start = turn(seg.start);
        seg.end = turn(seg.end);
        seg.centre = turn(seg.centre);
        return seg;
    });
}

Path mirrored(const Path& path) {
    const auto flip = [](Point p) { return Point{p.x, -p.y}; };
    return mapped(path, [&](Segment s) {
        s.start = flip(s.start);
        s.end = flip(s.end);
        s.centre = flip(s.centre);
        s.sweep_rad = -s.sweep_rad;
        return s;
    });
}

Path start_rotated(const Path& path, std::size_t first_segment) {
    Path out = path;
    if (out.empty()) return out;
    const auto shift = static_cast<std::ptrdiff_t>(first_segment % out.segments.size());
    std::rotate(out.segments.begin(), out.segments.begin() + shift, out.segments.end());
    return out;
}

void append(Path& path, const Path& more) {
    path.segments.insert(path.segments.end(), more.segments.begin(), more.segments.end());
}

Path extended(const Path& path, double before_mm, double after_mm) {
    if (path.closed || path.empty()) return path;
    Path out;
    const Point first = tangent_at(path.segments.front(), 0.0);
    const Point last = tangent_at(path.segments.back(), 1.0);
    out.segments.reserve(path.segments.size() + 2);
    if (before_mm > 0.0) out.segments.push_back(line(path.start() - before_mm * first, path.start()));
    append(out, path);
    if (after_mm > 0.0) out.segments.push_back(line(path.end(), path.end() + after_mm * last));
    return out;
}

std::vector<double> running_length_mm(const Path& path) {
    std::vector<double> running;
    running.reserve(path.segments.size() + 1);
    double sum = 0.0;
    running.push_back(sum);
    for (const Segment& s : path.segments) running.push_back(sum += length_mm(s));
    return running;
}

Station station_at(const Path& path, std::span<const double> running_mm, double at_mm) {
    if (path.empty()) return {};
    const auto after = std::upper_bound(running_mm.begin(), running_mm.end(), at_mm);
    const auto found = std::clamp<std::ptrdiff_t>(after - running_mm.begin() - 1, 0,
                                                  static_cast<std::ptrdiff_t>(path.segments.size()) - 1);
    const auto segment = static_cast<std::size_t>(found);
    const double size = running_mm[segment + 1] - running_mm[segment];
    const double u = size > 0.0 ? std::clamp((at_mm - running_mm[segment]) / size, 0.0, 1.0) : 0.0;
    return {segment, u};
}

double length_to(std::span<const double> running_mm, Station s) {
    return running_mm[s.segment] + s.u * (running_mm[s.segment + 1] - running_mm[s.segment]);
}

Point point_at(const Path& path, Station s) {
    return point_at(path.segments[s.segment], s.u);
}
Point tangent_at(const Path& path, Station s) {
    return tangent_at(path.segments[s.segment], s.u);
}

Path part(const Path& path, double from_mm, double to_mm) {
    if (path.empty()) return {};
    return part(path, running_length_mm(path), from_mm, to_mm);
}

Path part(const Path& path, std::span<const double> running_mm, double from_mm, double to_mm) {
    Path out;
    if (path.empty()) return out;
    const double whole = running_mm.back();
    if (path.closed && to_mm < from_mm) {
        out = part(path, running_mm, from_mm, whole);
        append(out, part(path, running_mm, 0.0, to_mm));
        return out;
    }
    const Station from = station_at(path, running_mm, std::max(from_mm, 0.0));
    const Station to = station_at(path, running_mm, std::min(to_mm, whole));
    for (std::size_t i = from.segment; i <= to.segment; ++i) {
        const double u0 = i == from.segment ? from.u : 0.0;
        const double u1 = i == to.segment ? to.u : 1.0;
        if (u1 > u0) out.segments.push_back(part(path.segments[i], u0, u1));
    }
    return out;
}

Farthest farthest(const Path& path, Point towards) {
    Farthest best;
    double reach = -std::numeric_limits<double>::infinity();
    const auto offer = [&](Point p, std::size_t segment, double u) {
        const double here = dot(p, towards);
        if (here > reach) {
            reach = here;
            best = {p, {segment, u}};
        }
    };
    const double size = norm(towards);
    for (std::size_t i = 0; i < path.segments.size(); ++i) {
        const Segment& s = path.segments[i];
        offer(s.start, i, 0.0);
        offer(s.end, i, 1.0);
        if (s.is_arc() && size > 0.0 && in_sector(s, towards)) {
            const Point p = s.centre + (s.radius_mm / size) * towards;
            offer(p, i, fraction_at(s, p));
        }
    }
    return best;
}

namespace {

template <class Measure>
double largest_at_joints(const Path& path, Measure measure) {
    double largest = 0.0;
    const std::size_t n = path.segments.size();
    for (std::size_t i = 0; i + 1 < n; ++i) {
        largest = std::max(largest, measure(path.segments[i], path.segments[i + 1]));
    }
    if (path.closed && n > 0) largest = std::max(largest, measure(path.segments.back(), path.segments.front()));
    return largest;
}

}  // namespace

double largest_break_mm(const Path& path) {
    return largest_at_joints(path, [](const Segment& a, const Segment& b) { return distance(a.end, b.start); });
}

double largest_corner_rad(const Path& path) {
    return largest_at_joints(path, [](const Segment& a, const Segment& b) {
        const Point before = tangent_at(a, 1.0);
        const Point after = tangent_at(b, 0.0);
        return std::abs(std::atan2(cross(before, after), dot(before, after)));
    });
}

std::vector<Point> chords(const Path& path, double sag_mm) {
    if (!(sag_mm > 0.0)) throw std::invalid_argument("chords: the sag must be more than zero");
    std::vector<Point> points;
    if (path.empty()) return points;
    points.push_back(path.start());
    for (const Segment& s : path.segments) {
        if (s.is_arc()) {
            const double most = 2.0 * std::acos(std::max(-1.0, 1.0 - sag_mm / s.radius_mm));
            const double wanted = std::ceil(std::abs(s.sweep_rad) / std::max(most, 1e-6));
            const auto count = static_cast<std::size_t>(std::max(wanted, 1.0));
            for (std::size_t k = 1; k < count; ++k) {
                points.push_back(point_at(s, static_cast<double>(k) / static_cast<double>(count)));
            }
        }
        points.push_back(s.end);
    }
    return points;
}

}  // namespace seamwright::geometry
