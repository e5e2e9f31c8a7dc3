#include <gtest/gtest.h>

#include "geometry/path.h"

namespace seamwright::geometry {
namespace {

// Found with a closed fair curve through three pins, which is a circle of two half arcs: the middle of a half turn lies
// across from + to, and that sum is only rounding. Every start angle has its own rounding, so many are tried.
TEST(HalfTurn, EveryPointOfACircleIsOnOneOfItsHalves) {
    constexpr int starts = 500;
    constexpr int places = 24;
    for (int i = 0; i < starts; ++i) {
        const Point centre{3.7 * i, -1.3 * i};
        const Point start = centre + 200.0 * unit(0.0137 * i);
        for (const double half : {pi, -pi}) {
            const Segment first = arc_about(centre, start, half);
            Segment second = arc_about(centre, first.end, half);
            second.end = start;
            for (int j = 0; j < places; ++j) {
                const Point p = centre + 200.0 * unit(2.0 * pi * j / places + 0.1);
                const double off = std::fmin(nearest(first, p).distance_mm, nearest(second, p).distance_mm);
                ASSERT_LT(off, 1e-9) << "start " << i << ", place " << j;
            }
        }
    }
}

}  // namespace
}  // namespace seamwright::geometry
