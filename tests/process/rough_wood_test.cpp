#include "process/rough_wood.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "geometry/path_index.h"

namespace seamwright::process {
namespace {

TEST(RoughWood, ARectangleGrowsAtItsEndsOnly) {
    const Path longer = longer_at_ends(geometry::rectangle({0.0, 0.0}, {1000.0, 200.0}), {}, 0.0, 34.0);
    const geometry::Box box = geometry::bounding_box(longer);
    EXPECT_NEAR(box.low.x, -34.0, 1e-9);
    EXPECT_NEAR(box.high.x, 1034.0, 1e-9);
    EXPECT_NEAR(box.low.y, 0.0, 1e-9);
    EXPECT_NEAR(box.high.y, 200.0, 1e-9);
    EXPECT_NEAR(geometry::area_mm2(longer), 1068.0 * 200.0, 1e-6);
}

TEST(RoughWood, FibresAcrossMakeItHigher) {
    const Path longer = longer_at_ends(geometry::rectangle({0.0, 0.0}, {1000.0, 200.0}), {}, 0.5 * geometry::pi, 20.0);
    EXPECT_NEAR(geometry::area_mm2(longer), 1000.0 * 240.0, 1e-6);
}

TEST(RoughWood, ASeamIsNoEnd) {
    const Path piece = geometry::rectangle({0.0, 0.0}, {1000.0, 200.0});
    Path seam;  // its right side
    seam.segments = {geometry::reversed(piece.segments[1])};
    const std::array<Path, 1> seams{seam};
    const geometry::Box box = geometry::bounding_box(longer_at_ends(piece, seams, 0.0, 34.0));
    EXPECT_NEAR(box.low.x, -34.0, 1e-9);
    EXPECT_NEAR(box.high.x, 1000.0, 1e-9);
}

// Of a circle the stretches within 60° of the fibres face along them: each is 2 R sin 60° high, so the area grows by
// 4 R sin 60° times the length added.
TEST(RoughWood, ACircleFacesAlongTheFibresOverTwoThirdsOfATurn) {
    for (const double along : {0.0, 0.3, 2.0, -1.2}) {
        const Path disc = geometry::circle({50.0, 20.0}, 300.0);
        const Path longer = longer_at_ends(disc, {}, along, 25.0);
        EXPECT_NEAR(geometry::area_mm2(longer) - geometry::area_mm2(disc),
                    4.0 * 300.0 * std::sin(geometry::pi / 3.0) * 25.0, 1e-6)
            << along;
        EXPECT_LT(geometry::largest_break_mm(longer), 1e-9);
    }
}

TEST(RoughWood, NothingToAdd) {
    const Path piece = geometry::rectangle({0.0, 0.0}, {1000.0, 200.0});
    EXPECT_EQ(longer_at_ends(piece, {}, 0.0, 0.0), piece);
    EXPECT_EQ(longer_at_ends(piece, {}, 0.0, -1.0), piece);
}

// R1 and R2 on turned four-sided pieces, against the projected height of their ends.
RC_GTEST_PROP(RoughWood, HoldsThePieceAndGrowsByTheHeightOfItsEnds, ()) {
    const auto some = [](double low, double high) { return low + (high - low) * *rc::gen::inRange(0, 1001) / 1000.0; };
    const double turn = some(-3.0, 3.0), by = some(1.0, 80.0), slant = some(-40.0, 40.0);
    const std::vector<Point> corners{{0.0, 0.0}, {800.0, 0.0}, {800.0 + slant, 150.0}, {-slant, 150.0}};
    const Path piece = geometry::turned(geometry::polyline(corners, true), {}, turn);
    const Path longer = longer_at_ends(piece, {}, turn, by);
    RC_ASSERT(std::abs(geometry::area_mm2(longer) - geometry::area_mm2(piece) - 2.0 * 150.0 * by) < 1e-5);
    const geometry::PathIndex index(longer);
    for (const Point p : geometry::chords(piece, 1.0)) RC_ASSERT(index.contains(p) || index.distance_mm(p) < 1e-6);
}

}  // namespace
}  // namespace seamwright::process
