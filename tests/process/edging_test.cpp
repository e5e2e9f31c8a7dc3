#include "process/edging.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::degrees_per_radian;
using geometry::Path;
using geometry::pi;
using geometry::two_pi;
using testing::Contains;
using testing::HasSubstr;

constexpr double degree = 1.0 / degrees_per_radian;

// Geometry of the circle: 60° has a chord of r; s = r − √(r² − (c/2)²).
TEST(Arc, ChordAndSagitta) {
    EXPECT_NEAR(chord_mm(500.0, 60.0 * degree), 500.0, 1e-9);
    EXPECT_NEAR(chord_mm(500.0, 180.0 * degree), 1000.0, 1e-9);
    EXPECT_NEAR(sagitta_mm(500.0, 60.0 * degree), 500.0 - std::sqrt(250000.0 - 62500.0), 1e-9);
    EXPECT_THROW(chord_mm(0.0, 1.0), std::invalid_argument);
    EXPECT_THROW(sagitta_mm(1.0, 7.0), std::invalid_argument);
}

// Pocket calculator: a ring of 600 mm outside radius, 75 mm wide, in eight: 75 + 525 (1 − cos 22.5°) = 114.96 mm; in
// six, 75 + 525 (1 − cos 30°) = 145.34 mm.
TEST(Ring, BoardsAndNumbers) {
    EXPECT_NEAR(ring_board_width_mm(600.0, 75.0, 45.0 * degree), 114.963, 1e-3);
    EXPECT_NEAR(ring_board_width_mm(600.0, 75.0, 60.0 * degree), 145.337, 1e-3);
    EXPECT_EQ(ring_segments(600.0, 75.0, 115.0, 0.0), 8);
    EXPECT_EQ(ring_segments(600.0, 75.0, 114.9, 0.0), 9);
    EXPECT_EQ(ring_segments(600.0, 75.0, 125.0, 5.0), 8) << "five to either side";
    EXPECT_EQ(ring_segments(600.0, 75.0, 146.0, 0.0), 6);
    EXPECT_EQ(ring_segments(600.0, 75.0, 2000.0, 0.0), 3);
    EXPECT_FALSE(ring_segments(600.0, 75.0, 75.0, 0.0));
    EXPECT_THROW(ring_segments(600.0, 600.0, 700.0, 0.0), std::invalid_argument);
}

EdgingWish wish_for(double width_mm, double board_mm) {
    EdgingWish wish;
    wish.width_mm = width_mm;
    wish.board_width_mm = board_mm;
    return wish;
}

double end_angles(const EdgingPlan& plan) {
    double sum = 0.0;
    for (const EdgingSegment& s : plan.segments) sum += s.start_rad + s.end_rad;
    return sum;
}

// Segments follow one another, close the outline, and come out of their boards.
void expect_sound(const Path& outline, const EdgingWish& wish, const EdgingPlan& plan) {
    ASSERT_FALSE(plan.segments.empty());
    const double length = geometry::length_mm(outline);
    double sum = 0.0;
    for (std::size_t i = 0; i < plan.segments.size(); ++i) {
        const EdgingSegment& s = plan.segments[i];
        sum += geometry::length_mm(s.outer);
        EXPECT_LE(s.board_width_mm, wish.board_width_mm + 1e-6);
        EXPECT_LE(s.run_out_rad, wish.run_out_rad + 1e-9);
        EXPECT_GE(s.rise_mm, -1e-6);
        if (i + 1 < plan.segments.size() || outline.closed) {
            const EdgingSegment& next = plan.segments[(i + 1) % plan.segments.size()];
            EXPECT_NEAR(geometry::distance(s.outer.end(), next.outer.start()), 0.0, 1e-6);
            EXPECT_NEAR(geometry::distance(s.joint_to, next.joint_from), 0.0, 1e-3) << "the joint fits";
        }
    }
    EXPECT_NEAR(sum, length, 1e-6 * length);
    if (outline.closed) {
        EXPECT_NEAR(end_angles(plan) * degrees_per_radian, 360.0, 1e-6);
    }
    EXPECT_GT(plan.yield, 0.0);
    EXPECT_LT(plan.yield, 1.0);
}

TEST(PlanEdging, ARingInEight) {
    const Path outline = geometry::circle({0.0, 0.0}, 600.0);
    EdgingWish wish = wish_for(75.0, 125.0);
    const auto plan = plan_edging(outline, wish);
    expect_sound(outline, wish, plan);
    ASSERT_EQ(plan.segments.size(), 8u);
    EXPECT_TRUE(plan.even);
    for (const EdgingSegment& s : plan.segments) {
        EXPECT_NEAR(s.start_rad * degrees_per_radian, 22.5, 1e-9);
        EXPECT_NEAR(s.end_rad * degrees_per_radian, 22.5, 1e-9);
        EXPECT_NEAR(s.run_out_rad * degrees_per_radian, 22.5, 1e-9);
        EXPECT_NEAR(s.chord_mm, chord_mm(600.0, 45.0 * degree), 1e-9);
        EXPECT_NEAR(s.board_width_mm, ring_board_width_mm(600.0, 75.0, 45.0 * degree) + 10.0, 1e-6);
        EXPECT_NEAR(s.board_length_mm, s.chord_mm + 30.0, 1e-6);
        EXPECT_NEAR(s.area_mm2, pi * (600.0 * 600.0 - 525.0 * 525.0) / 8.0, 1e-6);
    }
    EXPECT_THAT(plan.mind, Contains(HasSubstr("up to 22.5°")));
    EXPECT_THAT(plan.mind, Contains(HasSubstr("does not let it move")));
    wish.segments = 12;
    EXPECT_EQ(plan_edging(outline, wish).segments.size(), 12u);
    wish.segments = 6;
    const auto no_way = plan_edging(outline, wish);
    EXPECT_TRUE(no_way.segments.empty());
    EXPECT_THAT(no_way.must, Contains(HasSubstr("in 6 segments from boards 125.0 mm wide")));
}

// Two seams across the ring, four stations: joints stay clear, as far as an even comb can.
TEST(PlanEdging, JointsKeepAwayFromSeams) {
    const Path outline = geometry::circle({0.0, 0.0}, 600.0);
    EdgingWish wish = wish_for(75.0, 125.0);
    const double tooth = two_pi * 600.0 / 8.0;
    wish.seams_mm = {0.0, 2.0 * tooth + 100.0, 5.0 * tooth + 40.0};
    wish.clear_mm = 150.0;
    const auto plan = plan_edging(outline, wish);
    expect_sound(outline, wish, plan);
    EXPECT_TRUE(plan.even);
    EXPECT_NEAR(plan.nearest_seam_mm, 0.5 * (tooth - 100.0), 1e-6) << "the middle of the widest gap";
    // No even comb of eight is clear of these; more or uneven segments are.
    wish.clear_mm = 60.0;
    wish.seams_mm = {0.0, tooth + 115.0, 2.0 * tooth + 230.0, 3.0 * tooth + 345.0};
    const auto other = plan_edging(outline, wish);
    expect_sound(outline, wish, other);
    EXPECT_GE(other.nearest_seam_mm, 60.0 - 1e-6);
}

Path slab(double length, double width, double radius) {  // a rectangle with rounded corners, counter-clockwise
    Path out;
    out.closed = true;
    const auto add_corner = [&](geometry::Point centre, double from_rad) {
        const geometry::Point start = centre + radius * geometry::unit(from_rad);
        if (!out.segments.empty()) out.segments.push_back(geometry::line(out.segments.back().end, start));
        out.segments.push_back(geometry::arc_about(centre, start, 0.5 * pi));
    };
    add_corner({length - radius, radius}, -0.5 * pi);
    add_corner({length - radius, width - radius}, 0.0);
    add_corner({radius, width - radius}, 0.5 * pi);
    add_corner({radius, radius}, pi);
    out.segments.push_back(geometry::line(out.segments.back().end, out.segments.front().start));
    return out;
}

TEST(PlanEdging, RoundedRectangleIsSawnFromFewBoards) {
    const Path outline = slab(1800.0, 900.0, 250.0);
    const EdgingWish wish = wish_for(60.0, 110.0);
    const auto plan = plan_edging(outline, wish);
    expect_sound(outline, wish, plan);
    EXPECT_FALSE(plan.even);
    // Each corner turns 90° and a segment may run out by 25° at either end: at least two joints in each corner; in all
    // a full turn at 50° a segment asks for eight at the least.
    EXPECT_GE(plan.segments.size(), 8u);
    EXPECT_LE(plan.segments.size(), 12u);
}

Path oval(double a_mm, double b_mm, int arcs) {  // an ellipse in arcs that leave it along its tangents
    Path out;
    out.closed = true;
    const auto at = [&](int i) {
        const double t = two_pi * (i % arcs) / arcs;
        return geometry::Point{a_mm * std::cos(t), b_mm * std::sin(t)};
    };
    for (int i = 0; i < arcs; ++i) {
        const double t = two_pi * i / arcs;
        const double along = geometry::heading({-a_mm * std::sin(t), b_mm * std::cos(t)});
        out.segments.push_back(geometry::arc_from_heading(at(i), along, at(i + 1)));
    }
    return out;
}

// Where the outline is said to start makes no difference beyond the distance of two places for joints.
TEST(PlanEdging, AnOvalOfManyArcs) {
    const Path outline = oval(900.0, 500.0, 200);
    EdgingWish wish = wish_for(70.0, 130.0);
    wish.seams_mm = {300.0, 2000.0, 2600.0, 4000.0};
    const auto plan = plan_edging(outline, wish);
    expect_sound(outline, wish, plan);
    EXPECT_GE(plan.segments.size(), 8u) << "a full turn at 50° each";
    EXPECT_LE(plan.segments.size(), 10u);
    EXPECT_GE(plan.nearest_seam_mm, wish.clear_mm - 1e-6);
    const Path turned = geometry::start_rotated(outline, 77);
    const double length = geometry::length_mm(outline), by = geometry::running_length_mm(outline)[77];
    for (double& seam : wish.seams_mm) seam = std::fmod(seam - by + length, length);
    const auto other = plan_edging(turned, wish);
    expect_sound(turned, wish, other);
    EXPECT_EQ(other.segments.size(), plan.segments.size());
    EXPECT_NEAR(other.widest_mm, plan.widest_mm, 3.0);
    // More and shorter segments come out of narrower boards.
    wish.segments = 16;
    const auto more = plan_edging(turned, wish);
    expect_sound(turned, wish, more);
    EXPECT_EQ(more.segments.size(), 16u);
    EXPECT_LT(more.widest_mm, other.widest_mm - 15.0);
}

TEST(PlanEdging, MitresAtSharpCorners) {
    const Path outline = geometry::rectangle({0.0, 0.0}, {1200.0, 700.0});
    const EdgingWish wish = wish_for(60.0, 80.0);
    const auto plan = plan_edging(outline, wish);
    expect_sound(outline, wish, plan);
    ASSERT_EQ(plan.segments.size(), 4u);
    double area = 0.0;
    for (const EdgingSegment& s : plan.segments) {
        EXPECT_NEAR(s.start_rad * degrees_per_radian, 45.0, 1e-9);
        EXPECT_NEAR(s.run_out_rad, 0.0, 1e-12);
        EXPECT_NEAR(s.rise_mm, 0.0, 1e-9);
        area += s.area_mm2;
    }
    EXPECT_NEAR(area, 1200.0 * 700.0 - 1080.0 * 580.0, 1e-6);
    EdgingWish shorter = wish;
    shorter.board_length_mm = 760.0;
    const auto more = plan_edging(outline, shorter);
    expect_sound(outline, shorter, more);
    EXPECT_EQ(more.segments.size(), 6u) << "two for each long side";
}

// The bowed front of a sideboard: an open arc has square ends and needs no joint when the board is wide enough.
TEST(PlanEdging, AnOpenBow) {
    Path bow;
    bow.segments.push_back(
        geometry::arc_about({0.0, 2000.0}, {-700.0, 2000.0 - std::sqrt(4e6 - 49e4)}, 2.0 * std::asin(0.35)));
    EdgingWish wish = wish_for(50.0, 190.0);
    const auto one = plan_edging(bow, wish);
    expect_sound(bow, wish, one);
    ASSERT_EQ(one.segments.size(), 1u);
    EXPECT_NEAR(one.segments[0].rise_mm, sagitta_mm(1950.0, 2.0 * std::asin(0.35)), 1e-6);
    wish.board_width_mm = 100.0;
    wish.seams_mm = {0.5 * geometry::length_mm(bow)};
    wish.clear_mm = 40.0;
    const auto more = plan_edging(bow, wish);
    expect_sound(bow, wish, more);
    EXPECT_EQ(more.segments.size(), 2u);
    EXPECT_GE(more.nearest_seam_mm, 40.0 - 1e-6);
    EXPECT_LT(more.nearest_seam_mm, 60.0) << "the widest segment is narrowest near the middle";
}

TEST(PlanEdging, TooTightAndTooNarrow) {
    const auto tight = plan_edging(slab(600.0, 400.0, 50.0), wish_for(60.0, 200.0));
    EXPECT_TRUE(tight.segments.empty());
    EXPECT_THAT(tight.must, Contains(HasSubstr("bends as tightly as 50.0 mm")));
    EXPECT_THAT(plan_edging(geometry::circle({0.0, 0.0}, 300.0), wish_for(60.0, 60.0)).must,
                Contains(HasSubstr("There is no way")));
    EdgingWish wish = wish_for(60.0, 100.0);
    wish.run_out_rad = 1.2;
    EXPECT_THROW(plan_edging(geometry::circle({0.0, 0.0}, 300.0), wish), std::invalid_argument);
    EXPECT_THROW(plan_edging({}, wish_for(60.0, 100.0)), std::invalid_argument);
    EXPECT_THROW(plan_edging(geometry::circle({0.0, 0.0}, 300.0), wish_for(0.0, 100.0)), std::invalid_argument);
}

// E1: the segments close the outline: end angles sum to 360°, areas to the ring. E2: each comes out of its board. E3:
// no joint is near a seam.
RC_GTEST_PROP(PlanEdging, EvenRings, ()) {
    const double R = *rc::gen::inRange(250, 1200), w = *rc::gen::inRange(30, 120);
    EdgingWish wish = wish_for(w, w + *rc::gen::inRange(15, 120));
    const int seams = *rc::gen::inRange(0, 6);
    const double length = two_pi * R;
    for (int i = 0; i < seams; ++i) wish.seams_mm.push_back(length * 1e-3 * *rc::gen::inRange(0, 1000));
    wish.clear_mm = *rc::gen::inRange(0, 40);
    const auto plan = plan_edging(geometry::circle({100.0, -50.0}, R), wish);
    RC_PRE(!plan.segments.empty());
    double area = 0.0;
    for (const EdgingSegment& s : plan.segments) {
        area += s.area_mm2;
        RC_ASSERT(s.board_width_mm <= wish.board_width_mm + 1e-6);
        RC_ASSERT(s.run_out_rad <= wish.run_out_rad + 1e-9);
        for (const double seam : wish.seams_mm) {
            const double d = std::abs(s.from_mm - seam);
            RC_ASSERT(std::min(d, length - d) >= wish.clear_mm - 1e-6);
        }
    }
    RC_ASSERT(std::abs(end_angles(plan) - two_pi) < 1e-9);
    RC_ASSERT(std::abs(area - pi * (R * R - (R - w) * (R - w))) < 1e-6 * area);
    // One fewer would not come out of the board, or would run out too far, or come too near to a seam.
    if (plan.even && seams == 0 && plan.segments.size() > 3) {
        const double angle = two_pi / static_cast<double>(plan.segments.size() - 1);
        const bool fits = ring_board_width_mm(R, w, angle) + 2.0 * wish.margin_mm <= wish.board_width_mm;
        RC_ASSERT(!fits || 0.5 * angle > wish.run_out_rad);
    }
}

RC_GTEST_PROP(PlanEdging, RoundedRectangles, ()) {
    const double radius = *rc::gen::inRange(120, 300);
    const Path outline =
        slab(radius * 2.0 + *rc::gen::inRange(50, 1200), radius * 2.0 + *rc::gen::inRange(50, 500), radius);
    EdgingWish wish = wish_for(*rc::gen::inRange(30, 100), 0.0);
    wish.board_width_mm = wish.width_mm + *rc::gen::inRange(20, 90);
    const int seams = *rc::gen::inRange(0, 4);
    const double length = geometry::length_mm(outline);
    for (int i = 0; i < seams; ++i) wish.seams_mm.push_back(length * 1e-3 * *rc::gen::inRange(0, 1000));
    const auto plan = plan_edging(outline, wish);
    RC_PRE(!plan.segments.empty());
    double sum = 0.0;
    for (const EdgingSegment& s : plan.segments) {
        sum += geometry::length_mm(s.outer);
        RC_ASSERT(s.board_width_mm <= wish.board_width_mm + 1e-6);
        RC_ASSERT(s.run_out_rad <= wish.run_out_rad + 1e-9);
        for (const double seam : wish.seams_mm) {
            const double d = std::abs(s.from_mm - seam);
            RC_ASSERT(std::min(d, length - d) >= wish.clear_mm - 1e-5);
        }
    }
    RC_ASSERT(std::abs(sum - length) < 1e-6 * length);
    RC_ASSERT(std::abs(end_angles(plan) - two_pi) < 1e-9);
}

}  // namespace
}  // namespace seamwright::process
