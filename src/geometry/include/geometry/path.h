#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "geometry/segment.h"

namespace seamwright::geometry {

/// A chain of lines and arcs, each starting where the one before ends (to rounding). A closed path ends where it
/// starts. Closed paths that bound a region run counter-clockwise: the region lies on the left.
struct Path {
    std::vector<Segment> segments;
    bool closed = false;

    bool empty() const { return segments.empty(); }
    Point start() const { return segments.front().start; }
    Point end() const { return segments.back().end; }

    friend bool operator==(const Path&, const Path&) = default;
};

/// Straight pieces through the points; repeated points are dropped. Closed: the last point is joined to the first.
Path polyline(std::span<const Point> points, bool closed = false);
/// A full circle, counter-clockwise, as two half arcs starting at angle 0.
Path circle(Point centre, double radius_mm);
Path rectangle(Point low, Point high);

double length_mm(const Path& path);
/// Signed area of a closed path, exact for arcs; positive when counter-clockwise.
double area_mm2(const Path& path);
Box bounding_box(const Path& path);

Path reversed(const Path& path);
Path moved(const Path& path, Point by);
Path scaled(const Path& path, double factor);
Path turned(const Path& path, Point about, double angle_rad);
/// Mirrored in the line y = 0; a closed path comes out with its direction of travel turned too.
Path mirrored(const Path& path);
/// A closed path starting at another of its segments.
Path start_rotated(const Path& path, std::size_t first_segment);
/// Appends `more`, which begins where `path` ends.
void append(Path& path, const Path& more);

/// An open path with straight run-in and run-out along its end tangents.
Path extended(const Path& path, double before_mm, double after_mm);

/// A place on a path. `at_mm` is the length from the start.
struct Station {
    std::size_t segment = 0;
    double u = 0.0;
};
/// Lengths from the start to the start of each segment, and the whole length last: size()+1 entries.
std::vector<double> running_length_mm(const Path& path);
Station station_at(const Path& path, std::span<const double> running_mm, double at_mm);
/// The way back: the length from the start to a station.
double length_to(std::span<const double> running_mm, Station s);
Point point_at(const Path& path, Station s);
Point tangent_at(const Path& path, Station s);
/// The stretch of an open path between two lengths from its start; on a closed path `to` may be before `from`.
Path part(const Path& path, double from_mm, double to_mm);
/// The same where the running lengths of the path are at hand.
Path part(const Path& path, std::span<const double> running_mm, double from_mm, double to_mm);

struct Farthest {
    Point point;
    Station at;
};
/// The point of the path that lies farthest in direction `towards` (need not be a unit vector): an exact extreme,
/// arcs included.
Farthest farthest(const Path& path, Point towards);

/// Largest distance between the end of one segment and the start of the next (and of last to first when closed).
double largest_break_mm(const Path& path);
/// Largest change of direction at a joint, in radians; 0 for a path without corners.
double largest_corner_rad(const Path& path);

/// Chords that stay within `sag_mm` of the path; end points of segments are kept.
std::vector<Point> chords(const Path& path, double sag_mm);

}  // namespace seamwright::geometry
