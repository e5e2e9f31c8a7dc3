// Outside check of parallel(): the buffer of GEOS (an open-source planar geometry library) around the same polygon.
//
// GEOS flattens round joins and, by its own design, leaves out hollows shallower than 1 % of the distance (measured in
// the table of docs/method.md), so it can only be asked for agreement within that: areas to the perimeter times the
// chord error, places to 1 % of the distance.

#include <gtest/gtest.h>

#include "edges.h"
#include "geometry/parallel.h"
#include "geometry/path_index.h"

#ifdef SEAMWRIGHT_GEOS
#include <geos_c.h>
#endif

namespace seamwright::geometry {
namespace {

#ifdef SEAMWRIGHT_GEOS

/// The outer ring of GEOS's buffer of a polygon (positive: outward), as points.
std::vector<Point> geos_buffer(const Path& polygon, double distance_mm, int chords_a_quarter) {
    GEOSContextHandle_t geos = GEOS_init_r();
    const auto n = static_cast<unsigned>(polygon.segments.size());
    GEOSCoordSequence* coordinates = GEOSCoordSeq_create_r(geos, n + 1, 2);
    for (unsigned i = 0; i <= n; ++i) {
        const Point p = polygon.segments[i % n].start;
        GEOSCoordSeq_setXY_r(geos, coordinates, i, p.x, p.y);
    }
    GEOSGeometry* area = GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, coordinates), nullptr, 0);
    GEOSGeometry* buffer = GEOSBuffer_r(geos, area, distance_mm, chords_a_quarter);
    std::vector<Point> ring;
    if (buffer != nullptr && GEOSGeomTypeId_r(geos, buffer) == GEOS_POLYGON) {
        const GEOSCoordSequence* points = GEOSGeom_getCoordSeq_r(geos, GEOSGetExteriorRing_r(geos, buffer));
        unsigned size = 0;
        GEOSCoordSeq_getSize_r(geos, points, &size);
        for (unsigned i = 0; i + 1 < size; ++i) {
            Point p;
            GEOSCoordSeq_getXY_r(geos, points, i, &p.x, &p.y);
            ring.push_back(p);
        }
    }
    GEOSGeom_destroy_r(geos, buffer);
    GEOSGeom_destroy_r(geos, area);
    GEOS_finish_r(geos);
    return ring;
}

class ParallelAgainstGeos : public ::testing::TestWithParam<double> {};

TEST_P(ParallelAgainstGeos, SameAreaAndPlace) {
    const double d = GetParam();
    // A top 2400 × 600 whose back edge is the wave of the other tests, as a polygon.
    std::vector<Point> points{{0, 0}, {2400, 0}};
    for (int i = 600; i >= 0; --i) points.push_back({4.0 * i, 600 + testing::wave_height(4.0 * i)});
    const Path polygon = polyline(points, true);
    const double perimeter = length_mm(polygon);
    for (const Side side : {Side::right, Side::left}) {
        const Parallel ours = parallel(polygon, side, d);
        ASSERT_EQ(ours.paths.size(), 1u);
        const Path loop = ours.paths[0].path();
        constexpr int chords_a_quarter = 64;
        const std::vector<Point> ring = geos_buffer(polygon, side == Side::right ? d : -d, chords_a_quarter);
        ASSERT_GT(ring.size(), 100u);
        const Path theirs = polyline(ring, true);
        // Sagitta of one chord of the fan.
        const double sag = d * (1.0 - std::cos(0.25 * pi / chords_a_quarter));
        EXPECT_NEAR(std::abs(area_mm2(theirs)), std::abs(area_mm2(loop)), perimeter * (sag + 0.001 * d));
        const PathIndex index(loop);
        const PathIndex their_index(theirs);
        for (const Point p : ring) ASSERT_LE(index.distance_mm(p), 0.01 * d);
        for (const Segment& s : loop.segments) ASSERT_LE(their_index.distance_mm(s.start), 0.01 * d + sag);
    }
}

INSTANTIATE_TEST_SUITE_P(Distances, ParallelAgainstGeos, ::testing::Values(3.0, 12.7, 40.0, 120.0));

#else
TEST(ParallelAgainstGeos, SameAreaAndPlace) {
    GTEST_SKIP() << "GEOS is not installed";
}
#endif

}  // namespace
}  // namespace seamwright::geometry
