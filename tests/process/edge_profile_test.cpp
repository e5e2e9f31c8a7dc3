#include "process/edge_profile.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::pi;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using Kind = EdgeProfile::Kind;

EdgeShape shape(double thickness_mm, EdgeProfile top, EdgeProfile underside = {}) {
    return {thickness_mm, top, underside};
}

TEST(EdgeProfile, SizesAndNames) {
    EXPECT_NEAR(girth_mm({Kind::round_over, 10.0}), 15.70796326794897, 1e-12);
    EXPECT_NEAR(girth_mm({Kind::cove, 10.0}), 15.70796326794897, 1e-12);
    EXPECT_NEAR(girth_mm({Kind::chamfer, 10.0}), 14.14213562373095, 1e-12);
    EXPECT_EQ(girth_mm({}), 0.0);
    for (const Kind kind : {Kind::square, Kind::round_over, Kind::chamfer, Kind::cove})
        EXPECT_EQ(profile_named(says(kind)), kind);
    EXPECT_FALSE(profile_named("ogee"));
}

TEST(ShorterPerMm, CircleAndRectangle) {
    EXPECT_NEAR(shorter_per_mm(geometry::circle({5.0, 5.0}, 300.0)), geometry::two_pi, 1e-12);
    EXPECT_NEAR(shorter_per_mm(geometry::rectangle({0.0, 0.0}, {1200.0, 700.0})), 8.0, 1e-12);
    EXPECT_THROW(shorter_per_mm(geometry::polyline(std::vector<geometry::Point>{{0, 0}, {1, 0}})),
                 std::invalid_argument);
}

// Solids of revolution with known surfaces (Archimedes: the sphere 4 π r²; frustum of a cone π (R + r) s; a quarter of
// a torus's inside, by Pappus: π/2 × r × 2 π (R − 2 r / π)).
TEST(TrueAreas, SphereConeAndTorus) {
    const auto ball =
        true_areas(geometry::circle({0.0, 0.0}, 40.0), shape(80.0, {Kind::round_over, 40.0}, {Kind::round_over, 40.0}));
    EXPECT_NEAR(ball.edge_mm2, 4.0 * pi * 40.0 * 40.0, 1e-6);
    EXPECT_NEAR(ball.top_mm2, 0.0, 1e-6);

    const auto cone = true_areas(geometry::circle({0.0, 0.0}, 300.0), shape(30.0, {Kind::chamfer, 10.0}));
    const double frustum = pi * (300.0 + 290.0) * std::sqrt(200.0);
    EXPECT_NEAR(cone.edge_mm2, frustum + geometry::two_pi * 300.0 * 20.0, 1e-6);
    EXPECT_NEAR(cone.top_mm2, pi * 290.0 * 290.0, 1e-6);
    EXPECT_NEAR(cone.underside_mm2, pi * 300.0 * 300.0, 1e-6);

    const double cove = profile_area_mm2({Kind::cove, 20.0}, geometry::two_pi * 300.0, geometry::two_pi);
    EXPECT_NEAR(cove, pi / 2.0 * 20.0 * geometry::two_pi * (300.0 - 2.0 * 20.0 / pi), 1e-6);
}

// A chamfered slab is the frustum of a pyramid: four trapezoids of slant height c √2.
TEST(TrueAreas, MitredCornersOfARectangle) {
    const auto top = true_areas(geometry::rectangle({0.0, 0.0}, {1000.0, 600.0}), shape(30.0, {Kind::chamfer, 12.0}));
    const double trapezoids = (1000.0 + 976.0 + 600.0 + 576.0) * 12.0 * std::sqrt(2.0);
    EXPECT_NEAR(top.edge_mm2, trapezoids + 3200.0 * 18.0, 1e-6);
    EXPECT_NEAR(top.top_mm2, 976.0 * 576.0, 1e-6);
}

// Against adding up thin strips of the section on an outline of lines and arcs.
RC_GTEST_PROP(TrueAreas, AsAddedUpStripByStrip, ()) {
    const double R = *rc::gen::inRange(100, 1000), size = *rc::gen::inRange(1, 60);
    const Kind kind = *rc::gen::element(Kind::round_over, Kind::chamfer, Kind::cove);
    const auto a = true_areas(geometry::circle({0.0, 0.0}, R), shape(size + 5.0, {kind, size}));
    constexpr int strips = 2000;
    double sum = 0.0;
    const auto depth = [&](double u) {  // d and z of the section, u from the edge to the face
        const double t = 0.5 * pi * u;
        if (kind == Kind::round_over) return geometry::Point{size * (1.0 - std::cos(t)), size * std::sin(t)};
        if (kind == Kind::cove) return geometry::Point{size * std::sin(t), size * (1.0 - std::cos(t))};
        return geometry::Point{size * u, size * u};
    };
    for (int i = 0; i < strips; ++i) {
        const auto p = depth(double(i) / strips), q = depth(double(i + 1) / strips);
        sum += geometry::distance(p, q) * geometry::two_pi * (R - 0.5 * (p.x + q.x));
    }
    RC_ASSERT(std::abs(a.edge_mm2 - 5.0 * geometry::two_pi * R - sum) < 1e-6 * sum);
}

TEST(TrueAreas, RefusesWhatIsNone) {
    const auto outline = geometry::circle({0.0, 0.0}, 300.0);
    EXPECT_THROW(true_areas(outline, shape(20.0, {Kind::cove, 12.0}, {Kind::cove, 12.0})), std::invalid_argument);
    EXPECT_THROW(true_areas(outline, shape(0.0, {})), std::invalid_argument);
    EXPECT_THROW(true_areas(outline, shape(20.0, {Kind::cove, 0.0})), std::invalid_argument);
}

TEST(CheckEdge, TheProfileAndTheGlueJoint) {
    EdgeWish wish;
    wish.shape = shape(50.0, {Kind::round_over, 22.0}, {Kind::chamfer, 3.0});
    wish.joint_mm = 25.0;  // a top of 25 mm on a build-up of 25 mm
    auto found = check_edge(wish);
    EXPECT_NEAR(found.flat_mm, 25.0, 1e-12);
    EXPECT_FALSE(found.reaches_joint);
    EXPECT_THAT(found.must, IsEmpty());
    wish.shape.top.size_mm = 24.0;
    EXPECT_THAT(check_edge(wish).mind, Contains(HasSubstr("ends 1.0 mm from the glue joint")));
    wish.shape.top.size_mm = 30.0;
    found = check_edge(wish);
    EXPECT_TRUE(found.reaches_joint);
    EXPECT_THAT(found.must, Contains(HasSubstr("round-over on the top goes 5.0 mm past")));
    wish.style.unit = units::Unit::inch;
    wish.shape = shape(50.8, {Kind::round_over, 6.35}, {Kind::cove, 31.75});
    wish.joint_mm = 25.4;
    EXPECT_THAT(check_edge(wish).must, Contains(HasSubstr("cove on the underside goes 1/4 in past")));
}

TEST(CheckEdge, WhatTheBearingNeeds) {
    EdgeWish wish;
    wish.shape = shape(20.0, {Kind::round_over, 10.0}, {Kind::round_over, 9.0});
    EXPECT_THAT(check_edge(wish).must, Contains(HasSubstr("1.0 mm of the edge stay upright")));
    wish.shape.underside.size_mm = 11.0;
    EXPECT_NEAR(check_edge(wish).flat_mm, -1.0, 1e-12);
    EXPECT_THAT(check_edge(wish).must, Contains(HasSubstr("meet")));
    wish.shape = shape(2.0, {});
    EXPECT_THAT(check_edge(wish).must, IsEmpty()) << "no bearing rides on an edge that is not routed";
    EXPECT_THAT(check_edge(wish).mind, Contains(HasSubstr("arris")));
}

// A square corner: tangent r, arc π r / 2, area (1 − π/4) r².
TEST(RoundCorner, SquareCorner) {
    const auto round = round_corner(0.5 * pi, 40.0);
    EXPECT_NEAR(round.tangent_mm, 40.0, 1e-12);
    EXPECT_NEAR(round.arc_mm, 20.0 * pi, 1e-12);
    EXPECT_NEAR(round.taken_mm2, (1.0 - pi / 4.0) * 1600.0, 1e-9);
    EXPECT_NEAR(round.off_mm, 40.0 * (std::sqrt(2.0) - 1.0), 1e-12);
    EXPECT_THROW(round_corner(pi, 10.0), std::invalid_argument);
}

// A regular polygon rounded until its arcs join is its inscribed circle.
RC_GTEST_PROP(RoundCorner, PolygonBecomesItsCircle, ()) {
    const int n = *rc::gen::inRange(3, 40);
    const double r = 10.0 * *rc::gen::inRange(1, 100);
    const auto round = round_corner(geometry::two_pi / n, r);
    const double side = 2.0 * r * std::tan(pi / n);
    RC_ASSERT(std::abs(2.0 * round.tangent_mm - side) < 1e-9 * side);
    RC_ASSERT(std::abs(n * (side - round.shorter_mm) - geometry::two_pi * r) < 1e-9 * r);
    RC_ASSERT(std::abs(0.5 * n * side * r - n * round.taken_mm2 - pi * r * r) < 1e-9 * r * r);
}

TEST(CheckCorner, WhatFitsAndWhatTheGuideReaches) {
    CornerWish wish;
    wish.turn_rad = 0.5 * pi;
    wish.radius_mm = 60.0;
    wish.before_mm = 50.0;
    wish.after_mm = 400.0;
    wish.guide_mm = 30.0;
    EXPECT_THAT(check_corner(wish).must, Contains(HasSubstr("At most 50.0 mm fits")));
    wish.radius_mm = 12.0;
    EXPECT_THAT(check_corner(wish).must, IsEmpty());
    wish.inward = true;
    EXPECT_THAT(check_corner(wish).must, Contains(HasSubstr("make it 15.0 mm or more")));
    wish.inward = false;
    wish.radius_mm = 0.0;
    EXPECT_THAT(check_corner(wish).mind, Contains(HasSubstr("sharp corner")));
}

}  // namespace
}  // namespace seamwright::process
