#pragma once

#include <vector>

#include "geometry/point.h"

namespace seamwright::geometry {

/// One element of a path: a straight line, or a circular arc of less than a full turn.
///
/// An arc keeps its centre and radius beside its end points, so that a parallel of it is concentric to the last bit.
/// The redundancy is deliberate: the end points are authoritative for joining, centre and radius for everything else.
struct Segment {
    Point start;
    Point end;
    Point centre;            ///< arcs only
    double radius_mm = 0.0;  ///< arcs only; 0 marks a straight line
    double sweep_rad = 0.0;  ///< arcs only: signed turn from start to end, + counter-clockwise, 0 < |sweep| < 2 pi

    bool is_line() const { return radius_mm == 0.0; }
    bool is_arc() const { return radius_mm != 0.0; }

    friend bool operator==(const Segment&, const Segment&) = default;
};

Segment line(Point start, Point end);

/// The arc from `start` along `sweep_rad` about `centre`; its end point is computed.
/// A sweep of no turn gives a line of no length.
Segment arc_about(Point centre, Point start, double sweep_rad);

/// The arc that leaves `start` with direction `heading_rad` and reaches `end`; a line when `end` lies straight ahead
/// (so straight that the arc's rise would be below rounding of its coordinates).
Segment arc_from_heading(Point start, double heading_rad, Point end);

double length_mm(const Segment& s);
/// 1/radius, positive when the segment turns left (counter-clockwise), 0 for a line.
double curvature(const Segment& s);

/// The place at fraction u in [0, 1] of the segment's length.
Point point_at(const Segment& s, double u);
/// Unit tangent in the direction of travel at fraction u.
Point tangent_at(const Segment& s, double u);
/// Direction of travel at fraction u, in radians.
double heading_at(const Segment& s, double u);

Segment reversed(const Segment& s);
/// The part between fractions u0 < u1. Ends at 0 and 1 are kept to the last bit.
Segment part(const Segment& s, double u0, double u1);
Box bounding_box(const Segment& s);

struct NearestOnSegment {
    double distance_mm = 0.0;
    double u = 0.0;
    Point point;
};
NearestOnSegment nearest(const Segment& s, Point p);

/// Where two segments meet: fractions on each. Tangential contact is reported once; a shared stretch (overlapping
/// lines, arcs of one circle) is reported by its two ends.
struct Crossing {
    double u = 0.0;
    double v = 0.0;
    Point point;
};
std::vector<Crossing> crossings(const Segment& a, const Segment& b);

}  // namespace seamwright::geometry
