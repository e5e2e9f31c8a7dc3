#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <chrono>

#include "both_ways.h"
#include "curves/import.h"

// SVG 1.1 and SVG 2, chapter "Paths", and the implementation notes on elliptical arcs.
namespace seamwright::curves {
namespace {

using geometry::pi;
using geometry::Segment;

Imported path(std::string_view d, double mm_per_unit = 1.0, bool y_up = true, double within_mm = 0.002) {
    auto result = read_svg_path(d, mm_per_unit, y_up, within_mm);
    if (const auto* p = std::get_if<ImportProblem>(&result))
        throw std::runtime_error(std::string(d.substr(0, 60)) + ": found " + p->found + " at " + std::to_string(p->at));
    return std::get<Imported>(result);
}

ImportProblem refused(std::string_view d) {
    auto result = read_svg_path(d, 1.0, true);
    if (!std::holds_alternative<ImportProblem>(result)) return {999999, 0, "read after all: " + std::string(d), "", ""};
    EXPECT_FALSE(std::get<ImportProblem>(result).allowed.empty());
    EXPECT_FALSE(std::get<ImportProblem>(result).remedy.empty());
    return std::get<ImportProblem>(result);
}

std::vector<Point> corners(const Imported& imported) {
    std::vector<Point> out;
    for (const Segment& s : imported.path.segments) out.push_back(s.start);
    out.push_back(imported.path.end());
    return out;
}
using Points = std::vector<Point>;

// The chapter's own example of a triangle: "M 100 100 L 300 100 L 200 300 z".
TEST(SvgPath, LinesAbsoluteAndRelative) {
    const Points triangle{{100, 100}, {300, 100}, {200, 300}, {100, 100}};
    for (const char* d : {"M 100 100 L 300 100 L 200 300 z", "M100 100 300 100 200 300z", "m 100,100 200,0 -100,200 Z",
                          "M100,100L300,100L200,300Z", "  M100 100H300L200 300z\n", "m100 100h200l-100 200z",
                          "M100 100 L300 100 200 300 100 100", "M1e2+100h+2.e2l-1E+2.2e3Z", "M100-100m0 0"}) {
        if (std::string_view(d).find("m0 0") != std::string_view::npos) continue;
        const Imported i = path(d);
        EXPECT_EQ(corners(i), triangle) << d;
        EXPECT_TRUE(i.path.closed) << d;
        EXPECT_EQ(i.bound_mm, 0.0);
    }
}

// "The grammar is maximal munch": 0.6.5 is 0.6 and .5; a sign or a second point starts the next number.
TEST(SvgPath, NumbersRunTogether) {
    EXPECT_EQ(corners(path("M 0.6.5L10-20")), (Points{{0.6, 0.5}, {10, -20}}));
    EXPECT_EQ(corners(path("M1.5.5.25-.5")), (Points{{1.5, 0.5}, {0.25, -0.5}}));
    EXPECT_EQ(corners(path("M1e-3-1e1 5,6")), (Points{{1e-3, -10}, {5, 6}}));
    EXPECT_EQ(corners(path("M+1,+2\t\r\n\f, 3 4")), (Points{{1, 2}, {3, 4}}));
    EXPECT_EQ(corners(path("M0 0h10v5h-10")), (Points{{0, 0}, {10, 0}, {10, 5}, {0, 5}}));
    EXPECT_EQ(corners(path("M0 0h1 2 3")), (Points{{0, 0}, {1, 0}, {3, 0}, {6, 0}}));
    EXPECT_EQ(corners(path("M0 0V1 2 3")), (Points{{0, 0}, {0, 1}, {0, 2}, {0, 3}}));
}

TEST(SvgPath, YIsTurnedOverAndScaled) {
    EXPECT_EQ(corners(path("M1 2L3 5", 25.4, false)), (Points{{25.4, -50.8}, {3 * 25.4, -127}}));
    EXPECT_EQ(corners(path("M1 2L3 5", 2.0, true)), (Points{{2, 4}, {6, 10}}));
    // An arc turned over bends the other way, and is otherwise the same.
    const Imported up = path("M0 0A50 30 20 0 1 60 10", 1.0, true);
    const Imported down = path("M0 0A50 30 20 0 1 60 10", 1.0, false);
    EXPECT_LE(testing::sampled_distance(geometry::mirrored(up.path), down.path), 0.004);
    EXPECT_LE(testing::sampled_distance(down.path, geometry::mirrored(up.path)), 0.004);
}

// --- arcs ------------------------------------------------------------------------------------------------------------

TEST(SvgPath, CircularArcsAreExact) {
    // Sweep flag 1: angles grow. A quarter of radius 50 about (0, 50) from its lowest point.
    for (const char* d : {"M0 0A50 50 0 0 1 50 50", "M0 0a50 50 0 0150 50", "M0 0a50 50 0 01 50 50",
                          "M0 0a50,50,0,0,1,50,50", "M0 0A-50 50 77 0 1 50 50"}) {
        const Imported i = path(d);
        ASSERT_EQ(i.path.segments.size(), 1U) << d;
        const Segment& s = i.path.segments[0];
        EXPECT_EQ(s.radius_mm, 50.0);
        EXPECT_NEAR(s.sweep_rad, 0.5 * pi, 1e-14);
        EXPECT_NEAR(geometry::distance(s.centre, {0, 50}), 0.0, 1e-12);
        EXPECT_EQ(i.bound_mm, 0.0);
    }
    EXPECT_NEAR(path("M0 0A50 50 0 0 0 50 50").path.segments[0].sweep_rad, -0.5 * pi, 1e-14);
    EXPECT_NEAR(path("M0 0A50 50 0 1 1 50 50").path.segments[0].sweep_rad, 1.5 * pi, 1e-14);
    EXPECT_NEAR(path("M0 0A50 50 0 1 0 50 50").path.segments[0].sweep_rad, -1.5 * pi, 1e-14);
    // Two arcs repeated under one letter, flags packed: a full circle.
    const Imported circle = path("M0 0a1 1 0 00 2 0 1 1 0 00-2 0z");
    ASSERT_EQ(circle.path.segments.size(), 2U);
    EXPECT_TRUE(circle.path.closed);
    EXPECT_NEAR(geometry::area_mm2(circle.path), -pi, 1e-12);
}

// F.6.2: equal end points leave the arc out; a radius of nothing gives a line. F.6.6: radii too small grow.
TEST(SvgPath, ArcsOutOfRange) {
    EXPECT_EQ(corners(path("M0 0A50 50 0 0 1 0 0L1 1")), (Points{{0, 0}, {1, 1}}));
    EXPECT_EQ(corners(path("M0 0A0 50 0 0 1 10 0")), (Points{{0, 0}, {10, 0}}));
    const Imported grown = path("M0 0A1 1 0 0 1 100 0");
    ASSERT_EQ(grown.path.segments.size(), 1U);
    EXPECT_NEAR(grown.path.segments[0].radius_mm, 50.0, 1e-12);
    EXPECT_NEAR(grown.path.segments[0].sweep_rad, pi, 1e-7);
    const Imported oval = path("M0 0A2 1 0 0 1 100 0");
    EXPECT_NEAR(geometry::bounding_box(oval.path).low.y, -25.0, 0.002) << "grown in proportion";
}

// Law: every point of the arcs lies on the ellipse of the notes (F.6.5), whose flags choose one of four arcs.
RC_GTEST_PROP(SvgPath, EllipticalArcsLieOnTheirEllipse, ()) {
    const auto part = [](double low, double high) { return low + (high - low) * *rc::gen::inRange(0, 1001) / 1000.0; };
    const double rx = part(60.0, 400.0);
    const double ry = part(60.0, 400.0);
    const double turn = part(-200.0, 200.0);
    const bool large = *rc::gen::arbitrary<bool>();
    const bool positive = *rc::gen::arbitrary<bool>();
    const Point to{part(20.0, 80.0), part(-80.0, 80.0)};
    const auto text = [](double v) { return std::to_string(v); };
    const Imported i = path("M0 0A" + text(rx) + " " + text(ry) + " " + text(turn) + (large ? " 1" : " 0") +
                            (positive ? " 1 " : " 0 ") + text(to.x) + " " + text(to.y));
    RC_ASSERT(i.path.start() == Point{});
    RC_ASSERT(geometry::distance(i.path.end(), to) < 1e-5);  // std::to_string keeps six decimals
    RC_ASSERT(geometry::largest_corner_rad(i.path) < 1e-6);
    // Total turn of direction: more or less than half a turn as the flag says, to the side the other flag says.
    double swept = 0.0;
    for (const Segment& s : i.path.segments) swept += s.sweep_rad;
    RC_ASSERT((swept > 0.0) == positive);
    // In the ellipse's own axes, scaled to the unit circle, all points have one distance from one centre.
    const double c = std::cos(turn * pi / 180.0);
    const double s = std::sin(turn * pi / 180.0);
    std::vector<Point> unit;
    for (const Segment& segment : i.path.segments) {
        for (const double u : {0.0, 0.5, 1.0}) {
            const Point p = geometry::point_at(segment, u);
            unit.push_back({(c * p.x + s * p.y) / rx, (-s * p.x + c * p.y) / ry});
        }
    }
    if (unit.size() < 3) RC_FAIL("no arcs at all");
    const Point a = unit[0];
    const Point b = unit[unit.size() / 2];
    const Point d = unit[unit.size() - 1];
    const double area2 = 2.0 * geometry::cross(b - a, d - a);
    const Point centre = a + Point{((d.y - a.y) * norm2(b - a) - (b.y - a.y) * norm2(d - a)) / area2,
                                   ((b.x - a.x) * norm2(d - a) - (d.x - a.x) * norm2(b - a)) / area2};
    // Three points close together fix the centre badly; the bound grows by that much.
    const double spread = std::abs(area2) / std::fmax(norm2(d - a), norm2(b - a));
    const double allowed = 4.0 * 0.002 / std::fmin(rx, ry) / std::fmax(spread, 1e-3);
    for (const Point p : unit) RC_ASSERT(std::abs(geometry::distance(p, centre) - 1.0) < allowed);
    double angle = 0.0;
    for (std::size_t k = 0; k + 1 < unit.size(); ++k)
        angle += std::atan2(geometry::cross(unit[k] - centre, unit[k + 1] - centre),
                            dot(unit[k] - centre, unit[k + 1] - centre));
    if (std::abs(std::abs(angle) - pi) > 0.05) RC_ASSERT((std::abs(angle) > pi) == large);
}

// --- Beziers ---------------------------------------------------------------------------------------------------------

Point bezier(const std::array<Point, 4>& p, double t) {
    const double s = 1.0 - t;
    return s * s * s * p[0] + 3.0 * s * s * t * p[1] + 3.0 * s * t * t * p[2] + t * t * t * p[3];
}
std::string written(const std::array<Point, 4>& p) {
    const auto text = [](Point q) { return std::to_string(q.x) + " " + std::to_string(q.y) + " "; };
    return "M" + text(p[0]) + "C" + text(p[1]) + text(p[2]) + text(p[3]);
}
void expect_followed(const std::array<Point, 4>& p, const Imported& i, double more_mm = 0.0) {
    const geometry::PathIndex index(i.path);
    std::vector<Point> samples;
    for (int k = 0; k <= 20000; ++k) samples.push_back(bezier(p, k / 20000.0));
    for (const Point q : samples) ASSERT_LE(index.distance_mm(q), i.bound_mm + more_mm);
    const geometry::Path chords = geometry::polyline(samples);
    const geometry::PathIndex curve(chords);
    // The chords themselves lie within their sag of the curve.
    double step = 0.0;
    for (std::size_t k = 0; k + 1 < samples.size(); ++k)
        step = std::fmax(step, geometry::distance(samples[k], samples[k + 1]));
    for (const Segment& s : i.path.segments)
        for (const double u : {0.1, 0.33, 0.5, 0.77, 0.9})
            ASSERT_LE(curve.distance_mm(geometry::point_at(s, u)), i.bound_mm + more_mm + step * step);
}

TEST(SvgPath, CubicsStayWithinTheBound) {
    const std::array<std::array<Point, 4>, 9> cubics{{
        {{{0, 0}, {100, 200}, {300, -100}, {400, 50}}},    // an S
        {{{0, 0}, {400, 300}, {-100, 300}, {300, 0}}},     // a loop
        {{{0, 0}, {0, 0}, {100, 200}, {300, 0}}},          // no direction at the start
        {{{0, 0}, {100, 200}, {300, 0}, {300, 0}}},        // nor at the end
        {{{0, 0}, {0, 0}, {300, 100}, {300, 100}}},        // a line written as a curve
        {{{0, 0}, {300, 300}, {0, 300}, {300, 0}}},        // a cusp in the middle
        {{{0, 0}, {200, 0}, {-100, 0}, {100, 0}}},         // forth and back on a line
        {{{0, 0}, {100, 0}, {200, 0}, {300, 0}}},          // straight
        {{{0, 0}, {1e-7, 1e-7}, {300, 100}, {300, 200}}},  // a handle of next to no length
    }};
    for (const auto& p : cubics) {
        const Imported i = path(written(p));
        ASSERT_FALSE(i.path.empty());
        EXPECT_LE(i.bound_mm, 0.002);
        EXPECT_EQ(geometry::largest_break_mm(i.path), 0.0);
        expect_followed(p, i, 1e-6);  // std::to_string writes six decimals
        EXPECT_LT(i.path.segments.size(), 400U) << written(p);
    }
    EXPECT_TRUE(path(written(cubics[4])).path.segments[0].is_line());
    EXPECT_EQ(path(written(cubics[7])).path.segments.size(), 1U);
}

RC_GTEST_PROP(SvgPath, CubicBoundIsNeverBeaten, ()) {
    std::array<Point, 4> p;
    for (Point& q : p) q = {1.0 * *rc::gen::inRange(-300, 301), 1.0 * *rc::gen::inRange(-300, 301)};
    RC_PRE(!(p[0] == p[1] && p[1] == p[2] && p[2] == p[3]));
    const Imported i = path(written(p) + "L1000 1000");
    Imported curve = i;
    curve.path.segments.pop_back();
    RC_ASSERT(!curve.path.empty());
    RC_ASSERT(i.bound_mm <= 0.002);
    RC_ASSERT(geometry::largest_break_mm(i.path) == 0.0);
    const geometry::PathIndex index(curve.path);
    for (int k = 0; k <= 2000; ++k) RC_ASSERT(index.distance_mm(bezier(p, k / 2000.0)) <= i.bound_mm + 1e-12);
}

TEST(SvgPath, QuadraticsAndMirroredHandles) {
    // A quadratic is the cubic with handles at two thirds.
    const Imported q = path("M0 0Q150 300 300 0", 1.0, true, 1e-4);
    const Imported c = path("M0 0C100 200 200 200 300 0", 1.0, true, 1e-4);
    EXPECT_LE(testing::sampled_distance(q.path, c.path), 2e-4);
    EXPECT_NEAR(geometry::bounding_box(q.path).high.y, 150.0, 1e-4);
    // S mirrors the handle before it, T the control point; after another command both start from the pen.
    EXPECT_EQ(path("M0 0C0 50 50 100 100 100S200 50 200 0").path,
              path("M0 0C0 50 50 100 100 100C150 100 200 50 200 0").path);
    EXPECT_EQ(path("M0 0Q50 100 100 0T200 0 300 0").path, path("M0 0Q50 100 100 0Q150 -100 200 0Q250 100 300 0").path);
    EXPECT_EQ(path("M0 0L10 0S50 50 100 0").path, path("M0 0L10 0C10 0 50 50 100 0").path);
    EXPECT_EQ(path("M0 0C0 50 50 100 100 100T200 0").path.segments.back().is_line(), true);
    EXPECT_EQ(path("m5 5c0 50 50 100 100 100s100-50 100-100").path, path("M5 5C5 55 55 105 105 105S205 55 205 5").path);
    EXPECT_EQ(path("m5 5q50 100 100 0t100 0").path, path("M5 5Q55 105 105 5T205 5").path);
}

// --- closing ---------------------------------------------------------------------------------------------------------

TEST(SvgPath, Closing) {
    EXPECT_FALSE(path("M0 0L10 0L10 10").path.closed);
    const Imported by_rounding = path("m0.1 0.1l0.2 0l0.1 0.3l-0.3-0.3z");
    EXPECT_TRUE(by_rounding.path.closed);
    EXPECT_EQ(by_rounding.path.segments.size(), 3U) << "no sliver where steps add up to the start but for rounding";
    EXPECT_EQ(by_rounding.path.start(), by_rounding.path.end());
    EXPECT_TRUE(path("M0 0L10 0L10 10L0 0").path.closed) << "it ends where it starts";
}

// --- refusals, each with its place -----------------------------------------------------------------------------------

TEST(SvgPath, RefusesWithThePlace) {
    const auto at = [](std::string_view d, std::size_t place, std::string_view found) {
        const ImportProblem p = refused(d);
        EXPECT_EQ(p.at, place) << d;
        EXPECT_NE(p.found.find(found), std::string::npos) << d << ": " << p.found;
    };
    at("", 0, "empty");
    at("   ", 3, "empty");
    at("L0 0 10 10", 0, "\"L\"");
    at("M0 0", 4, "no length");
    at("M0 0z", 5, "no length");
    at("M0 0L10 0z", 10, "one line");
    at("M0 0L10", 7, "the end of the text");
    at("M0 0L10,", 8, "the end of the text");
    at("M0 0L10 10,", 10, "comma");
    at("M0 0L10 10,L20 20", 10, "comma");
    at("M0 0L10,,10", 8, "\",\"");
    at("M,0 0L10 10", 1, "\",\"");
    at("M0 0X10 10", 4, "\"X\"");
    at("M0 0L10 1e", 9, "\"e\"");
    at("M0 0Lnan 10", 5, "\"n\"");
    at("M0 0L10 inf", 8, "\"i\"");
    at("M0 0L- 10", 5, "\"-\"");
    at("M0 0L. 10", 5, "\".\"");
    at("M0 0L1e999 10", 5, "1e999");
    at("M0 0L10 1e7", 8, "1e7");
    at("M0 0l9e5 0 9e5 0", 16, "kilometre");
    at("M0 0A50 50 0 2 1 50 50", 13, "\"2\"");
    at("M0 0A50 50 0 0", 14, "the end of the text");
    at("M0 0A50 50 0 0 1", 16, "the end of the text");
    at("M0 0L10 0L10 10z M20 20L30 30", 17, "second path");
    at("M0 0L10 0M20 20L30 30", 9, "second path");
    at("M0 0L10 0L10 10zL5 5", 16, "second path");
    at("M0 0L10 0\n\xC3\xA9", 10, "0xC3");
    EXPECT_EQ(refused("M0 0\nL10 0\r\nL5 5\rX").line, 4U);
    EXPECT_EQ(refused("M0 0\nL10 0\r\nL5 5\rX").at, 17U);
    for (const double scale : {0.0, -1.0, std::nan(""), HUGE_VAL})
        EXPECT_TRUE(std::holds_alternative<ImportProblem>(read_svg_path("M0 0L1 1", scale, true)));
    EXPECT_THROW(read_svg_path("M0 0L1 1", 1.0, true, 0.0), std::invalid_argument);
    EXPECT_EQ(corners(path("M0 0L1e-999 1")), (Points{{0, 0}, {0, 1}})) << "too small to be told from nothing";
}

TEST(SvgPath, AMillionLines) {
    std::string d = "M0 0";
    for (int i = 1; i <= 1000000; ++i) d += "l.5" + std::string(i % 2 == 0 ? "-.1" : ".1");
    const Imported i = path(d);
    EXPECT_EQ(i.path.segments.size(), 1000000U);
    EXPECT_NEAR(i.path.end().x, 500000.0, 1e-3);
    for (int k = 0; k < 1100000; ++k) d += "h1h-1";
    EXPECT_NE(refused(d).found.find("2000000"), std::string::npos);
}

}  // namespace
}  // namespace seamwright::curves
