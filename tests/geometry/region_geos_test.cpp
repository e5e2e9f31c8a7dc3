// Outside check of split(): GEOS (an open-source planar geometry library) nodes the same outline and curves, drawn as
// chords, and collects the faces. It knows straight lines only, so areas agree within what the chords leave out.

#include <gtest/gtest.h>

#include "split_samples.h"

#ifdef SEAMWRIGHT_GEOS
#include <geos_c.h>

#include <cmath>
#endif

namespace seamwright::geometry {
namespace {

#ifdef SEAMWRIGHT_GEOS

/// GEOS without its global state; everything made is released with it.
class Geos {
  public:
    Geos() : context_(GEOS_init_r()) {}
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;
    ~Geos() {
        for (GEOSGeometry* g : kept_) GEOSGeom_destroy_r(context_, g);
        GEOS_finish_r(context_);
    }

    GEOSGeometry* chain(const std::vector<Point>& points) {
        GEOSCoordSequence* coordinates = GEOSCoordSeq_create_r(context_, static_cast<unsigned>(points.size()), 2);
        for (unsigned i = 0; i < points.size(); ++i) {
            GEOSCoordSeq_setXY_r(context_, coordinates, i, points[i].x, points[i].y);
        }
        return GEOSGeom_createLineString_r(context_, coordinates);
    }

    /// Areas of all bounded faces that the chains enclose, holes taken off, in rising order.
    std::vector<double> faces(std::vector<GEOSGeometry*> chains) {
        GEOSGeometry* lines = keep(GEOSGeom_createCollection_r(context_, GEOS_MULTILINESTRING, chains.data(),
                                                               static_cast<unsigned>(chains.size())));
        const GEOSGeometry* noded = keep(GEOSUnaryUnion_r(context_, lines));
        const GEOSGeometry* polygons = keep(GEOSPolygonize_r(context_, &noded, 1));
        std::vector<double> areas;
        for (int i = 0; i < GEOSGetNumGeometries_r(context_, polygons); ++i) {
            double area = 0.0;
            GEOSArea_r(context_, GEOSGetGeometryN_r(context_, polygons, i), &area);
            areas.push_back(area);
        }
        std::sort(areas.begin(), areas.end());
        return areas;
    }

  private:
    GEOSGeometry* keep(GEOSGeometry* g) {
        kept_.push_back(g);
        return g;
    }

    GEOSContextHandle_t context_;
    std::vector<GEOSGeometry*> kept_;
};

TEST(SplitAgainstGeos, FacesHaveTheSameAreas) {
    constexpr double sag_mm = 1e-3;
    std::size_t compared = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        const testing::Sample sample = testing::random_sample(seed);
        const auto result = split(sample.region, sample.curves);
        ASSERT_TRUE(std::holds_alternative<Split>(result)) << seed;
        const Split& ours = std::get<Split>(result);
        Geos geos;
        std::vector<GEOSGeometry*> chains{geos.chain(chords(sample.region.outer, sag_mm))};
        for (const Path& c : sample.curves) chains.push_back(geos.chain(chords(c, sag_mm)));
        const std::vector<double> theirs = geos.faces(chains);
        std::vector<double> areas;
        double edge_mm = 0.0;
        for (const SplitPiece& p : ours.pieces) areas.push_back(area_mm2(p.region));
        for (const Path& c : sample.curves) edge_mm = std::max(edge_mm, length_mm(c));
        std::sort(areas.begin(), areas.end());
        ASSERT_EQ(areas.size(), theirs.size()) << seed;
        // At most two open curves and a few inlays bound a piece, each off by no more than the sag all along.
        for (std::size_t k = 0; k < areas.size(); ++k) EXPECT_NEAR(areas[k], theirs[k], 4.0 * sag_mm * edge_mm) << seed;
        compared += areas.size();
    }
    EXPECT_GT(compared, 150u);
}

#else

TEST(SplitAgainstGeos, FacesHaveTheSameAreas) {
    GTEST_SKIP() << "GEOS is not installed";
}

#endif

}  // namespace
}  // namespace seamwright::geometry
