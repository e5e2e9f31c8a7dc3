#include "process/grain_feed.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::Path;
using geometry::Point;

constexpr double near_mm = 1e-5;

double rad(double degrees) {
    return degrees / geometry::degrees_per_radian;
}
double deg(double radians) {
    return radians * geometry::degrees_per_radian;
}

/// A chain of arcs and lines that winds, and sometimes has a corner.
Path winding(bool corners) {
    Path path;
    Point at{0.01 * *rc::gen::inRange(-90000, 90000), 0.01 * *rc::gen::inRange(-90000, 90000)};
    double heading = 0.001 * *rc::gen::inRange(-3141, 3141);
    const int count = *rc::gen::inRange(1, 8);
    for (int i = 0; i < count; ++i) {
        const double length = 1.0 * *rc::gen::inRange(5, 300);
        const double sweep = *rc::gen::arbitrary<bool>() ? 0.01 * *rc::gen::inRange(-290, 290) : 0.0;
        if (corners) heading += 0.01 * *rc::gen::inRange(-140, 140);
        if (std::abs(sweep) < 0.005) {
            path.segments.push_back(geometry::line(at, at + length * geometry::unit(heading)));
        } else {
            const Point to_centre = (length / sweep) * geometry::left_of(geometry::unit(heading));
            path.segments.push_back(geometry::arc_about(at + to_centre, at, sweep));
            heading += sweep;
        }
        at = path.end();
    }
    return path;
}

EdgeCut any_cut(bool corners = true) {
    EdgeCut cut;
    cut.edge = winding(corners);
    cut.wood_on_left = *rc::gen::arbitrary<bool>();
    cut.fibres = 0.001 * *rc::gen::inRange(-1600, 1600);
    cut.face_down = *rc::gen::arbitrary<bool>();
    cut.on_table = *rc::gen::arbitrary<bool>();
    return cut;
}

SideCut any_side() {
    return {0.5 * *rc::gen::inRange(6, 40), 0.25 * *rc::gen::inRange(1, 16), 0.5};
}

geometry::Station station(const Path& path, double at_mm) {
    return geometry::station_at(path, geometry::running_length_mm(path), at_mm);
}

void expect_same(const std::vector<TearStretch>& a, const std::vector<TearStretch>& b) {
    RC_ASSERT(a.size() == b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        RC_ASSERT(a[i].zone == b[i].zone);
        RC_ASSERT(std::abs(a[i].from_mm - b[i].from_mm) < near_mm);
        RC_ASSERT(std::abs(a[i].to_mm - b[i].to_mm) < near_mm);
        RC_ASSERT(std::abs(a[i].risk - b[i].risk) < 1e-6);
    }
}

// By hand, a straight edge along x with the wood below it (right of the path), cutter clockwise: the teeth run to −x.
// Fibres rising to the left (135°) run out ahead of them: with the grain; rising to the right: against, by 45°.
TEST(Phi, ByHand) {
    EdgeCut cut;
    cut.edge.segments = {geometry::line({0.0, 0.0}, {100.0, 0.0})};
    cut.wood_on_left = false;
    EXPECT_FALSE(teeth_along_path(cut));
    cut.fibres = rad(135.0);
    EXPECT_NEAR(deg(phi_at(cut, {0, 0.5})), 45.0, 1e-9);
    cut.fibres = rad(45.0);
    EXPECT_NEAR(deg(phi_at(cut, {0, 0.5})), -45.0, 1e-9);
    cut.face_down = true;
    EXPECT_TRUE(teeth_along_path(cut));
    EXPECT_NEAR(deg(phi_at(cut, {0, 0.5})), 45.0, 1e-9);
    cut.on_table = true;
    EXPECT_NEAR(deg(phi_at(cut, {0, 0.5})), -45.0, 1e-9);
    cut.fibres = rad(90.0);
    EXPECT_NEAR(deg(phi_at(cut, {0, 0.5})), 90.0, 1e-9);
    // 2 mm at 6.35 mm: R = S · 1.5135, a skim 0.6266, a climb skim 0.3734.
    cut.fibres = rad(45.0);
    const auto one = tear_stretches(cut, {});
    ASSERT_EQ(one.size(), 1u);
    EXPECT_EQ(one[0].zone, TearZone::tears);
    EXPECT_DOUBLE_EQ(one[0].risk, 1.0);
    EXPECT_NEAR(one[0].risk_skim, 0.6266, 5e-4);
    EXPECT_NEAR(one[0].risk_climb_skim, 0.3734, 5e-4);
    EXPECT_DOUBLE_EQ(one[0].length_mm, 100.0);
}

// Law F1: φ as methods.md section 6 derives it, from the outward normal, the way of the teeth and the fibres.
RC_GTEST_PROP(Phi, F1Definition, ()) {
    const EdgeCut cut = any_cut();
    const double whole = geometry::length_mm(cut.edge);
    const geometry::Station at = station(cut.edge, whole * 0.01 * *rc::gen::inRange(1, 100));
    const Point tangent = geometry::tangent_at(cut.edge, at);
    const Point outward = cut.wood_on_left ? geometry::right_of(tangent) : geometry::left_of(tangent);
    const bool clockwise = cut.face_down == cut.on_table;
    const Point teeth = clockwise ? geometry::left_of(outward) : geometry::right_of(outward);
    Point fibre = geometry::unit(std::get<double>(cut.fibres));
    if (geometry::dot(fibre, teeth) < 0.0) fibre = -fibre;
    const double phi = std::atan2(geometry::dot(fibre, outward), geometry::dot(fibre, teeth));
    RC_ASSERT(std::abs(wrap_half_turn(phi_at(cut, at) - phi)) < 1e-9);
    RC_ASSERT((geometry::dot(teeth, tangent) > 0.0) == teeth_along_path(cut));
}

// A full circle in straight grain along x, hand-held, against the table by hand. With 2 mm at 6.35 mm radius the bounds
// on S are 0.15/1.5135 = 0.09911 and 0.5/1.5135 = 0.33036:
//   care from φ = −5° · 0.9911 = −4.955°; tears from −5° − 10° · (0.33036 − 0.1)/0.5 = −9.607°;
//   it tears on to −90° + 15° · (0.33036 − 0.3)/0.3 = −88.482°; there care, over end grain, to
//   60° + 30° · 0.09911/0.3 = 69.911°; clean from there down to −4.955°.
// At β around the circle φ = β + 90°, so that half turn by half turn, of 180°: clean 74.866, care 4.652 and
// 1.518 + 20.089, tears 78.875.
TEST(Stretches, CircleInStraightGrain) {
    constexpr double radius = 75.0;
    EdgeCut cut;
    cut.edge = geometry::circle({300.0, -200.0}, radius);
    const double f = side_cut_factor({}, 6.35, 2.0, Feed::conventional);
    EXPECT_NEAR(f, 1.5135, 5e-4);
    const auto stretches = tear_stretches(cut, {});
    ASSERT_EQ(stretches.size(), 8u);
    const double per_degree = radius * geometry::pi / 180.0;
    double whole = 0.0;
    for (const TearStretch& s : stretches) whole += s.length_mm;
    EXPECT_NEAR(whole, geometry::two_pi * radius, 1e-9);
    const auto expect_at = [&](const TearStretch& s, TearZone zone, double from_deg, double to_deg, double worst_deg) {
        EXPECT_EQ(s.zone, zone) << from_deg;
        EXPECT_NEAR(s.from_mm, from_deg * per_degree, 0.002 * per_degree) << from_deg;
        EXPECT_NEAR(s.to_mm, to_deg * per_degree, 0.002 * per_degree) << from_deg;
        EXPECT_NEAR(deg(s.worst_phi_rad), worst_deg, 0.002) << from_deg;
    };
    // β = φ − 90°, from the right end of the circle on: 0° is end grain.
    for (const double half : {0.0, 180.0}) {
        const std::size_t first = half == 0.0 ? 0 : 4;
        expect_at(stretches[first], TearZone::tears, 1.518 + half, 80.393 + half, -45.0);
        expect_at(stretches[first + 1], TearZone::care, 80.393 + half, 85.045 + half, -9.607);
        expect_at(stretches[first + 2], TearZone::clean, 85.045 + half, 159.911 + half, -4.955);
    }
    expect_at(stretches[3], TearZone::care, 159.911, 181.518, -88.482);
    // The last one runs over the start of the circle.
    expect_at(stretches[7], TearZone::care, 339.911, 1.518, -88.482);
    EXPECT_NEAR(stretches[7].length_mm, 21.607 * per_degree, 0.003 * per_degree);
    // Exactly, from the factor in full.
    const double tears_from = -5.0 - 10.0 * (0.5 / f - 0.1) / 0.5;
    EXPECT_NEAR(stretches[0].to_mm, (90.0 + tears_from) * per_degree, 1e-9);
    // Iskra and Tanaka 2005: worst at 135° to the grain, a place where φ is −45°: 45° up the circle's right flank.
    EXPECT_NEAR(stretches[0].worst_at_mm, 45.0 * per_degree, 1e-9);
}

// Turned over, what was against the grain is with it: the zones of the mirror image of the circle.
TEST(Stretches, CircleFaceDown) {
    EdgeCut cut;
    cut.edge = geometry::circle({0.0, 0.0}, 75.0);
    cut.face_down = true;
    const auto down = tear_stretches(cut, {});
    const double whole = geometry::two_pi * 75.0, per_degree = whole / 360.0;
    EXPECT_NEAR(length_in(down, TearZone::tears), 2.0 * 78.875 * per_degree, 0.01 * per_degree);
    cut.face_down = false;
    const auto up = tear_stretches(cut, {});
    EXPECT_NEAR(length_in_both(up, down, whole, TearZone::tears), 0.0, 1e-9);
    EXPECT_EQ(choose_face(cut, {}).better, FaceChoice::Better::either);
}

// Law F2: stretches cover the edge without gap, neighbours differ, and at any place the zone is that of R there. The
// worst of a stretch is at least as bad as any place of it, and is found at the place that is told.
RC_GTEST_PROP(Stretches, F2CoverAndAgree, ()) {
    const EdgeCut cut = any_cut();
    const SideCut side = any_side();
    const auto stretches = tear_stretches(cut, side);
    const double whole = geometry::length_mm(cut.edge);
    RC_ASSERT(!stretches.empty());
    RC_ASSERT(stretches.front().from_mm == 0.0 && stretches.back().to_mm == whole);
    for (std::size_t i = 1; i < stretches.size(); ++i) {
        RC_ASSERT(stretches[i].from_mm == stretches[i - 1].to_mm);
        RC_ASSERT(stretches[i].zone != stretches[i - 1].zone);
    }
    const auto risk_at = [&](double at, double side_cut, Feed feed) {
        return tear_risk({}, phi_at(cut, station(cut.edge, at)), side.cutter_radius_mm, side_cut, feed);
    };
    for (const TearStretch& s : stretches) {
        RC_ASSERT(s.length_mm > 0.0);
        for (int i = 1; i < 20; ++i) {
            const double at = s.from_mm + s.length_mm * i / 20.0;
            const double risk = risk_at(at, side.side_cut_mm, Feed::conventional);
            RC_ASSERT(risk <= s.risk + 1e-9);
            if (s.length_mm > 1e-3) RC_ASSERT(tear_zone({}, risk) == s.zone);
            RC_ASSERT(risk_at(at, side.skim_mm, Feed::conventional) <= s.risk_skim + 1e-9);
            RC_ASSERT(risk_at(at, side.skim_mm, Feed::climb) <= s.risk_climb_skim + 1e-9);
        }
        RC_ASSERT(s.worst_at_mm >= s.from_mm && s.worst_at_mm <= s.to_mm);
        const double there =
            std::min(1.0, tear_share({}, s.worst_phi_rad) *
                              side_cut_factor({}, side.cutter_radius_mm, side.side_cut_mm, Feed::conventional));
        RC_ASSERT(std::abs(there - s.risk) < 1e-9);
    }
}

// Law F3: walking the path the other way, with the wood then on the other hand, changes nothing.
RC_GTEST_PROP(Stretches, F3Reversed, ()) {
    const EdgeCut cut = any_cut();
    const SideCut side = any_side();
    EdgeCut back = cut;
    back.edge = geometry::reversed(cut.edge);
    back.wood_on_left = !cut.wood_on_left;
    const double whole = geometry::length_mm(cut.edge);
    auto there = tear_stretches(back, side);
    std::reverse(there.begin(), there.end());
    for (TearStretch& s : there)
        s = {s.zone, whole - s.to_mm, whole - s.from_mm, s.length_mm, s.worst_phi_rad, whole - s.worst_at_mm,
             s.risk, s.risk_skim,     s.risk_climb_skim};
    expect_same(tear_stretches(cut, side), there);
    RC_ASSERT(teeth_along_path(cut) != teeth_along_path(back));
}

// Law F4: the side the wood is on does not matter, so with parallel fibres both pieces tear on the same stretch of
// their seam, and both as much; turned over, one of the two does not tear there.
RC_GTEST_PROP(Seams, F4ParallelFibresTearTogether, ()) {
    EdgeCut left = any_cut(), right = left;
    const SideCut side = any_side();
    left.wood_on_left = true;
    right.wood_on_left = false;
    const auto a = tear_stretches(left, side);
    expect_same(a, tear_stretches(right, side));
    const SeamFaces faces = choose_faces(left, right, side);
    RC_ASSERT(std::abs(faces.both_tear_mm - length_in(a, TearZone::tears)) < near_mm);
    RC_ASSERT(faces.left.better == faces.right.better);
    right.face_down = !right.face_down;
    RC_ASSERT(choose_faces(left, right, side).both_tear_mm <= faces.both_tear_mm + near_mm);
}

// Law F5: face down is the mirror image cut face up, fibres mirrored too; so is the router under a table; both at once
// is neither.
RC_GTEST_PROP(Stretches, F5FaceDownIsTheMirrorImage, ()) {
    EdgeCut cut = any_cut();
    const SideCut side = any_side();
    const auto up = tear_stretches(cut, side);
    EdgeCut down = cut;
    down.face_down = !cut.face_down;
    const auto turned = tear_stretches(down, side);
    EdgeCut mirror = cut;
    mirror.edge = geometry::mirrored(cut.edge);
    mirror.wood_on_left = !cut.wood_on_left;
    mirror.fibres = -std::get<double>(cut.fibres);
    expect_same(turned, tear_stretches(mirror, side));
    EdgeCut table = cut;
    table.on_table = !cut.on_table;
    expect_same(turned, tear_stretches(table, side));
    table.face_down = !cut.face_down;
    expect_same(up, tear_stretches(table, side));
    // With S exchanged for S(−φ) good and bad stretches exchange too.
    TearModel other;
    std::reverse(other.table.begin(), other.table.end());
    for (auto& knot : other.table) knot.phi_rad = -knot.phi_rad;
    expect_same(turned, tear_stretches(cut, side, other));
    const FaceChoice choice = choose_face(cut, side);
    const double tears = cut.face_down ? choice.tears_down_mm : choice.tears_up_mm;
    RC_ASSERT(std::abs(tears - length_in(up, TearZone::tears)) < near_mm);
}

// Law F8: a closed edge has the same stretches from whichever place it begins.
RC_GTEST_PROP(Stretches, F8StartOfAClosedEdge, ()) {
    EdgeCut cut;
    const double half = 1.0 * *rc::gen::inRange(5, 300), tall = 1.0 * *rc::gen::inRange(5, 300);
    const geometry::Segment end = geometry::arc_about({half, 0.0}, {half, -tall}, geometry::pi);
    cut.edge.segments = {geometry::line({-half, -tall}, {half, -tall}), end,
                         geometry::line({half, tall}, {-half, tall}),
                         geometry::arc_about({-half, 0.0}, {-half, tall}, geometry::pi)};
    cut.edge.closed = true;
    cut.fibres = 0.001 * *rc::gen::inRange(-1600, 1600);
    cut.face_down = *rc::gen::arbitrary<bool>();
    const SideCut side = any_side();
    const auto stretches = tear_stretches(cut, side);
    const double whole = geometry::length_mm(cut.edge);
    const auto first = *rc::gen::inRange<std::size_t>(1, 4);
    const double shift = geometry::running_length_mm(cut.edge)[first];
    EdgeCut other = cut;
    other.edge = geometry::start_rotated(cut.edge, first);
    const auto rotated = tear_stretches(other, side);
    RC_ASSERT(rotated.size() == stretches.size());
    for (const TearStretch& r : rotated) {
        const auto same = std::find_if(stretches.begin(), stretches.end(), [&](const TearStretch& s) {
            const double apart = std::remainder(r.from_mm + shift - s.from_mm, whole);
            return s.zone == r.zone && std::abs(apart) < near_mm && std::abs(s.length_mm - r.length_mm) < near_mm &&
                   std::abs(s.risk - r.risk) < 1e-9;
        });
        RC_ASSERT(same != stretches.end());
    }
}

// Law F6: fibres given by place, the same everywhere, give the stretches of fibres of one direction.
RC_GTEST_PROP(Stretches, F6FieldOfOneDirection, ()) {
    EdgeCut cut = any_cut(), by_place = cut;
    const SideCut side = any_side();
    by_place.fibres = [&](Point) { return std::get<double>(cut.fibres); };
    expect_same(tear_stretches(cut, side), tear_stretches(by_place, side));
}

// Fibres that fan out about a point, so that a straight edge past it meets them at every angle: at x, 100 mm beside the
// point, they lie at atan2(100, x). Wood on the left, teeth along +x: φ = −that. From −9.607° on it tears: where
// x = 100/tan 9.607°, the ends by hand.
TEST(Stretches, FanOfFibres) {
    EdgeCut cut;
    cut.edge.segments = {geometry::line({-200.0, 100.0}, {1500.0, 100.0})};
    cut.fibres = [](Point p) { return geometry::heading(p); };
    const double f = side_cut_factor({}, 6.35, 2.0, Feed::conventional);
    const double tears_from = 5.0 + 10.0 * (0.5 / f - 0.1) / 0.5, care_from = 5.0 * (0.15 / f) / 0.1;
    const double tears_to = 90.0 - 15.0 * (0.5 / f - 0.3) / 0.3, fuzzy_from = 60.0 + 30.0 * (0.15 / f) / 0.3;
    const auto x_at = [](double degrees) { return 200.0 + 100.0 / std::tan(rad(degrees)); };
    const auto stretches = tear_stretches(cut, {});
    ASSERT_EQ(stretches.size(), 5u);
    EXPECT_EQ(stretches[0].zone, TearZone::clean);
    EXPECT_NEAR(stretches[0].to_mm, x_at(180.0 - fuzzy_from), 1e-6);
    EXPECT_EQ(stretches[1].zone, TearZone::care);
    EXPECT_NEAR(stretches[1].to_mm, x_at(tears_to), 1e-6);
    EXPECT_EQ(stretches[2].zone, TearZone::tears);
    EXPECT_NEAR(stretches[2].to_mm, x_at(tears_from), 1e-6);
    EXPECT_NEAR(stretches[2].worst_at_mm, x_at(45.0), 1e-6);
    EXPECT_NEAR(deg(stretches[2].worst_phi_rad), -45.0, 1e-9);
    EXPECT_EQ(stretches[3].zone, TearZone::care);
    EXPECT_NEAR(stretches[3].to_mm, x_at(care_from), 1e-6);
}

// A piece glued up from two boards with their joint at x = 333: the ends lie on the joint.
TEST(Stretches, TwoBoards) {
    EdgeCut cut;
    cut.edge.segments = {geometry::line({0.0, 0.0}, {1000.0, 0.0})};
    cut.fibres = [](Point p) { return p.x < 333.0 ? rad(30.0) : rad(-30.0); };
    const auto stretches = tear_stretches(cut, {});
    ASSERT_EQ(stretches.size(), 2u);
    EXPECT_EQ(stretches[0].zone, TearZone::tears);
    EXPECT_EQ(stretches[1].zone, TearZone::clean);
    EXPECT_NEAR(stretches[0].to_mm, 333.0, 1e-6);
}

// Fibres given by place agree with their place: F2 for a field that turns.
RC_GTEST_PROP(Stretches, F7FieldAgreesWithThePlace, ()) {
    EdgeCut cut = any_cut();
    const double turn = 0.0001 * *rc::gen::inRange(-30, 30), along = 0.001 * *rc::gen::inRange(-1570, 1570);
    cut.fibres = [=](Point p) { return along + turn * (p.x - 0.5 * p.y); };
    const SideCut side = any_side();
    const auto stretches = tear_stretches(cut, side);
    for (const TearStretch& s : stretches) {
        if (s.length_mm < 0.1) continue;
        for (int i = 1; i < 10; ++i) {
            const double phi = phi_at(cut, station(cut.edge, s.from_mm + s.length_mm * i / 10.0));
            const double risk = tear_risk({}, phi, side.cutter_radius_mm, side.side_cut_mm, Feed::conventional);
            RC_ASSERT(tear_zone({}, risk) == s.zone);
            RC_ASSERT(risk <= s.risk + 0.02);
        }
    }
}

TEST(Seams, FibresThatCross) {
    EdgeCut left, right;
    left.edge.segments = {geometry::line({0.0, 0.0}, {500.0, 0.0})};
    right.edge = left.edge;
    right.wood_on_left = false;
    left.fibres = rad(30.0);
    right.fibres = rad(-30.0);
    const SeamFaces faces = choose_faces(left, right, {});
    EXPECT_EQ(faces.left.better, FaceChoice::Better::down);
    EXPECT_EQ(faces.right.better, FaceChoice::Better::up);
    EXPECT_DOUBLE_EQ(faces.left.tears_up_mm, 500.0);
    EXPECT_DOUBLE_EQ(faces.left.tears_down_mm, 0.0);
    EXPECT_DOUBLE_EQ(faces.both_tear_mm, 0.0);
    // As long tears up as down, but less wants care one way.
    EdgeCut level = left;
    level.fibres = rad(7.0);
    EXPECT_DOUBLE_EQ(choose_face(level, {}).tears_up_mm, 0.0);
    EXPECT_EQ(choose_face(level, {}).better, FaceChoice::Better::down);
    level.fibres = 0.0;
    EXPECT_EQ(choose_face(level, {}).better, FaceChoice::Better::either);
}

TEST(Stretches, Refuses) {
    EdgeCut cut;
    EXPECT_THROW(tear_stretches(cut, {}), std::invalid_argument);
    cut.edge.segments = {geometry::line({0.0, 0.0}, {10.0, 0.0})};
    EXPECT_NO_THROW(tear_stretches(cut, {}));
    EXPECT_THROW(tear_stretches(cut, {6.0, 2.0, 0.6}), std::invalid_argument);
    EXPECT_THROW(tear_stretches(cut, {6.0, 0.0, 0.5}), std::invalid_argument);
    EXPECT_THROW(tear_stretches(cut, {0.0, 2.0, 0.5}), std::invalid_argument);
    cut.fibres = [](Point p) { return p.x > 4.0 ? std::nan("") : 0.0; };
    EXPECT_THROW(tear_stretches(cut, {}), std::invalid_argument);
    cut.fibres = std::function<double(Point)>();
    EXPECT_THROW(tear_stretches(cut, {}), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::process
