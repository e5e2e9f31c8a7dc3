#include "curves/height.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>

#include "curves/elastica.h"

namespace seamwright::curves {
namespace {

using geometry::pi;

double part(double low, double high) {
    return low + (high - low) * static_cast<double>(*rc::gen::inRange(0, 1000000)) / 1e6;
}

/// Farthest to either side of the base line.
double height_mm(const Curve& curve) {
    const auto drawn = std::get<Drawn>(draw(curve));
    const BaseLine base = *base_line(curve);
    const Point left = geometry::left_of(base.to - base.from) / geometry::distance(base.from, base.to);
    const double high = dot(geometry::farthest(drawn.path, left).point - base.from, left);
    const double low = dot(geometry::farthest(drawn.path, -left).point - base.from, left);
    return std::fmax(high, -low);
}

RC_GTEST_PROP(Height, IsTakenTimesTheFactor, ()) {
    const Point from{part(-500.0, 500.0), part(-500.0, 500.0)};
    const Point along = geometry::unit(part(-pi, pi));
    const double chord = part(300.0, 2000.0);
    const Point to = from + chord * along;
    const double side = *rc::gen::arbitrary<bool>() ? 1.0 : -1.0;
    const double rise = chord * part(0.02, 0.2);
    const double half = 0.5 * chord;
    const double factor = part(0.1, 2.0);
    const Curve curve = *rc::gen::element<Curve>(
        Arc{from, to, std::nullopt, side * rise}, Arc{from, to, side * 0.5 * (half * half / rise + rise), std::nullopt},
        Sprung{from, to, std::nullopt, side * rise},
        Sprung{from, to, side * std::get<SprungStick>(sprung_stick({chord, std::nullopt, rise})).length_mm, {}},
        Wave{from, to, {{0.3 * rise, chord / 1.5, 0.2}, {0.1 * rise, chord / 4.0, 0.0}}});
    const auto higher = with_height(curve, factor);
    RC_ASSERT(higher.has_value());
    RC_ASSERT(higher->index() == curve.index());
    const double wanted = factor * height_mm(curve);
    RC_ASSERT(std::abs(height_mm(*higher) - wanted) <= 0.005);
    // On marks it is no higher, and hardly lower.
    const double mark = 0.5;
    const auto marked = with_height(curve, factor, mark);
    RC_ASSERT(marked.has_value());
    // (Waves can stand against each other.)
    RC_ASSERT(height_mm(*marked) <= wanted + (std::holds_alternative<Wave>(curve) ? mark : 0.005));
    if (!std::holds_alternative<Wave>(curve) && wanted > 4.0 * mark) {
        const auto* arc = std::get_if<Arc>(&*marked);
        const auto* sprung = std::get_if<Sprung>(&*marked);
        if ((arc != nullptr && arc->rise_mm) || (sprung != nullptr && sprung->rise_mm))
            RC_ASSERT(height_mm(*marked) >= wanted - mark - 0.005);
    }
}

TEST(Height, PinsStandOffTheLineBetweenTheEnds) {
    const Pins pins{{{0.0, 0.0}, {300.0, 90.0}, {700.0, -30.0}, {1000.0, 100.0}}, false, pi / 4.0, {}, Batten::free};
    const auto lower = std::get<Pins>(*with_height(pins, 0.5));
    ASSERT_EQ(lower.points.size(), 4u);
    EXPECT_EQ(lower.points.front(), pins.points.front());
    EXPECT_EQ(lower.points.back(), pins.points.back());
    const Point left = geometry::left_of(pins.points.back()) / geometry::norm(pins.points.back());
    for (const std::size_t i : {1U, 2U}) {
        EXPECT_NEAR(dot(lower.points[i], left), 0.5 * dot(pins.points[i], left), 1e-12);
        EXPECT_NEAR(cross(lower.points[i], left), cross(pins.points[i], left), 1e-12);
    }
    EXPECT_EQ(lower.batten, Batten::free);
    // A direction off the line by 39.29° becomes one of atan(½ tan 39.29°).
    const double chord = std::atan2(100.0, 1000.0);
    EXPECT_NEAR(*lower.start_heading_rad, chord + std::atan(0.5 * std::tan(pi / 4.0 - chord)), 1e-12);
    EXPECT_FALSE(lower.end_heading_rad);
    const auto marked = std::get<Pins>(*with_height(pins, 0.5, 0.1));
    EXPECT_NEAR(std::remainder(marked.points[1].y, 0.1), 0.0, 1e-9);
    EXPECT_LE(geometry::distance(marked.points[1], lower.points[1]), 0.0708);
}

TEST(Height, OfWhatHasNone) {
    EXPECT_FALSE(with_height(Oval{{0.0, 0.0}, 300.0, 200.0, 0.0}, 0.5));
    EXPECT_FALSE(with_height(Pins{{{0.0, 0.0}, {300.0, 90.0}, {100.0, 200.0}}, true, {}, {}}, 0.5));
    EXPECT_FALSE(with_height(Imported{}, 0.5));
    EXPECT_FALSE(base_line(Imported{}));
    const Straight straight{{0.0, 0.0}, {10.0, 0.0}};
    EXPECT_EQ(std::get<Straight>(*with_height(straight, 0.5)).to, straight.to);
    EXPECT_FALSE(has_height(straight));
    EXPECT_FALSE(has_height(Pins{{{0.0, 0.0}, {300.0, 90.0}}, false, {}, {}}));
    EXPECT_TRUE(has_height(Arc{{0.0, 0.0}, {10.0, 0.0}, 6.0, {}}));
    // By its radius an arc is never more than half a circle.
    EXPECT_FALSE(with_height(Arc{{0.0, 0.0}, {10.0, 0.0}, 6.0, {}}, 9.0));
    EXPECT_FALSE(with_height(Sprung{{0.0, 0.0}, {10.0, 0.0}, 11.0, {}}, 1e6));
    EXPECT_THROW(with_height(straight, 0.0), std::invalid_argument);
    EXPECT_THROW(with_height(straight, std::numeric_limits<double>::infinity()), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::curves
