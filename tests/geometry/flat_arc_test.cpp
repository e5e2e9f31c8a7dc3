// Crossings of nearly straight arcs, whose centres lie as far away as the sun: the place must be as good as that of a
// line, because the arc is one to rounding.

#include <gtest/gtest.h>

#include "geometry/segment.h"

namespace seamwright::geometry {
namespace {

Segment flat_arc(Point start, Point end, double radius_mm) {
    const Point chord = end - start;
    const double half = std::asin(0.5 * norm(chord) / radius_mm);
    Segment s = line(start, end);
    s.radius_mm = radius_mm;
    s.sweep_rad = 2.0 * half;
    s.centre = midpoint(start, end) + (radius_mm * std::cos(half) / norm(chord)) * left_of(chord);
    return s;
}

class FlatArc : public ::testing::TestWithParam<double> {};

TEST_P(FlatArc, CrossesALineWhereItsChordDoes) {
    const double radius = GetParam();
    const Segment arc = flat_arc({100, 200}, {1300, 260}, radius);
    const Segment across = line({700, 0}, {710, 500});
    const auto found = crossings(arc, across);
    ASSERT_EQ(found.size(), 1u);
    // The true place by bisection on the height over the arc, measured from its start.
    double low = 0.0;
    double high = 1.0;
    for (int k = 0; k < 200; ++k) {
        const double mid = 0.5 * (low + high);
        const Point p = across.start + mid * (across.end - across.start);
        const Point v = arc.start - arc.centre;
        const Point w = p - arc.start;
        (2.0 * dot(v, w) + norm2(w) > 0.0 ? low : high) = mid;
    }
    const Point truth = across.start + low * (across.end - across.start);
    EXPECT_LT(distance(found[0].point, truth), 1e-9);
    EXPECT_LT(distance(point_at(arc, found[0].u), truth), 1e-9);
    const auto swapped = crossings(across, arc);
    ASSERT_EQ(swapped.size(), 1u);
    EXPECT_LT(distance(swapped[0].point, truth), 1e-9);
}

TEST_P(FlatArc, CrossesAnotherOne) {
    const Segment one = flat_arc({100, 200}, {1300, 260}, GetParam());
    const Segment two = flat_arc({720, 0}, {690, 500}, 3.0 * GetParam());
    const auto found = crossings(one, two);
    ASSERT_EQ(found.size(), 1u);
    EXPECT_LT(distance(point_at(one, found[0].u), point_at(two, found[0].v)), 1e-9);
}

INSTANTIATE_TEST_SUITE_P(Radii, FlatArc, ::testing::Values(1e4, 1e6, 1e8, 1e10, 1e12, 6e14));

}  // namespace
}  // namespace seamwright::geometry
