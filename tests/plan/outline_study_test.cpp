#include "plan/outline_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "geometry/path_index.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using geometry::PathIndex;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using Kind = OutlineCut::Kind;

constexpr double degree = geometry::pi / 180.0;

/// Without seams, so that the shelf alone chooses.
Document with_outline(const job::Outline& outline) {
    Document document = small();
    document.job.seams.clear();
    document.job.outline = outline;
    return document;
}

OutlineStudy study_of(const Document& document) {
    return study_outline(plan_of(document), document.job, document.shelf);
}

const OutlineCut& cut(const OutlineStudy& study, const std::string& name) {
    for (const OutlineCut& c : study.cuts)
        if (c.name == name) return c;
    throw std::out_of_range("no cut " + name);
}

std::vector<std::string> order_of(const OutlineStudy& study) {
    std::vector<std::string> names;
    for (const OutlineCut& c : study.cuts) names.push_back(c.name);
    return names;
}

std::string all_text(const OutlineStudy& study, const Document& document) {
    std::string text;
    for (const auto& told : words::outline_text(study, plan_of(document), document.job)) {
        text += told.title + '\n';
        for (const auto& line : told.lines) text += line + '\n';
        for (const auto& line : told.cautions) text += "! " + line + '\n';
    }
    return text;
}

void add_pair(Document& document, double guide_mm, double cutter_mm) {
    shelf::Guide guide;
    guide.name = "G" + std::to_string(guide_mm);
    guide.outside.nominal_mm = guide_mm;
    guide.barrel_length_mm = 9.0;
    document.shelf.guides.push_back(guide);
    shelf::Cutter cutter = document.shelf.cutters.front();
    cutter.name = "C" + std::to_string(cutter_mm);
    cutter.cutting.nominal_mm = cutter_mm;
    cutter.shank_mm = std::min(cutter_mm, 8.0);
    document.shelf.cutters.push_back(cutter);
}

job::RectangleOutline rectangle(double length_mm, double width_mm) {
    job::RectangleOutline shape;
    shape.length_mm = length_mm;
    shape.width_mm = width_mm;
    return shape;
}

/// The cutter stands beside a place of the finished line: there the guide must touch the template, and nowhere press
/// into it. Asked of distances alone, nothing of the simulation is used.
void expect_guide_touches(const Path& line, const Path& template_edge, const OutlineTools& tools) {
    const PathIndex edge(template_edge);
    const auto running = geometry::running_length_mm(line);
    constexpr int places = 60;
    for (int i = 0; i <= places; ++i) {
        const auto station = geometry::station_at(line, running, running.back() * i / places);
        const Point p = geometry::point_at(line, station);
        const Point middle = p + 0.5 * tools.pair.b_mm * geometry::right_of(geometry::tangent_at(line, station));
        RC_ASSERT(std::abs(edge.distance_mm(middle) - 0.5 * tools.pair.B_mm) <= 0.01);
    }
}

double between(double low, double high) {
    return low + (high - low) * *rc::gen::inRange(0, 1001) / 1000.0;
}

job::Edge any_side(double length_mm) {
    switch (*rc::gen::inRange(0, 3)) {
        case 0:
            return job::BowedEdge{between(-0.05, 0.08) * length_mm};
        default:
            return job::StraightEdge{};
    }
}

job::Outline any_outline() {
    switch (*rc::gen::inRange(0, 4)) {
        case 0:
            return job::RoundOutline{between(250.0, 1500.0)};
        case 1:
            return job::OvalOutline{between(400.0, 1800.0), between(300.0, 900.0)};
        default: {
            job::RectangleOutline shape = rectangle(between(400.0, 2000.0), between(300.0, 900.0));
            shape.front = any_side(shape.length_mm);
            shape.right = any_side(shape.width_mm);
            shape.back = job::DrawnEdge{{{0.7 * shape.length_mm, shape.width_mm + between(-15.0, 30.0)},
                                         {0.3 * shape.length_mm, shape.width_mm + between(-15.0, 30.0)}}};
            shape.left = any_side(shape.width_mm);
            for (double& r : shape.corner_radius_mm) r = *rc::gen::inRange(0, 2) == 0 ? between(2.0, 60.0) : 0.0;
            return shape;
        }
    }
}

RC_GTEST_PROP(OutlineStudy, WhatIsToldReachableIsCutToTheLine, ()) {
    Document document = with_outline(any_outline());
    for (int more = *rc::gen::inRange(0, 3); more > 0; --more) {
        const double b = between(6.0, 20.0);
        add_pair(document, b + between(4.0, 25.0), b);
    }
    const Plan plan = plan_of(document);
    if (plan.outline.empty()) RC_DISCARD("does not close");
    const OutlineStudy study = study_outline(plan, document.job, document.shelf);
    RC_ASSERT(!study.cuts.empty());
    RC_CLASSIFY(study.reached, "all reached");
    double covered = 0.0;
    const PathIndex outline(plan.outline);
    for (const OutlineCut& c : study.cuts) {
        RC_ASSERT(c.tools.has_value());
        if (!c.reached) {
            // Refused with a reason, and only where the arithmetic says so: a bulge wants R >= o, a hollow R >= b/2.
            RC_ASSERT(!c.findings.empty());
            RC_ASSERT(c.made.off_mm > reached_mm || !c.made.carried_out);
            continue;
        }
        RC_ASSERT(c.made.off_mm <= reached_mm);
        expect_guide_touches(c.line, c.made.template_edge, *c.tools);
        if (c.kind == Kind::corner || c.kind == Kind::half) covered += c.length_mm;
        // The template is the parallel at o, inside.
        const PathIndex line(c.line);
        for (const Point q : geometry::chords(c.made.template_edge, 0.01)) {
            if (c.kind == Kind::corner) break;  // its legs lie along the sides
            RC_ASSERT(line.distance_mm(q) >= std::abs(c.tools->offset_mm()) - 0.01);
        }
        // Nowhere does the cutter come into the finished top, on run-outs too, unless that is said.
        double least = HUGE_VAL;
        for (const Point q : geometry::chords(c.made.centre, 0.01))
            least = std::min(least, (outline.contains(q) ? -1.0 : 1.0) * outline.distance_mm(q));
        RC_ASSERT(least >= 0.5 * c.tools->pair.b_mm + c.clear_mm - 0.02);
        if (c.clear_mm < -reached_mm) RC_ASSERT(!c.findings.empty());
    }
    if (std::all_of(study.cuts.begin(), study.cuts.end(), [](const auto& c) { return c.kind == Kind::half; }))
        RC_ASSERT(std::abs(covered - geometry::length_mm(plan.outline)) < 1e-6 * covered);
}

// Intersecting chords (Euclid III.35): (c/2)² = h (2R − h). 1500² / (8 · 20) + 20 / 2 = 14 062.5 + 10.
TEST(OutlineStudy, RadiusOfAnArcFromChordAndRise) {
    EXPECT_NEAR(radius_of_arc(1500.0, 20.0), 14072.5, 1e-9);
    // A half circle.
    EXPECT_NEAR(radius_of_arc(200.0, 100.0), 100.0, 1e-12);
    EXPECT_NEAR(rise_at(200.0, 100.0, 0.5), 100.0, 1e-12);
    EXPECT_NEAR(rise_at(200.0, 100.0, 0.25), 100.0 * std::cos(30.0 * degree), 1e-9);
    EXPECT_NEAR(rise_at(1500.0, 20.0, 0.0), 0.0, 1e-9);
    for (const double rise : {20.0, -15.0}) {
        Document document = with_outline(rectangle(1500.0, 500.0));
        std::get<job::RectangleOutline>(document.job.outline).front = job::BowedEdge{rise};
        const OutlineStudy study = study_of(document);
        const OutlineCut& front = cut(study, "front");
        EXPECT_EQ(front.kind, Kind::side);
        EXPECT_NEAR(std::abs(front.radius_mm), radius_of_arc(1500.0, std::abs(rise)), 1e-6);
        EXPECT_EQ(front.radius_mm > 0.0, rise > 0.0);
        ASSERT_EQ(front.checks.size(), 3U);
        for (const StandsOut& check : front.checks)
            EXPECT_NEAR(check.by_mm, std::copysign(rise_at(1500.0, std::abs(rise), check.part), rise), 1e-6);
        EXPECT_TRUE(front.reached);
        EXPECT_EQ(study.templates.size(), 1U);
    }
}

// The carpenter's 3-4-5, and Pythagoras' law for one that leans (law of cosines).
TEST(OutlineStudy, DiagonalsAndHowFarATopLeans) {
    EXPECT_NEAR(*study_of(with_outline(rectangle(400.0, 300.0))).diagonal_mm, 500.0, 1e-12);
    const double l = 1510.0, w = 420.0, lean = 1.5, angle = std::asin(lean / w);
    const double longer = std::sqrt(l * l + w * w + 2.0 * l * w * std::sin(angle));
    const double shorter = std::sqrt(l * l + w * w - 2.0 * l * w * std::sin(angle));
    EXPECT_NEAR(lean_of(longer - shorter, l, w), lean, 1e-3);
}

TEST(OutlineStudy, EndGrainIsCutFirstAndItsSplintersFallWithTheNextSide) {
    Document document = two_pieces();
    const OutlineStudy along = study_of(document);
    EXPECT_THAT(order_of(along), ElementsAre("right end", "left end", "front", "back"));
    const OutlineCut& right = cut(along, "right end");
    EXPECT_NEAR(right.end_grain_mm, 400.0, 1e-6);
    ASSERT_EQ(right.exits.size(), 1U);
    // Seen from above the cutter turns clockwise, conventional goes counter-clockwise: out at the back.
    EXPECT_EQ(right.exits[0].at, "back right corner");
    EXPECT_EQ(right.exits[0].taken_by, "back");
    EXPECT_TRUE(cut(along, "front").exits.empty());
    const OutlineStudy across = study_of(two_pieces(90.0 * degree));
    EXPECT_THAT(order_of(across), ElementsAre("front", "back", "right end", "left end"));
    ASSERT_EQ(cut(across, "front").exits.size(), 1U);
    EXPECT_EQ(cut(across, "front").exits[0].taken_by, "right end");
}

// The seams' 30 and 10 stand a straightedge (30 − 10) / 2 inside the line.
TEST(OutlineStudy, StraightSidesStandOffByHalfOfGuideLessCutter) {
    const Document document = two_pieces();
    const OutlineStudy study = study_of(document);
    EXPECT_TRUE(study.templates.empty());
    EXPECT_TRUE(study.reached);
    for (const OutlineCut& c : study.cuts) {
        EXPECT_EQ(c.kind, Kind::straight);
        EXPECT_NEAR(c.tools->offset_mm(), 10.0, 1e-12);
        ASSERT_TRUE(c.passes);
        EXPECT_NEAR(c.passes->passes.back().depth_mm, 31.0, 1e-9);
    }
    EXPECT_THAT(all_text(study, document), HasSubstr("their edge 10.0 mm inside the line: (30.0 mm − 10.0 mm) ÷ 2"));
}

// A corner of 6 with an offset of 10: the guide goes round the sharp corner of the template, and the wood comes out
// with 10, which leaves (10 − 6)(√2 − 1) at the corner.
TEST(OutlineStudy, ACornerSmallerThanTheOffsetIsRefusedWithTheGuideThatMakesIt) {
    job::RectangleOutline shape = rectangle(1000.0, 400.0);
    shape.corner_radius_mm = {0.0, 6.0, 0.0, 0.0};
    Document document = with_outline(shape);
    const OutlineStudy study = study_of(document);
    const OutlineCut& corner = cut(study, "front right corner");
    EXPECT_FALSE(corner.reached);
    EXPECT_FALSE(study.reached);
    EXPECT_NEAR(corner.made.off_mm, 4.0 * (std::sqrt(2.0) - 1.0), 2e-4);
    ASSERT_FALSE(corner.findings.empty());
    EXPECT_THAT(corner.findings[0].remedy, HasSubstr("a guide of 22.0 mm at most"));
    EXPECT_TRUE(cut(study, "front").reached);

    // Exactly that guide: a template with a sharp corner, and the offset alone makes the radius.
    add_pair(document, 22.0, 10.0);
    const OutlineStudy better = study_of(document);
    EXPECT_TRUE(better.reached);
    EXPECT_NEAR(cut(better, "front right corner").tools->pair.B_mm, 22.0, 1e-12);
    EXPECT_NEAR(cut(better, "front right corner").made.off_mm, 0.0, 1e-3);
    EXPECT_EQ(cut(better, "front").tools->pair.B_mm, 22.0) << "one set-up for all of it";
}

TEST(OutlineStudy, ABearingFollowsAnyBulge) {
    job::RectangleOutline shape = rectangle(1000.0, 400.0);
    shape.corner_radius_mm = {3.0, 3.0, 3.0, 3.0};
    Document document = with_outline(shape);
    shelf::Bearing bearing;
    bearing.name = "12 mm bearing";
    bearing.outside.nominal_mm = 12.0;
    document.shelf.bearings.push_back(bearing);
    shelf::Cutter cutter = document.shelf.cutters.front();
    cutter.name = "12 mm trimming cutter";
    cutter.cutting.nominal_mm = 12.0;
    cutter.bearings = {bearing.name};
    document.shelf.cutters.push_back(cutter);
    const OutlineStudy study = study_of(document);
    EXPECT_TRUE(study.reached);
    EXPECT_EQ(cut(study, "front left corner").tools->rider, "12 mm bearing");
    EXPECT_EQ(cut(study, "front left corner").tools->offset_mm(), 0.0);
}

TEST(OutlineStudy, FourLikeCornersShareOneTemplateOfRadiusLessOffset) {
    job::RectangleOutline shape = rectangle(1000.0, 400.0);
    shape.corner_radius_mm = {25.0, 25.0, 25.0, 25.0};
    const Document document = with_outline(shape);
    const OutlineStudy study = study_of(document);
    EXPECT_TRUE(study.reached);
    EXPECT_EQ(study.cuts.size(), 8U);
    ASSERT_EQ(study.templates.size(), 1U);
    const TemplatePlan& t = study.templates[0].sheet;
    std::size_t arcs = 0;
    for (const auto& s : t.edge.segments) {
        if (!s.is_arc()) continue;
        ++arcs;
        EXPECT_NEAR(s.radius_mm, 15.0, 1e-9);
        EXPECT_NEAR(s.centre.x, 25.0, 1e-9);
        EXPECT_NEAR(s.centre.y, 25.0, 1e-9);
    }
    EXPECT_EQ(arcs, 1U);
    EXPECT_EQ(t.title, "Outline, corner template");
    EXPECT_TRUE(t.body.closed);
    EXPECT_LT(geometry::largest_break_mm(t.body), 1e-9);
    EXPECT_TRUE(geometry::self_crossings(PathIndex(t.body)).empty());
    // The fences lie against the cut sides, x = 0 and y = 0, outside the wood.
    ASSERT_EQ(study.templates[0].fences.size(), 2U);
    for (const Path& fence : study.templates[0].fences) {
        const geometry::Box box = geometry::bounding_box(fence);
        EXPECT_NEAR(std::min(box.high.x, box.high.y), 0.0, 1e-9);
    }
}

TEST(OutlineStudy, ARoundTopHasABeamAndHalfATemplateUsedTwice) {
    const Document document = with_outline(job::RoundOutline{900.0});
    const OutlineStudy study = study_of(document);
    ASSERT_TRUE(study.trammel);
    EXPECT_NEAR(study.trammel->near_mm(), 450.0, 1e-12);
    EXPECT_NEAR(study.trammel->middle_mm(), 455.0, 1e-12);
    EXPECT_NEAR(study.trammel->far_mm(), 460.0, 1e-12);
    EXPECT_EQ(study.trammel->pivot, (Point{450.0, 450.0}));
    ASSERT_EQ(study.templates.size(), 1U);
    ASSERT_EQ(study.cuts.size(), 2U);
    EXPECT_EQ(study.cuts[0].template_index, study.cuts[1].template_index);
    EXPECT_TRUE(study.reached);
    for (const auto& s : study.templates[0].sheet.edge.segments)
        EXPECT_TRUE(s.is_line() || std::abs(s.radius_mm - 440.0) < 1e-9);
}

// Every place of an ellipse has distances to its foci that add up to the longer axis; they lie √(a² − b²) off its
// middle.
TEST(OutlineStudy, AnOvalIsCheckedWithAString) {
    const Document document = with_outline(job::OvalOutline{1200.0, 700.0});
    const Plan plan = plan_of(document);
    const OutlineStudy study = study_outline(plan, document.job, document.shelf);
    EXPECT_TRUE(study.reached);
    EXPECT_FALSE(study.trammel);
    ASSERT_TRUE(study.focus_mm);
    EXPECT_NEAR(*study.focus_mm, std::sqrt(600.0 * 600.0 - 350.0 * 350.0), 1e-6);
    const Point a{600.0 - *study.focus_mm, 350.0}, b{600.0 + *study.focus_mm, 350.0};
    for (const OutlineCut& c : study.cuts)
        for (const Point p : geometry::chords(c.line, 0.001))
            EXPECT_NEAR(geometry::distance(a, p) + geometry::distance(b, p), 1200.0, 0.01);
}

Path closed_line(const std::vector<Point>& points) {
    return geometry::polyline(points, true);
}

TEST(OutlineStudy, AFreeOutlineIsCutSideBySideBetweenItsOutwardCorners) {
    const Path shield = closed_line({{0.0, 0.0}, {600.0, -40.0}, {700.0, 400.0}, {-60.0, 350.0}});
    const OutlineStudy study = study_of(with_outline(job::FreeOutline{curves::Imported{shield, 0.0}}));
    EXPECT_EQ(study.cuts.size(), 4U);
    EXPECT_TRUE(study.reached);
    for (const OutlineCut& c : study.cuts) {
        EXPECT_EQ(c.kind, Kind::straight);
        EXPECT_EQ(c.clear_mm, 0.0);
    }
}

// An inward corner: no cutter reaches it, a disc of radius 5 stays 5 (√2 − 1) off it.
TEST(OutlineStudy, AnInwardCornerIsToldWithWhatStaysInIt) {
    const Path notched =
        closed_line({{0.0, 0.0}, {800.0, 0.0}, {800.0, 300.0}, {400.0, 300.0}, {400.0, 500.0}, {0.0, 500.0}});
    const OutlineStudy study = study_of(with_outline(job::FreeOutline{curves::Imported{notched, 0.0}}));
    EXPECT_FALSE(study.reached);
    double off = 0.0;
    std::size_t chisel = 0;
    for (const OutlineCut& c : study.cuts) {
        off = std::max(off, c.made.off_mm);
        for (const auto& finding : c.findings) chisel += finding.remedy.find("chisel") != std::string::npos ? 1U : 0U;
    }
    EXPECT_NEAR(off, 5.0 * (std::sqrt(2.0) - 1.0), 2e-4);
    EXPECT_EQ(chisel, 1U);
}

// Both sides bulge so far that they meet in an inward corner: straight on from either the cutter would run into the
// top.
TEST(OutlineStudy, ARunOutThatWouldCutIntoTheTopIsTold) {
    job::RectangleOutline shape = rectangle(1000.0, 400.0);
    shape.front = job::BowedEdge{200.0};
    shape.right = job::BowedEdge{120.0};
    const Document document = with_outline(shape);
    const Plan plan = plan_of(document);
    ASSERT_TRUE(findings(plan).empty()) << show_all(plan.problems);
    const OutlineStudy study = study_outline(plan, document.job, document.shelf);
    const PathIndex outline(plan.outline);
    for (const char* name : {"front", "right end"}) {
        const OutlineCut& c = cut(study, name);
        double least = HUGE_VAL;
        for (const Point p : geometry::chords(c.made.centre, 0.01))
            least = std::min(least, (outline.contains(p) ? -1.0 : 1.0) * outline.distance_mm(p));
        EXPECT_LT(c.clear_mm, -1.0) << name;
        EXPECT_LE(c.clear_mm, least - 5.0 + 0.02) << name;
        ASSERT_FALSE(c.findings.empty()) << name;
        EXPECT_THAT(c.findings.back().says, HasSubstr("into the finished top"));
    }
    EXPECT_EQ(cut(study, "back").clear_mm, 0.0);
}

TEST(OutlineStudy, ASmoothFreeOutlineHasOneWholeTemplate) {
    curves::Pins pins;
    pins.closed = true;
    pins.points = {{0.0, 200.0}, {300.0, 60.0}, {700.0, 0.0}, {900.0, 250.0}, {600.0, 480.0}, {250.0, 420.0}};
    const OutlineStudy study = study_of(with_outline(job::FreeOutline{pins}));
    ASSERT_EQ(study.cuts.size(), 1U);
    EXPECT_EQ(study.cuts[0].kind, Kind::whole);
    EXPECT_TRUE(study.reached);
    ASSERT_EQ(study.templates.size(), 1U);
    EXPECT_TRUE(study.templates[0].sheet.edge.closed);
}

TEST(OutlineStudy, WithoutAToolThatGetsThroughThePaperIsAPattern) {
    Document document = with_outline(job::OvalOutline{900.0, 500.0});
    document.shelf.cutters.front().cutting_length_mm = 8.0;
    document.shelf.cutters.front().reach_mm = 20.0;
    const OutlineStudy study = study_of(document);
    ASSERT_EQ(study.templates.size(), 1U);
    EXPECT_FALSE(study.cuts[0].tools);
    ASSERT_FALSE(study.cuts[0].findings.empty());
    EXPECT_THAT(all_text(study, document), HasSubstr("Its paper is a pattern"));
    const PathIndex line(study.cuts[0].line);
    const Path& edge = study.templates[0].sheet.edge;
    EXPECT_EQ(study.templates[0].sheet.offset_mm, 0.0);
    EXPECT_LT(line.distance_mm(geometry::point_at(edge, {edge.segments.size() / 2, 0.5})), 1e-9);
}

TEST(OutlineStudy, ExamplesAreReachedAndToldInFullSentences) {
    for (const std::string& name : example_names()) {
        const Document document = example(name);
        const Plan plan = plan_of(document);
        const OutlineStudy study = study_outline(plan, document.job, document.shelf);
        EXPECT_TRUE(study.reached) << name;
        EXPECT_LE(study.largest_off_mm + study.certified_to_mm, reached_mm) << name;
        double round = 0.0;
        for (const OutlineCut& c : study.cuts) {
            EXPECT_TRUE(c.passes) << name;
            round += c.length_mm;
        }
        EXPECT_GE(round, geometry::length_mm(plan.outline) - 1e-6) << name;
        for (const auto& told : words::outline_text(study, plan, document.job)) {
            EXPECT_FALSE(told.title.empty());
            EXPECT_FALSE(told.lines.empty() && told.cautions.empty());
            for (const auto& line : told.lines) {
                EXPECT_FALSE(line.empty());
                for (const char* odd : {"  ", " 0.000 in", " 0.00 mm", " the :", "the to the"})
                    EXPECT_EQ(line.find(odd), std::string::npos) << line;
                EXPECT_NE(std::string(".:)").find(line.back()), std::string::npos) << line;
            }
        }
        const auto settings = words::outline_settings_text(study, document.job);
        EXPECT_THAT(settings, ::testing::Contains(HasSubstr("template or straightedge")));
        EXPECT_THAT(settings, ::testing::Contains(HasSubstr("Speed at most")));
    }
}

TEST(OutlineStudy, IsTheSameEveryTime) {
    const Document document = example("hall-console");
    EXPECT_EQ(all_text(study_of(document), document), all_text(study_of(document), document));
}

}  // namespace
}  // namespace seamwright::plan::testing
