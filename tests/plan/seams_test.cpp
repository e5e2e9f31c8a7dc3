#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using geometry::Path;

void expect_refused(const Document& document, const std::string& pointer, const std::string& words,
                    std::optional<Point> at = {}) {
    const Plan plan = plan_of(document);
    const auto found = errors(plan);
    ASSERT_EQ(found.size(), 1u) << show_all(plan.problems);
    EXPECT_EQ(found[0].pointer, pointer);
    EXPECT_NE(found[0].found.find(words), std::string::npos) << found[0].found;
    EXPECT_FALSE(found[0].allowed.empty());
    EXPECT_FALSE(found[0].remedy.empty());
    if (at) {
        ASSERT_TRUE(found[0].at);
        EXPECT_NEAR(found[0].at->x, at->x, 1e-6);
        EXPECT_NEAR(found[0].at->y, at->y, 1e-6);
    }
    EXPECT_TRUE(plan.pieces.empty());
}

TEST(Seams, ThatCrossAreRefusedWithThePlace) {
    Document document = small();
    document.job.seams.push_back(open_seam("across", {400.0, -30.0}, {600.0, 430.0}));
    expect_refused(document, "/seams/1", "meets the seam \"seam\" at 500.0 mm from the left, 200.0 mm from the front",
                   Point{500.0, 200.0});
}

TEST(Seams, ThatEndInsideAreRefused) {
    Document document = small();
    document.job.seams[0] = open_seam("seam", {-30.0, 200.0}, {900.0, 200.0});
    expect_refused(document, "/seams/0", "ends inside the wood at 900.0 mm", Point{900.0, 200.0});
}

TEST(Seams, ThatMissTheTopAreRefused) {
    Document document = small();
    document.job.seams[0] = open_seam("seam", {-30.0, 500.0}, {1030.0, 500.0});
    expect_refused(document, "/seams/0", "never enters the wood");
}

TEST(Seams, ThatLeaveTheTopInBetweenAreRefused) {
    Document document = small();
    document.job.seams[0].curve = curves::Wave{{-30.0, 300.0}, {1030.0, 300.0}, {{150.0, 400.0, 0.0}}};
    const auto found = errors(plan_of(document));
    ASSERT_FALSE(found.empty());
    EXPECT_EQ(found[0].pointer, "/seams/0");
    EXPECT_NE(found[0].found.find("once more"), std::string::npos) << found[0].found;
}

TEST(Seams, ThatCrossThemselvesAreRefused) {
    Document document = small();
    const std::vector<Point> loop{{-30.0, 100.0}, {600.0, 100.0}, {600.0, 300.0}, {400.0, 300.0},
                                  {400.0, 50.0},  {800.0, 50.0},  {1030.0, 50.0}};
    document.job.seams[0].curve = curves::Imported{geometry::polyline(loop), 0.0};
    expect_refused(document, "/seams/0", "crosses or touches itself", Point{400.0, 100.0});
}

TEST(Seams, ClosedOnesMustLieInside) {
    Document document = small();
    document.job.seams[0] = inlay("oval", curves::Oval{{500.0, 200.0}, 300.0, 500.0, 0.0});
    expect_refused(document, "/seams/0", "does not lie wholly inside");
}

TEST(Seams, AnEdgingMustLeaveAField) {
    Document document = small();
    document.job.seams[0] = edging("edging", 201.0);
    expect_refused(document, "/seams/0/width", "leaves nothing inside it");
}

TEST(Seams, TwoEdgingsMustDiffer) {
    Document document = small();
    document.job.seams = {edging("first", 40.0), edging("second", 40.0)};
    expect_refused(document, "/seams/1/width", "first");
}

TEST(Seams, ThatCannotBeDrawnAreRefused) {
    Document document = small();
    document.job.seams[0].curve = curves::Arc{{-30.0, 200.0}, {1030.0, 200.0}, 100.0, std::nullopt};
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].pointer, "/seams/0/curve");
}

TEST(Seams, EndAtTheInnerEdgeOfTheEdging) {
    Document document = small();
    document.job.seams.push_back(edging("edging", 50.0));
    document.job.seams.push_back(edging("line", 20.0));
    const Plan plan = plan_of(document);
    EXPECT_TRUE(errors(plan).empty()) << show_all(plan.problems);
    EXPECT_EQ(plan.pieces.size(), 4u);
    EXPECT_NEAR(plan.seams[0].length_mm, 900.0, 1e-9);
    EXPECT_NEAR(plan.seams[0].in_wood.start().x, 50.0, 1e-9);
    double sum = 0.0;
    for (const auto& p : plan.pieces) sum += p.area_mm2;
    EXPECT_NEAR(sum, 400000.0, 1e-6);
    std::vector<double> areas;
    for (const auto& p : plan.pieces) areas.push_back(p.area_mm2);
    std::sort(areas.begin(), areas.end());
    EXPECT_NEAR(areas[0], 400000.0 - 960.0 * 360.0, 1e-6);
    EXPECT_NEAR(areas[1], 960.0 * 360.0 - 900.0 * 300.0, 1e-6);
    EXPECT_NEAR(areas[2], 450.0 * 300.0, 1e-6);
}

TEST(Seams, ClosedOnesComeOutCounterClockwise) {
    Document document = small();
    const std::vector<Point> clockwise{{400.0, 100.0}, {400.0, 300.0}, {600.0, 300.0}, {600.0, 100.0}};
    document.job.seams[0] = inlay("patch", curves::Pins{clockwise, true, std::nullopt, std::nullopt});
    const Plan plan = plan_of(document);
    const SeamPlan& seam = plan.seams.at(0);
    EXPECT_GT(geometry::area_mm2(seam.in_wood), 0.0);
    EXPECT_EQ(seam.drawn.path, seam.in_wood);
    // Pins on a circle give the circle: it turns left all the way, at the radius of the pins.
    ASSERT_TRUE(seam.drawn.tightest_left);
    EXPECT_FALSE(seam.drawn.tightest_right);
    EXPECT_TRUE(seam.drawn.tightest_left->turns_left);
    EXPECT_NEAR(seam.drawn.tightest_left->radius_mm, 100.0 * std::sqrt(2.0), 1e-6);
    double before = -1.0;
    for (const auto& c : seam.drawn.curvature) {
        EXPECT_GE(c.at_mm, before - 1e-9);
        EXPECT_GT(c.curvature, 0.0);
        before = c.at_mm;
    }
}

TEST(Pieces, TakeTheNameOfThePlaceInThem) {
    Document document = small();
    document.job.pieces = {{"back", {500.0, 300.0}, "Walnut, black", 0.0, {}},
                           {"front", {500.0, 100.0}, "Ash, white", 0.5, {}}};
    const Plan plan = plan_of(document);
    EXPECT_TRUE(plan.problems.empty()) << show_all(plan.problems);
    ASSERT_EQ(plan.pieces.size(), 2u);
    EXPECT_EQ(plan.pieces[0].name, "back");
    EXPECT_NEAR(plan.pieces[0].box.low.y, 200.0, 1e-9);
    EXPECT_EQ(plan.pieces[1].grain_rad, 0.5);
    const auto& steps = plan.seams.at(0).steps;
    EXPECT_TRUE(std::any_of(steps.begin(), steps.end(),
                            [](const StepPlan& s) { return s.title == "Cut the left edge: back"; }));
}

TEST(Pieces, WithoutANameGetOneAndAWarning) {
    Document document = small();
    document.job.pieces = {{"Piece A", {500.0, 300.0}, "Walnut, black", 0.0, {}}};
    const Plan plan = plan_of(document);
    ASSERT_EQ(plan.pieces.size(), 2u);
    EXPECT_EQ(plan.pieces[1].name, "Piece B");
    EXPECT_FALSE(plan.pieces[1].named);
    ASSERT_EQ(plan.problems.size(), 1u);
    EXPECT_EQ(plan.problems[0].weight, job::Problem::Weight::warning);
    EXPECT_TRUE(plan.seams.at(0).closes);
}

TEST(Pieces, TwoNamesInOneAreRefused) {
    Document document = small();
    document.job.pieces = {{"one", {500.0, 300.0}, "Walnut, black", 0.0, {}},
                           {"two", {600.0, 310.0}, "Ash, white", 0.0, {}}};
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].pointer, "/pieces/1/at");
    EXPECT_NE(found[0].found.find("\"one\""), std::string::npos);
}

TEST(Pieces, OutsideTheTopAreRefused) {
    Document document = small();
    document.job.pieces = {{"one", {500.0, 500.0}, "Walnut, black", 0.0, {}}};
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].pointer, "/pieces/0/at");
}

/// The job of a plan drawn as ready-made lines, every line and place put elsewhere.
Document redrawn(const Document& document, const Plan& plan, const std::function<Path(const Path&)>& put,
                 const std::function<Point(Point)>& put_point) {
    Document other = document;
    other.job.outline = job::FreeOutline{curves::Imported{put(plan.outline), 0.0}};
    for (std::size_t i = 0; i < other.job.seams.size(); ++i) {
        if (other.job.seams[i].kind != job::SeamKind::edging)
            other.job.seams[i].curve = curves::Imported{put(plan.seams[i].drawn.path), 0.0};
    }
    for (auto& p : other.job.pieces) p.at = put_point(p.at);
    return other;
}

// Law P3 of parallel.h, for the whole plan.
TEST(Seams, MovedTurnedMirroredAndReversedGiveTheSamePieces) {
    const Point far{10000.0, -7000.0};
    const double angle = 0.7;
    const auto mirrored_point = [](Point p) { return Point{p.x, -p.y}; };
    const auto turned_point = [&](Point p) {
        return Point{p.x * std::cos(angle) - p.y * std::sin(angle), p.x * std::sin(angle) + p.y * std::cos(angle)};
    };
    struct Variant {
        const char* name;
        std::function<Path(const Path&)> put;
        std::function<Point(Point)> put_point;
    };
    const std::vector<Variant> variants{
        {"moved", [&](const Path& p) { return geometry::moved(p, far); }, [&](Point p) { return p + far; }},
        {"turned", [&](const Path& p) { return geometry::turned(p, {}, angle); }, turned_point},
        {"mirrored", [&](const Path& p) { return geometry::mirrored(p); }, mirrored_point},
        {"reversed", [&](const Path& p) { return geometry::reversed(p); }, [](Point p) { return p; }}};
    for (const auto& name : example_names()) {
        const Document document = example(name);
        const Plan plan = plan_of(document);
        for (const auto& variant : variants) {
            const Plan other = plan_of(redrawn(document, plan, variant.put, variant.put_point));
            ASSERT_TRUE(other.problems.empty()) << name << " " << variant.name << "\n" << show_all(other.problems);
            ASSERT_EQ(other.pieces.size(), plan.pieces.size());
            for (std::size_t i = 0; i < plan.pieces.size(); ++i) {
                EXPECT_EQ(other.pieces[i].name, plan.pieces[i].name);
                EXPECT_NEAR(other.pieces[i].area_mm2, plan.pieces[i].area_mm2, 1e-9 * plan.area_mm2)
                    << name << " " << variant.name;
            }
            for (std::size_t i = 0; i < plan.seams.size(); ++i) {
                EXPECT_NEAR(other.seams[i].length_mm, plan.seams[i].length_mm, 1e-7);
                EXPECT_LE(other.seams[i].simulation.largest_gap_mm, 0.001);
                EXPECT_TRUE(other.seams[i].closes);
            }
        }
    }
}

}  // namespace
}  // namespace seamwright::plan::testing
