#pragma once

#include <algorithm>
#include <cmath>

#include "arc_sector.h"
#include "geometry/segment.h"

// Squares of distances, for searches that only compare them.

namespace seamwright::geometry {

inline double square_distance(const Box& b, Point p) {
    const double dx = std::max({b.low.x - p.x, 0.0, p.x - b.high.x});
    const double dy = std::max({b.low.y - p.y, 0.0, p.y - b.high.y});
    return dx * dx + dy * dy;
}

inline double square_distance(const Box& a, const Box& b) {
    const double dx = std::max({a.low.x - b.high.x, 0.0, b.low.x - a.high.x});
    const double dy = std::max({a.low.y - b.high.y, 0.0, b.low.y - a.high.y});
    return dx * dx + dy * dy;
}

inline double square_distance_to_line(const Segment& s, Point p) {
    const Point along = s.end - s.start;
    const Point to = p - s.start;
    const double square = norm2(along);
    const double at = dot(to, along);
    if (at <= 0.0) return norm2(to);
    if (at >= square) return norm2(p - s.end);
    const double height = cross(along, to);
    return height * height / square;
}

inline double square_distance_to(const Segment& s, Point p) {
    if (s.is_line()) return square_distance_to_line(s, p);
    if (in_sector(s, p - s.centre)) {
        const double height = height_over_circle(s, p);
        return height * height;
    }
    return std::min(norm2(p - s.start), norm2(p - s.end));
}

}  // namespace seamwright::geometry
