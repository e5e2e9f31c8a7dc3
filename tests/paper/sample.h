#pragma once

#include <initializer_list>
#include <string>

#include "geometry/path.h"
#include "paper/drawing.h"

namespace seamwright::paper::test {

inline DrawnPath stroked(const Path& path, double width_mm = 0.25) {
    DrawnPath p;
    p.path = path;
    p.stroke.width_mm = width_mm;
    return p;
}

inline Path straight_path(Point a, Point b) {
    Path p;
    p.segments.push_back(geometry::line(a, b));
    return p;
}

/// Five quarter bends of different radius, left and right, and a straight end: 1.6 m long, invented.
inline Path bends(Point from = {40.0, 30.0}) {
    Path p;
    double heading = 0.7;
    Point at = from;
    double sign = -1.0;
    for (const double radius : {420.0, 310.0, 275.5, 500.25, 333.3}) {
        const Point centre = at + sign * radius * geometry::left_of(geometry::unit(heading));
        p.segments.push_back(geometry::arc_about(centre, at, sign * 1.4));
        at = p.end();
        heading += sign * 1.4;
        sign = -sign;
    }
    p.segments.push_back(geometry::line(at, at + 120.0 * geometry::unit(heading)));
    return p;
}

inline Drawing sample(const std::string& title = "A sample, invented") {
    Drawing d;
    d.title = title;
    d.paths.push_back(stroked(bends()));
    d.paths.push_back(stroked(geometry::circle({300.0, 100.0}, 60.0)));
    d.texts.push_back({{300.0, 100.0}, "A & B < C", 5.0, 0.3, Text::Anchor::middle, true});
    return d;
}

}  // namespace seamwright::paper::test
