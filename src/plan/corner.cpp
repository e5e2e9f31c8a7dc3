#include "corner.h"

#include <cmath>

#include "geometry/parallel.h"
#include "geometry/path_index.h"

namespace seamwright::plan {
namespace {

using geometry::Path;
using geometry::Point;
using geometry::Side;

double place_mm(const Path& path, const geometry::Station& s) {
    return geometry::length_to(geometry::running_length_mm(path), s);
}

geometry::Segment arc(Point from, Point to, Point centre, double radius_mm, double sweep_rad) {
    geometry::Segment s;
    s.start = from;
    s.end = to;
    s.centre = centre;
    s.radius_mm = radius_mm;
    s.sweep_rad = sweep_rad;
    return s;
}

std::optional<Rounding> round_straight(const Path& before, const Path& after, double radius_mm) {
    const geometry::Segment& a = before.segments.back();
    const geometry::Segment& b = after.segments.front();
    if (!a.is_line() || !b.is_line()) return std::nullopt;
    const Point u = geometry::tangent_at(a, 1.0);
    const Point v = geometry::tangent_at(b, 0.0);
    const double sine = geometry::cross(u, v);
    const double tangent_mm = radius_mm * std::abs(sine) / (1.0 + geometry::dot(u, v));
    if (tangent_mm > geometry::length_mm(a) || tangent_mm > geometry::length_mm(b)) return std::nullopt;
    const Point from = a.end - tangent_mm * u;
    const Point to = b.start + tangent_mm * v;
    const Point centre = from + radius_mm * (sine > 0.0 ? geometry::left_of(u) : geometry::right_of(u));
    return Rounding{geometry::length_mm(before) - tangent_mm, tangent_mm,
                    arc(from, to, centre, radius_mm, std::atan2(sine, geometry::dot(u, v)))};
}

}  // namespace

std::optional<Rounding> round_corner(const Path& before, const Path& after, double radius_mm) {
    if (const auto straight = round_straight(before, after, radius_mm)) return straight;
    const Point u = geometry::tangent_at(before.segments.back(), 1.0);
    const Point v = geometry::tangent_at(after.segments.front(), 0.0);
    const Side side = geometry::cross(u, v) > 0.0 ? Side::left : Side::right;
    const auto first = geometry::parallel(before, side, radius_mm);
    const auto second = geometry::parallel(after, side, radius_mm);
    const geometry::PathIndex on_before(before), on_after(after);
    std::optional<Rounding> nearest;
    for (const auto& a : first.paths) {
        for (const auto& b : second.paths) {
            const Path path_a = a.path(), path_b = b.path();
            const geometry::PathIndex index_a(path_a), index_b(path_b);
            for (const auto& meeting : geometry::crossings(index_a, index_b)) {
                const auto from = on_before.nearest(meeting.point);
                const auto to = on_after.nearest(meeting.point);
                const double before_mm = place_mm(before, from.at);
                if (nearest && nearest->before_mm >= before_mm) continue;
                const double turn = geometry::wrap_pi(geometry::heading(to.point - meeting.point) -
                                                      geometry::heading(from.point - meeting.point));
                nearest = Rounding{before_mm, place_mm(after, to.at),
                                   arc(from.point, to.point, meeting.point, radius_mm, turn)};
            }
        }
    }
    return nearest;
}

}  // namespace seamwright::plan
