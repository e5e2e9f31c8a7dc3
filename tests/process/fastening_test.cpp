#include "process/fastening.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace seamwright::process {
namespace {

/// A piece of 600 × 150 whose upper edge is cut along a template: the wood ends at y = 150, the template's edge is at
/// y = 150 − 10, its body 120 deep, 60 beyond both ends; a 10 mm cutter runs at y = 155.
FasteningGround plain(double ends_mm) {
    FasteningGround ground;
    ground.under = geometry::rectangle({-60.0, 20.0}, {660.0, 140.0});
    ground.finished.outer = geometry::rectangle({0.0, 0.0}, {600.0, 150.0});
    ground.wood = geometry::rectangle({-ends_mm, 0.0}, {600.0 + ends_mm, 150.0});
    ground.edges.push_back(
        {geometry::polyline(std::vector<Point>{{-1000.0, 150.0}, {1600.0, 150.0}}), geometry::Side::right});
    ground.cutters.push_back({geometry::polyline(std::vector<Point>{{-60.0, 155.0}, {660.0, 155.0}}), 10.0});
    return ground;
}
const Zone left_end{{-60.0, 140.0}, {-1.0, 0.0}, -200.0, 0.0, 0.0, 120.0};

// By hand: the screw stands at least 4 + 3 + 3 = 10 from the finished end and 12 from that of the wood: with 30 of
// wood 8 mm are left over, 4 on either side.
TEST(Fastening, InTheMiddleOfTheWaste) {
    const FasteningRules rules;
    const auto place = roomiest(plain(30.0), rules, left_end);
    ASSERT_TRUE(place);
    EXPECT_NEAR(place->at.x, -14.0, 0.6);
    EXPECT_NEAR(place->room_mm, 4.0, 0.5);
    EXPECT_NEAR(place->room_mm, room_mm(plain(30.0), rules, place->at), 1e-12);
}

TEST(Fastening, RoomIsTheTightestOfAllRules) {
    const FasteningRules rules;
    const FasteningGround ground = plain(100.0);
    // Ten from the finished wood, exactly.
    EXPECT_NEAR(room_mm(ground, rules, {-10.0, 80.0}), 0.0, 1e-12);
    // In the finished wood.
    EXPECT_NEAR(room_mm(ground, rules, {50.0, 75.0}), -60.0, 1e-12);
    // At the template's end: 12 from it.
    EXPECT_NEAR(room_mm(ground, rules, {-50.0, 80.0}), 10.0 - 12.0, 1e-12);
    // Beside the template.
    EXPECT_NEAR(room_mm(ground, rules, {-30.0, 10.0}), -10.0 - 12.0, 1e-12);
}

// 10 + 12 = 22 mm are needed: a millimetre less is proved to be too little, a little more will do.
TEST(Fastening, TooShortAndJustLongEnough) {
    const FasteningRules rules;
    EXPECT_FALSE(roomiest(plain(21.0), rules, left_end));
    EXPECT_FALSE(roomiest(plain(6.0), rules, left_end));
    const auto place = roomiest(plain(22.2), rules, left_end);
    ASSERT_TRUE(place);
    EXPECT_GE(place->room_mm, 0.0);
}

TEST(Fastening, AnotherCutterInTheWayMovesIt) {
    const FasteningRules rules;
    FasteningGround ground = plain(40.0);
    const auto free = roomiest(ground, rules, left_end);
    ASSERT_TRUE(free);
    // A second cut, along the end of the template.
    ground.cutters.push_back({geometry::polyline(std::vector<Point>{{-60.0, 60.0}, {660.0, 60.0}}), 20.0});
    const auto moved = roomiest(ground, rules, left_end);
    ASSERT_TRUE(moved);
    EXPECT_GE(std::abs(moved->at.y - 60.0), 0.5 * (20.0 + 8.0) + 3.0 - 1e-9);
    // One so wide that nothing is left.
    ground.cutters.back().diameter_mm = 200.0;
    EXPECT_FALSE(roomiest(ground, rules, left_end));
}

TEST(Fastening, ASecondScrewKeepsOff) {
    const FasteningRules rules;
    FasteningGround ground = plain(40.0);
    const auto first = roomiest(ground, rules, left_end);
    ASSERT_TRUE(first);
    ground.screws.push_back(first->at);
    const auto second = roomiest(ground, rules, left_end);
    ASSERT_TRUE(second);
    EXPECT_GE(geometry::distance(first->at, second->at), rules.apart_mm);
}

// A cutter of 10 takes a reveal of 2 to 10 in one groove.
TEST(Fastening, RevealAgainstTheCutter) {
    const FasteningRules rules;
    EXPECT_EQ(reveal_for(1.5, 10.0, rules), Reveal::too_little);
    EXPECT_EQ(reveal_for(2.0, 10.0, rules), Reveal::one_groove);
    EXPECT_EQ(reveal_for(10.0, 10.0, rules), Reveal::one_groove);
    EXPECT_EQ(reveal_for(10.1, 10.0, rules), Reveal::leaves_strip);
}

// A base of 150: 37.5 of template past the middle, unless half the guide is more.
TEST(Fastening, RunOutForGuideAndBase) {
    const FasteningRules rules;
    EXPECT_NEAR(run_out_for(8.0, 30.0, rules), 45.5, 1e-12);
    EXPECT_NEAR(run_out_for(8.0, 100.0, rules), 58.0, 1e-12);
}

/// Distances from chords sampled every quarter millimetre: nothing of the code under test.
double sampled_mm(const Path& path, Point p) {
    double least = HUGE_VAL;
    for (const geometry::Segment& s : path.segments) {
        const double parts = std::ceil(geometry::length_mm(s) / 0.25) + 1.0;
        for (double k = 0.0; k <= parts; k += 1.0)
            least = std::min(least, geometry::distance(p, geometry::point_at(s, k / parts)));
    }
    return least;
}
/// By counting crossings of a level line with chords.
bool within(const Path& path, Point p) {
    bool inside = false;
    for (const geometry::Segment& s : path.segments) {
        const double parts = s.is_arc() ? std::ceil(geometry::length_mm(s) / 0.25) + 1.0 : 1.0;
        for (double k = 0.0; k < parts; k += 1.0) {
            const Point a = geometry::point_at(s, k / parts), b = geometry::point_at(s, (k + 1.0) / parts);
            if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) inside = !inside;
        }
    }
    return inside;
}

/// A piece with an arched upper edge and slanted ends, its template and a second cut along the lower edge.
struct Arched {
    FasteningGround ground;
    Zone zone;
};
Arched any_arched() {
    const auto some = [](double low, double high) { return low + (high - low) * *rc::gen::inRange(0, 1001) / 1000.0; };
    const double radius = some(400.0, 3000.0), offset = some(0.0, 20.0), body = some(60.0, 160.0);
    const double run_out = some(30.0, 120.0), ends = some(5.0, 120.0), low = some(20.0, 180.0),
                 slant = some(-25.0, 25.0);
    const Point centre{300.0, 200.0 - radius};
    const auto arc_at = [&](double r, double beyond) {
        const double half = std::asin(300.0 / radius) + beyond / radius;
        return geometry::arc_about(centre, centre + r * geometry::unit(0.5 * geometry::pi + half), -2.0 * half);
    };
    const auto band = [&](double upper_r, double beyond, double depth, double slanted) {
        Path out;
        const geometry::Segment upper = arc_at(upper_r, beyond), lower = arc_at(upper_r - depth, beyond);
        out.segments = {geometry::reversed(upper), geometry::line(upper.start, lower.start + Point{slanted, 0.0}),
                        geometry::line(lower.start + Point{slanted, 0.0}, lower.end),
                        geometry::line(lower.end, upper.end)};
        out.closed = true;
        return out;
    };
    Arched out;
    FasteningGround& g = out.ground;
    g.under = band(radius - offset, run_out, body, 0.0);
    g.finished.outer = band(radius, 0.0, low, slant);
    g.wood = band(radius, ends, low + 5.0, slant);
    g.grown_mm = some(0.0, 10.0);
    Path line, way;
    line.segments = {arc_at(radius, 300.0)};
    way.segments = {arc_at(radius + 6.0, run_out)};
    g.edges.push_back({line, geometry::Side::right});
    g.cutters.push_back({way, 12.0});
    if (*rc::gen::arbitrary<bool>()) {
        Path second;
        second.segments = {arc_at(radius - low - 4.0, run_out)};
        g.cutters.push_back({second, 8.0});
    }
    const geometry::Segment edge = arc_at(radius - offset, run_out);
    const Point tangent = geometry::tangent_at(edge, 0.0);
    out.zone = {edge.start, -tangent, -(run_out + 150.0), 0.0, 0.0, body};
    return out;
}

RC_GTEST_PROP(Fastening, EveryPlaceKeepsEveryRule, ()) {
    const FasteningRules rules;
    const Arched arched = any_arched();
    const FasteningGround& g = arched.ground;
    const auto place = roomiest(g, rules, arched.zone);
    RC_CLASSIFY(place.has_value(), "found");
    if (!place) return;
    const Point p = place->at;
    constexpr double sampling = 0.02;
    for (const auto& cutter : g.cutters)
        RC_ASSERT(sampled_mm(cutter.way, p) >=
                  0.5 * (cutter.diameter_mm + rules.head_mm) + rules.reserve_mm - sampling);
    RC_ASSERT(within(g.under, p));
    RC_ASSERT(sampled_mm(g.under, p) >= rules.from_edge_mm - sampling);
    RC_ASSERT(!within(g.finished.outer, p));
    RC_ASSERT(sampled_mm(g.finished.outer, p) >= 0.5 * rules.head_mm + rules.kerf_mm + rules.reserve_mm - sampling);
    const double in_wood = within(g.wood, p) ? sampled_mm(g.wood, p) : -sampled_mm(g.wood, p);
    RC_ASSERT(in_wood + g.grown_mm >= rules.from_edge_mm - sampling);
    RC_ASSERT(sampled_mm(g.edges[0].line, p) >= rules.from_edge_mm - sampling);
}

// "None" is a proof: no place of a fine raster keeps the rules either. Where there is one, none of the raster is much
// better.
RC_GTEST_PROP(Fastening, NoneMeansNone, ()) {
    const FasteningRules rules;
    const Arched arched = any_arched();
    const auto place = roomiest(arched.ground, rules, arched.zone);
    const Zone& z = arched.zone;
    double most = -HUGE_VAL;
    constexpr double step = 3.0;
    for (double u = z.u0; u <= z.u1; u += step)
        for (double v = z.v0; v <= z.v1; v += step)
            most =
                std::max(most, room_mm(arched.ground, rules, z.origin + u * z.along + v * geometry::left_of(z.along)));
    RC_CLASSIFY(!place.has_value(), "none");
    RC_ASSERT(most <= (place ? place->room_mm + 0.5 : 0.02) + 1e-9);
}

}  // namespace
}  // namespace seamwright::process
