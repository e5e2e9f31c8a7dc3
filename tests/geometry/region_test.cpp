// Laws of regions and of cutting them along curves (geometry/region.h). Blind spot: curves that meet the edge at angles
// below 1e-4 rad are tried only as exact tangents. Outside check: region_geos_test.cpp.

#include "geometry/region.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <chrono>
#include <numeric>

#include "edges.h"
#include "geometry/path_index.h"
#include "split_samples.h"

namespace seamwright::geometry {
namespace {

using Kind = SplitProblem::Kind;
using testing::random_sample;
using testing::Sample;
using testing::wave;

Path through(std::initializer_list<Point> points, bool closed = false) {
    return polyline(std::vector<Point>(points), closed);
}

Region top(double length = 1200, double width = 600) {
    return {rectangle({0, 0}, {length, width}), {}};
}

Split cut(const Region& region, const std::vector<Path>& curves) {
    auto result = split(region, curves);
    if (const auto* problems = std::get_if<std::vector<SplitProblem>>(&result)) {
        for (const SplitProblem& p : *problems) {
            ADD_FAILURE() << "refused: kind " << static_cast<int>(p.kind) << " curve " << p.curve << " at " << p.at.x
                          << ", " << p.at.y;
        }
        return {};
    }
    return std::get<Split>(result);
}

std::vector<SplitProblem> refused(const Region& region, const std::vector<Path>& curves) {
    auto result = split(region, curves);
    if (const auto* problems = std::get_if<std::vector<SplitProblem>>(&result)) return *problems;
    ADD_FAILURE() << "not refused";
    return {};
}

void expect_one(const std::vector<SplitProblem>& problems, Kind kind, std::size_t curve, Point at) {
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_EQ(problems[0].kind, kind);
    EXPECT_EQ(problems[0].curve, curve);
    EXPECT_NEAR(problems[0].at.x, at.x, 1e-9);
    EXPECT_NEAR(problems[0].at.y, at.y, 1e-9);
}

double sum_of_areas(const Split& split) {
    return std::accumulate(split.pieces.begin(), split.pieces.end(), 0.0,
                           [](double sum, const SplitPiece& p) { return sum + area_mm2(p.region); });
}

/// True when `part`, travelled forwards, stands in `loop` bit for bit.
bool holds(const Path& loop, const Path& part) {
    const std::size_t n = loop.segments.size();
    const std::size_t m = part.segments.size();
    if (m == 0 || m > n) return false;
    for (std::size_t first = 0; first < n; ++first) {
        std::size_t k = 0;
        while (k < m && loop.segments[(first + k) % n] == part.segments[k]) ++k;
        if (k == m) return true;
    }
    return false;
}

bool bounded_by(const Region& region, const Path& seam) {
    return holds(region.outer, seam) ||
           std::any_of(region.holes.begin(), region.holes.end(), [&](const Path& h) { return holds(h, seam); });
}

/// What every split must keep: areas add up, loops close and run the right way round, each seam bounds exactly two
/// pieces, forwards in one and backwards in the other, and every label lies in its own piece only.
void expect_laws(const Region& region, const Split& split) {
    ASSERT_FALSE(split.pieces.empty());
    const double whole = area_mm2(region);
    EXPECT_NEAR(sum_of_areas(split), whole, 1e-9 * whole);
    const Box box = bounding_box(region.outer);
    const double size =
        std::max({std::abs(box.low.x), std::abs(box.high.x), std::abs(box.low.y), std::abs(box.high.y)});
    for (const SplitPiece& piece : split.pieces) {
        EXPECT_GT(area_mm2(piece.region.outer), 0.0);
        EXPECT_TRUE(piece.region.outer.closed);
        EXPECT_EQ(largest_break_mm(piece.region.outer), 0.0);
        for (const Path& hole : piece.region.holes) EXPECT_LT(area_mm2(hole), 0.0);
        for (const Segment& s : piece.region.outer.segments) EXPECT_GT(length_mm(s), 1e-12 * size);
        const Point label = label_point(piece.region);
        for (const SplitPiece& other : split.pieces) {
            EXPECT_EQ(contains(other.region, label), &other == &piece);
        }
    }
    for (std::size_t i = 0; i < split.trimmed.size(); ++i) {
        int left = 0;
        int right = 0;
        for (const SplitPiece& piece : split.pieces) {
            for (const SplitPiece::Bound& b : piece.bounds) {
                if (b.curve != i) continue;
                ++(b.on_left ? left : right);
                EXPECT_TRUE(bounded_by(piece.region, b.on_left ? split.trimmed[i] : reversed(split.trimmed[i])));
            }
        }
        EXPECT_EQ(left, 1) << i;
        EXPECT_EQ(right, 1) << i;
    }
}

TEST(Region, AreaLeavesOutHoles) {
    const Region ring{circle({0, 0}, 100), {reversed(circle({10, 0}, 50))}};
    EXPECT_NEAR(area_mm2(ring), pi * (10000 - 2500), 1e-9 * 10000);
    EXPECT_TRUE(contains(ring, {-70, 0}));
    EXPECT_FALSE(contains(ring, {10, 0}));
    EXPECT_FALSE(contains(ring, {120, 0}));
}

TEST(Split, StraightSeamAcrossATop) {
    const Region region = top();
    const Split s = cut(region, {through({{400, -50}, {400, 650}})});
    ASSERT_EQ(s.pieces.size(), 2u);
    expect_laws(region, s);
    EXPECT_EQ(s.trimmed[0], through({{400, 0}, {400, 600}}));
    // The piece with the first place of the outline comes first.
    EXPECT_NEAR(area_mm2(s.pieces[0].region), 400 * 600, 1e-6);
    EXPECT_TRUE(s.pieces[0].bounds[0].on_left);
    EXPECT_FALSE(s.pieces[1].bounds[0].on_left);
}

TEST(Split, NoCurveLeavesTheRegion) {
    const Region region{rectangle({0, 0}, {300, 200}), {reversed(circle({100, 100}, 20))}};
    const Split s = cut(region, {});
    ASSERT_EQ(s.pieces.size(), 1u);
    EXPECT_EQ(s.pieces[0].region, region);
}

// A seam that begins and ends exactly on the edge needs no excess.
TEST(Split, EndsOnTheEdge) {
    const Region region = top();
    const Split s = cut(region, {through({{400, 0}, {450, 300}, {400, 600}})});
    ASSERT_EQ(s.pieces.size(), 2u);
    expect_laws(region, s);
}

// Sector less triangle, in closed form.
TEST(Split, ArcCutsOffACircularSegment) {
    const Region region = top();
    Path bow;
    bow.segments.push_back(arc_about({600, -100}, {850, -100}, pi));
    const Split s = cut(region, {bow});
    ASSERT_EQ(s.pieces.size(), 2u);
    expect_laws(region, s);
    const double half_angle = std::acos(100.0 / 250.0);
    const double cap = 250.0 * 250.0 * (half_angle - std::sin(half_angle) * std::cos(half_angle));
    EXPECT_NEAR(area_mm2(s.pieces[1].region), cap, 1e-9 * cap);
}

TEST(Split, InlayWithinAnEdgingWithinATop) {
    const Region region = top();
    const Path edging = rectangle({30, 30}, {1170, 570});
    const Path inlay = circle({300, 300}, 80);
    const Path inner = circle({310, 300}, 40);
    const Path seam = through({{700, -20}, {700, 620}});
    // The edging is cut off first; the seam then divides the field.
    const Split ring = cut(region, {edging});
    ASSERT_EQ(ring.pieces.size(), 2u);
    expect_laws(region, ring);
    ASSERT_EQ(ring.pieces[0].region.holes.size(), 1u);
    const Region field = ring.pieces[1].region;
    const Split s = cut(field, {inner, seam, inlay});
    ASSERT_EQ(s.pieces.size(), 4u);
    expect_laws(field, s);
    EXPECT_NEAR(area_mm2(s.pieces[0].region), 670 * 540 - pi * 6400, 1e-6);
    EXPECT_NEAR(area_mm2(s.pieces[2].region), pi * 1600, 1e-6);
    EXPECT_NEAR(area_mm2(s.pieces[3].region), pi * (6400 - 1600), 1e-6);
    // All closed curves at once, clockwise ones too.
    const Split all = cut(region, {reversed(inner), edging, reversed(inlay)});
    ASSERT_EQ(all.pieces.size(), 4u);
    expect_laws(region, all);
    EXPECT_FALSE(all.pieces[1].bounds[0].on_left);
}

TEST(Split, RegionWithHoles) {
    const Region region{rectangle({0, 0}, {1200, 600}),
                        {reversed(circle({200, 300}, 50)), reversed(circle({900, 300}, 60))}};
    const Split s = cut(
        region, {wave(-60, 1260, 480, 220, 30), through({{500, -1}, {540, 100}, {560, -1}}), circle({900, 300}, 120)});
    ASSERT_EQ(s.pieces.size(), 4u);
    expect_laws(region, s);
    std::vector<std::size_t> holes;
    for (const SplitPiece& p : s.pieces) holes.push_back(p.region.holes.size());
    std::sort(holes.begin(), holes.end());
    EXPECT_EQ(holes, (std::vector<std::size_t>{0, 0, 1, 2}));
}

// Through two corners of the top: each counts once, and no sliver is left.
TEST(Split, ThroughCorners) {
    for (const double beyond : {0.0, 0.25}) {
        const Region region = top();
        const Point low{-1200 * beyond, -600 * beyond};
        const Point high{1200 * (1 + beyond), 600 * (1 + beyond)};
        const Split s = cut(region, {through({low, high})});
        ASSERT_EQ(s.pieces.size(), 2u);
        expect_laws(region, s);
        EXPECT_EQ(s.pieces[0].region.outer.segments.size(), 3u);
        EXPECT_EQ(s.pieces[1].region.outer.segments.size(), 3u);
        EXPECT_EQ(s.trimmed[0], through({{0, 0}, {1200, 600}}));
    }
}

TEST(Split, ThroughACornerOnAJointOfTheCurve) {
    const Region region = top();
    const Split s = cut(region, {through({{-30, -80}, {0, 0}, {600, 200}, {600, 600}, {610, 700}})});
    ASSERT_EQ(s.pieces.size(), 2u);
    expect_laws(region, s);
    EXPECT_EQ(s.trimmed[0].segments.size(), 2u);
}

// An S whose inflection lies on the edge, tangent to it, crosses once; its mirror half touches. Turned, so that
// rounding makes one, two or no computed meetings of the tangent.
TEST(Split, CrossesAtATangentInflection) {
    for (int k = 0; k < 60; ++k) {
        const auto place = [&](const Path& p) { return moved(turned(p, {0, 0}, 0.1 * k), {3000, 100}); };
        const Region region{place(rectangle({0, 0}, {1200, 600})), {}};
        Path s_curve = through({{500, -10}, {500, 500}});
        s_curve.segments.push_back(arc_about({600, 500}, {500, 500}, -0.5 * pi));
        Path touching = s_curve;
        s_curve.segments.push_back(arc_about({600, 700}, s_curve.end(), 0.5 * pi));
        const Split s = cut(region, {place(s_curve)});
        ASSERT_EQ(s.pieces.size(), 2u) << k;
        EXPECT_NEAR(sum_of_areas(s), 1200 * 600, 1e-9 * 1200 * 600) << k;
        touching.segments.push_back(arc_about({600, 500}, touching.end(), -0.5 * pi));
        append(touching, through({touching.end(), {700, -10}}));
        const auto problems = refused(region, {place(touching)});
        ASSERT_EQ(problems.size(), 1u) << k;
        EXPECT_EQ(problems[0].kind, Kind::touches_edge) << k;
        EXPECT_LT(distance(problems[0].at, place(through({{600, 600}, {0, 0}})).start()), 1e-2) << k;
    }
}

// Nearly straight arcs carry radii up to 6e14 mm, from which a plain crossing is off by up to 0.08 mm (measured); their
// exact to the size of the top.
TEST(Split, NearlyStraightArcs) {
    const Region region = top();
    for (const double turn : {1e-3, 1e-6, 1e-9, 1e-11, 1e-12}) {
        Path curve;
        curve.segments.push_back(arc_from_heading({-10, 280}, std::atan2(40, 1220) + turn, {1210, 320}));
        const Split s = cut(region, {curve});
        ASSERT_EQ(s.pieces.size(), 2u) << turn;
        const PathIndex index(curve);
        for (const Point end : {s.trimmed[0].start(), s.trimmed[0].end()}) {
            EXPECT_LT(index.distance_mm(end), 1e-10) << turn;
            EXPECT_LT(std::min(std::abs(end.x), std::abs(end.x - 1200)), 1e-10) << turn;
        }
        expect_laws(region, s);
    }
}

TEST(SplitProblems, Misses) {
    expect_one(refused(top(), {through({{-10, 700}, {500, 620}, {1300, 700}})}), Kind::misses, 0, {500, 620});
}

TEST(SplitProblems, EndsInside) {
    expect_one(refused(top(), {through({{300, -10}, {300, 601}}), through({{500, -10}, {500, 599}})}),
               Kind::ends_inside, 1, {500, 599});
    const auto both = refused(top(), {through({{500, 10}, {500, 590}})});
    ASSERT_EQ(both.size(), 2u);
    EXPECT_EQ(both[0].at, (Point{500, 10}));
    EXPECT_EQ(both[1].at, (Point{500, 590}));
}

TEST(SplitProblems, CrossesTheEdgeMoreThanTwice) {
    // In, out at y = 600, in again at 600 and out.
    const Path curve = through({{300, -10}, {300, 610}, {400, 610}, {400, -10}});
    expect_one(refused(top(), {curve}), Kind::crosses_edge_more, 0, {400, 600});
}

TEST(SplitProblems, OpenCurveMeetsAHole) {
    const Region region{rectangle({0, 0}, {1200, 600}), {reversed(circle({600, 300}, 50))}};
    expect_one(refused(region, {through({{600, -10}, {600, 610}})}), Kind::crosses_edge_more, 0, {600, 250});
    expect_one(refused(region, {through({{650, -10}, {650, 610}})}), Kind::touches_edge, 0, {650, 300});
}

TEST(SplitProblems, TouchesTheEdge) {
    // From inside: an arc that only just reaches the edge at its highest place.
    Path bow;
    bow.segments.push_back(arc_about({600, 0}, {1200, 0}, pi));
    bow = moved(bow, {0, 0});
    Region region{rectangle({-50, -20}, {1250, 600}), {}};
    Path run_in = extended(bow, 40, 40);
    expect_one(refused(region, {run_in}), Kind::touches_edge, 0, {600, 600});
    // At a corner, from outside.
    expect_one(refused(top(), {through({{-100, 100}, {100, -100}})}), Kind::touches_edge, 0, {0, 0});
    // At a corner that points inward, from inside.
    const Region hollow{through({{0, 0}, {1000, 0}, {1000, 500}, {500, 300}, {0, 500}}, true), {}};
    expect_one(refused(hollow, {through({{-10, 300}, {1010, 300}})}), Kind::touches_edge, 0, {500, 300});
    // Along the edge.
    expect_one(refused(top(), {through({{100, -10}, {100, 0}, {300, 0}, {300, 610}})}), Kind::touches_edge, 0,
               {100, 0});
}

TEST(SplitProblems, CrossesItself) {
    const Path loop = through({{300, -10}, {300, 400}, {500, 400}, {500, 200}, {100, 200}, {100, 610}});
    expect_one(refused(top(), {loop}), Kind::crosses_itself, 0, {300, 200});
    // Outside the top it is of no account.
    const Path outside = through({{300, 610}, {300, -400}, {500, -400}, {500, -200}, {100, -200}});
    EXPECT_EQ(cut(top(), {outside}).pieces.size(), 2u);
}

// Found by the law below: touching circles meet at their joint only to the root of rounding, which 10 m from the
// origin was taken for a crossing.
TEST(SplitProblems, SmoothJointsAreNoSelfCrossings) {
    for (int k = 0; k < 200; ++k) {
        const Path curve =
            moved(turned(wave(-50, 2450, 0, 60 + 3 * k, 5 + 0.03 * k), {0, 0}, 0.01 * k), {10000, -10000});
        const PathIndex index(curve);
        EXPECT_TRUE(self_crossings(index).empty()) << k;
    }
    // A curl that comes back close to its joint still counts.
    Path curl;
    curl.segments.push_back(line({-100, 0}, {0, 0}));
    curl.segments.push_back(arc_about({0, 10}, {0, 0}, 1.9 * pi));
    curl.segments.push_back(line(curl.end(), curl.end() + Point{-1, -30}));
    const PathIndex index(curl);
    EXPECT_EQ(self_crossings(index).size(), 1u);
}

TEST(SplitProblems, CrossesOther) {
    const auto problems = refused(top(), {through({{300, -10}, {300, 610}}), through({{-10, 300}, {1210, 300}})});
    expect_one(problems, Kind::crosses_other, 1, {300, 300});
    EXPECT_EQ(problems[0].other, 0u);
    // Meeting in one place of the edge, and outside only.
    expect_one(refused(top(), {through({{300, 0}, {300, 610}}), through({{300, 0}, {500, 610}})}), Kind::crosses_other,
               1, {300, 0});
    EXPECT_EQ(
        cut(top(), {through({{300, -100}, {300, 610}}), through({{250, -100}, {400, -50}, {500, 610}, {100, 610}})})
            .pieces.size(),
        3u);
    expect_one(refused(top(), {circle({300, 300}, 50), circle({360, 300}, 50), through({{700, -1}, {700, 601}})}),
               Kind::crosses_other, 1, {330, 340});
}

TEST(SplitProblems, ClosedCurveNotInside) {
    const auto problems = refused(top(), {circle({1200, 300}, 50)});
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_EQ(problems[0].kind, Kind::not_inside);
    EXPECT_NEAR(problems[0].at.x, 1200, 1e-9);
    EXPECT_NEAR(std::abs(problems[0].at.y - 300), 50, 1e-9);
    expect_one(refused(top(), {circle({1400, 300}, 50)}), Kind::not_inside, 0, {1350, 300});
    expect_one(refused(top(), {circle({1150, 300}, 50)}), Kind::touches_edge, 0, {1200, 300});
    expect_one(refused(top(), {rectangle({1100, 100}, {1200, 200})}), Kind::touches_edge, 0, {1200, 100});
    const Region holed{rectangle({0, 0}, {1200, 600}), {reversed(circle({600, 300}, 50))}};
    EXPECT_EQ(refused(holed, {circle({600, 300}, 30)}).at(0).kind, Kind::not_inside);
}

TEST(SplitProblems, AllAreReported) {
    const auto problems = refused(top(), {through({{-10, 700}, {1300, 700}}), through({{300, 10}, {300, 610}}),
                                          through({{200, -10}, {400, 610}}), circle({2000, 0}, 10)});
    std::vector<Kind> kinds;
    for (const SplitProblem& p : problems) kinds.push_back(p.kind);
    EXPECT_EQ(kinds, (std::vector<Kind>{Kind::misses, Kind::ends_inside, Kind::crosses_other, Kind::not_inside}));
}

RC_GTEST_PROP(SplitLaws, HoldForRandomWavesAndInlays, (std::uint64_t seed)) {
    const Sample sample = random_sample(seed);
    const Split s = cut(sample.region, sample.curves);
    expect_laws(sample.region, s);
    RC_ASSERT(s.pieces.size() == sample.curves.size() + 1);
    RC_ASSERT(!::testing::Test::HasFailure());
}

std::vector<double> sorted_areas(const Split& s, double scale = 1.0) {
    std::vector<double> areas;
    for (const SplitPiece& p : s.pieces) areas.push_back(area_mm2(p.region) / (scale * scale));
    std::sort(areas.begin(), areas.end());
    return areas;
}

RC_GTEST_PROP(SplitLaws, KeepUnderReversalMirrorMoveTurnAndScale, (std::uint64_t seed)) {
    const Sample sample = random_sample(seed);
    const std::vector<double> expected = sorted_areas(cut(sample.region, sample.curves));
    const double whole = area_mm2(sample.region);
    const auto same = [&](const char* name, double scale, auto change, auto change_outline) {
        Sample other;
        other.region.outer = change_outline(sample.region.outer);
        for (const Path& c : sample.curves) other.curves.push_back(change(c));
        const Split s = cut(other.region, other.curves);
        expect_laws(other.region, s);
        const std::vector<double> areas = sorted_areas(s, scale);
        ASSERT_EQ(areas.size(), expected.size()) << name;
        for (std::size_t k = 0; k < areas.size(); ++k) EXPECT_NEAR(areas[k], expected[k], 1e-9 * whole) << name;
    };
    const auto both = [&](const char* name, double scale, auto change) { same(name, scale, change, change); };
    const auto keep = [](const Path& p) { return p; };
    same("curves reversed", 1.0, [](const Path& p) { return reversed(p); }, keep);
    same("outline started elsewhere", 1.0, keep, [](const Path& p) { return start_rotated(p, 2); });
    same(
        "mirrored", 1.0, [](const Path& p) { return mirrored(p); },
        [](const Path& p) { return reversed(mirrored(p)); });
    both("moved 10 m", 1.0, [](const Path& p) { return moved(p, {10000, -10000}); });
    both("turned", 1.0, [](const Path& p) { return turned(p, {100, 50}, 0.7); });
    both("scaled up", 16.0, [](const Path& p) { return scaled(p, 16.0); });
    both("scaled down", 1.0 / 16.0, [](const Path& p) { return scaled(p, 1.0 / 16.0); });
    RC_ASSERT(!::testing::Test::HasFailure());
}

TEST(Split, TracedSeamOfTenThousandPoints) {
    const Region region{rectangle({0, -200}, {2400, 200}), {}};
    const Path seam = extended(testing::traced_edge(10000, 0.01, 0.0, 7), 10, 10);
    const auto start = std::chrono::steady_clock::now();
    const Split s = cut(region, {seam});
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    RecordProperty("split_ms", std::to_string(took.count()));
    ASSERT_EQ(s.pieces.size(), 2u);
    expect_laws(region, s);
}

/// Distance from the edge, negative outside.
double depth(const Region& region, Point p) {
    double least = PathIndex(region.outer).distance_mm(p);
    for (const Path& h : region.holes) least = std::min(least, PathIndex(h).distance_mm(p));
    return contains(region, p) ? least : -least;
}

// The widest disc is known for these.
TEST(LabelPoint, LiesNearlyAsDeepAsPossible) {
    const Region strip = top(2400, 30);
    EXPECT_GE(depth(strip, label_point(strip)), 0.85 * 15);
    EXPECT_NEAR(label_point(strip).x, 1200, 150);
    const Region disc{circle({50, 60}, 70), {}};
    EXPECT_GE(depth(disc, label_point(disc)), 0.85 * 70);
    const Region ring{circle({0, 0}, 100), {reversed(circle({30, 0}, 50))}};
    EXPECT_GE(depth(ring, label_point(ring)), 0.85 * 40);
    const Region ell{through({{0, 0}, {1000, 0}, {1000, 40}, {60, 40}, {60, 1000}, {0, 1000}}, true), {}};
    EXPECT_GE(depth(ell, label_point(ell)), 0.85 * 30);
}

TEST(LabelPoint, LiesInsideAThinWavingInsert) {
    const Region region = top(2400, 600);
    const Split s = cut(region, {wave(-50, 2450, 300, 300, 60), moved(wave(-50, 2450, 300, 300, 60), {0, 4})});
    ASSERT_EQ(s.pieces.size(), 3u);
    expect_laws(region, s);
    double thickest = 0.0;
    for (const SplitPiece& p : s.pieces) {
        if (p.bounds.size() == 2) thickest = depth(p.region, label_point(p.region));
    }
    EXPECT_GT(thickest, 0.8 * 2.0);
}

}  // namespace
}  // namespace seamwright::geometry
