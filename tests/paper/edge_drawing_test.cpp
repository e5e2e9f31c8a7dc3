// The edge in cross-section: what is drawn is what is routed.
#include "edge_drawing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "geometry/path.h"

namespace seamwright::paper {
namespace {

using process::EdgeProfile;
using Kind = EdgeProfile::Kind;

std::vector<const DrawnPath*> paths(const Drawing& drawing, const std::string& id) {
    std::vector<const DrawnPath*> out;
    for (const DrawnPath& path : drawing.paths)
        if (path.id == id) out.push_back(&path);
    return out;
}
EdgeSection section_of(EdgeProfile top, EdgeProfile underside) {
    EdgeSection out;
    out.shape = {44.0, top, underside};
    return out;
}
Drawing drawn_section(const EdgeSection& section, double n = 1.0) {
    Drawing out;
    draw_edge_section(out, section, 105.0, 100.0, n);
    return out;
}

struct Taken {
    EdgeProfile profile;
    double mm2 = 0.0;  ///< off the section of a square corner
};

// Elementary geometry: a square less a quarter disc, half a square, a quarter disc.
TEST(EdgeDrawing, LacksWhatTheCuttersTake) {
    const double pi = 3.14159265358979323846;
    const std::vector<Taken> all{{{Kind::square, 0.0}, 0.0},
                                 {{Kind::round_over, 12.0}, 144.0 - 0.25 * pi * 144.0},
                                 {{Kind::chamfer, 5.0}, 12.5},
                                 {{Kind::cove, 8.0}, 0.25 * pi * 64.0}};
    for (const Taken& top : all) {
        for (const Taken& underside : all) {
            const auto square = drawn_section(section_of({Kind::square, 0.0}, {Kind::square, 0.0}));
            const auto routed = drawn_section(section_of(top.profile, underside.profile));
            EXPECT_NEAR(geometry::area_mm2(paths(square, "edge wood").at(0)->path) -
                            geometry::area_mm2(paths(routed, "edge wood").at(0)->path),
                        top.mm2 + underside.mm2, 1e-9);
            const std::size_t rims = (top.mm2 > 0.0 ? 1U : 0U) + (underside.mm2 > 0.0 ? 1U : 0U);
            EXPECT_EQ(paths(routed, "edge off").size(), 2 * rims);
        }
    }
}

TEST(EdgeDrawing, ItsSizesAreToScale) {
    auto section = section_of({Kind::round_over, 12.0}, {Kind::chamfer, 3.0});
    section.build_up = EdgeSection::BuildUp{20.0, 60.0};
    for (const double n : {1.0, 2.0}) {
        const auto drawing = drawn_section(section, n);
        const auto long_mm = [&](const char* id) { return n * geometry::length_mm(paths(drawing, id).at(0)->path); };
        EXPECT_NEAR(long_mm("edge size top"), 12.0, 1e-9);
        EXPECT_NEAR(long_mm("edge size underside"), 3.0, 1e-9);
        EXPECT_NEAR(long_mm("edge size upright"), 29.0, 1e-9);
        EXPECT_NEAR(long_mm("edge size thickness"), 44.0, 1e-9);
        EXPECT_NEAR(long_mm("edge size joint"), 24.0, 1e-9);
        EXPECT_NEAR(long_mm("edge joint"), 60.0, 1e-9);
        EXPECT_NEAR(long_mm("edge size build-up"), 60.0, 1e-9);
    }
}

TEST(EdgeDrawing, StaysWithinItsHeightAndTheWidthItWasScaledTo) {
    constexpr double wide_mm = 180.0, highest_mm = 110.0;
    for (const double thickness_mm : {12.0, 44.0, 90.0, 140.0}) {
        for (const bool built : {false, true}) {
            auto section = section_of({Kind::cove, 3.0}, {Kind::round_over, 3.0});
            section.shape.thickness_mm = thickness_mm;
            if (built) section.build_up = EdgeSection::BuildUp{0.5 * thickness_mm, 130.0};
            const double n = edge_section_n(section, wide_mm, highest_mm);
            const Box box = drawn_section(section, n).box();
            EXPECT_GE(box.low.y, 100.0);
            EXPECT_LE(box.high.y, 100.0 + edge_section_height_mm(section, n));
            EXPECT_GE(box.low.x, 105.0 - 0.5 * wide_mm);
            EXPECT_LE(box.high.x, 105.0 + 0.5 * wide_mm);
            // At full size wherever it can be.
            if (thickness_mm < 90.0 && !built) {
                EXPECT_EQ(n, 1.0);
            }
        }
    }
}

}  // namespace
}  // namespace seamwright::paper
