#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "edit_jobs.h"
#include "geometry/path_index.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using edit_jobs::edited;
using edit_jobs::refused;
using geometry::Point;

OpenJob blank(units::Unit unit = units::Unit::millimetre) {
    return edit_jobs::opened(edit::blank_document(unit, edit::shelf_of(edit_jobs::example("hall-console"))));
}

double largest_mm(const geometry::Path& from, const geometry::Path& to) {
    const geometry::PathIndex index(to);
    return geometry::largest_distance(from, index, 0.01).value_mm;
}

class EveryWay : public testing::TestWithParam<const char*> {};

TEST_P(EveryWay, ASeamWithoutPlacesIsPlannedAtOnce) {
    for (const auto unit : {units::Unit::millimetre, units::Unit::inch}) {
        for (const char* through : {"[]", "[[310, 150]]"}) {
            const auto result = edited(blank(unit), std::string(R"([{"draw_seam": {"as": ")") + GetParam() +
                                                        R"(", "mm_per_px": 1, "through": )" + through + "}}]");
            for (const auto& problem : result.job.problems())
                EXPECT_NE(problem.weight, job::Problem::Weight::error) << job::show(problem);
            ASSERT_EQ(result.job.plan().seams.size(), 1u) << result.job.text();
            EXPECT_EQ(result.job.plan().seams[0].name, "seam 1");
            EXPECT_EQ(result.says, "Seam 1 drawn");
            EXPECT_EQ(result.job.plan().pieces.size(), 2u);
        }
    }
}
INSTANTIATE_TEST_SUITE_P(Draw, EveryWay,
                         testing::Values("straight", "arc", "sprung", "wave", "pins", "oval", "circle", "edging"));

TEST(Draw, EndsAreCarriedOnPastTheEdge) {
    const auto pins =
        edited(blank(),
               R"([{"draw_seam": {"as": "pins", "mm_per_px": 1, "through": [[100, 150], [600, 210], [1100, 160]]}}])");
    const auto& points = std::get<curves::Pins>(pins.job.document().job.seams[0].curve).points;
    ASSERT_EQ(points.size(), 5u);
    EXPECT_LE(points.front().x, -39.0);
    EXPECT_GE(points.back().x, 1239.0);
    EXPECT_EQ(points[1], (Point{100, 150}));
    EXPECT_EQ(points[2], (Point{600, 210}));
    EXPECT_FALSE(job::any_error(pins.job.problems()));

    // A place close to the edge means the edge: no pin stands in the last inch of the wood.
    const auto close = edited(
        blank(), R"([{"draw_seam": {"as": "pins", "mm_per_px": 1, "through": [[4, 150], [600, 210], [1196, 160]]}}])");
    EXPECT_EQ(std::get<curves::Pins>(close.job.document().job.seams[0].curve).points.size(), 3u);
    EXPECT_FALSE(job::any_error(close.job.problems()));
}

TEST(Draw, ABattenLeavesTheWoodWhereItWasPointedAt) {
    struct Drawn {
        const char* through;
        Point first, last;
    };
    const Drawn all[] = {{"[[2, 170], [350, 250], [800, 120], [1198, 210]]", {0, 170}, {1200, 210}},
                         {"[[0, 60], [600, 330], [1200, 60]]", {0, 60}, {1200, 60}},
                         {"[[1199, 300], [500, 100], [1, 320]]", {1200, 300}, {0, 320}},
                         {"[[300, 1], [600, 200], [1199, 200]]", {300, 0}, {1200, 200}}};
    for (const Drawn& one : all) {
        const auto result = edited(
            blank(), std::string(R"([{"draw_seam": {"as": "pins", "mm_per_px": 1, "through": )") + one.through + "}}]");
        EXPECT_FALSE(job::any_error(result.job.problems())) << one.through;
        const geometry::Path& seam = result.job.plan().seams.at(0).in_wood;
        // Pointed at from up to 2 mm beside the edge, on a slant; and pins stand on the marks of a rule.
        EXPECT_LT(geometry::distance(seam.start(), one.first), 1.2) << one.through;
        EXPECT_LT(geometry::distance(seam.end(), one.last), 1.2) << one.through;
    }
}

TEST(Draw, AnArcGoesThroughItsMiddlePlace) {
    const auto result = edited(
        blank(), R"([{"draw_seam": {"as": "arc", "mm_per_px": 0.1, "through": [[5, 150], [600, 210], [1195, 150]]}}])");
    const geometry::PathIndex index(result.job.plan().seams.at(0).in_wood);
    EXPECT_LT(index.distance_mm({600, 210}), 0.3);
}

TEST(Draw, OvalFillsTheCornersAndACircleGoesFromMiddleToEdge) {
    const auto oval =
        edited(blank(), R"([{"draw_seam": {"as": "oval", "mm_per_px": 1, "through": [[800, 100], [400, 300]]}}])");
    EXPECT_EQ(oval.job.written_at("/seams/0/curve/oval/length"), "400");
    EXPECT_EQ(oval.job.written_at("/seams/0/curve/oval/width"), "200");
    EXPECT_EQ(oval.job.written_at("/seams/0/curve/oval/centre/0"), "600");
    const auto circle =
        edited(blank(), R"([{"draw_seam": {"as": "circle", "mm_per_px": 1, "through": [[600, 200], [660, 280]]}}])");
    EXPECT_EQ(circle.job.written_at("/seams/0/curve/circle/diameter"), "200");
    const auto edging = edited(blank(), R"([{"draw_seam": {"as": "edging", "mm_per_px": 1, "through": [[600, 61]]}}])");
    EXPECT_EQ(edging.job.written_at("/seams/0/width"), "60");
}

TEST(Draw, InchSeamsAreWrittenInInches) {
    const auto result =
        edited(blank(units::Unit::inch),
               R"([{"draw_seam": {"as": "pins", "mm_per_px": 0.5, "through": [[10, 150], [600, 210]]}}])");
    const std::string y = result.job.written_at("/seams/0/curve/pins/points/1/1").value_or("");
    EXPECT_TRUE(y.ends_with(" in") || y.find('.') != std::string::npos) << y;
    EXPECT_FALSE(job::any_error(result.job.problems()));
}

TEST(Draw, NamesAreFree) {
    const auto result = edited(blank(), R"([
        {"draw_seam": {"as": "straight", "mm_per_px": 1, "through": []}},
        {"set": "/seams/0/name", "value": "seam 2"},
        {"draw_seam": {"as": "straight", "mm_per_px": 1, "through": []}}])");
    EXPECT_EQ(result.job.document().job.seams[1].name, "seam 3");
    // The second lies across the larger piece, not on the first.
    EXPECT_FALSE(job::any_error(result.job.problems()));
}

TEST(Redraw, PinsHoldTheCourse) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto result = edited(job, R"([{"redraw": "/seams/0", "as": "pins"}])");
    EXPECT_EQ(result.says, "Front seam drawn with pins");
    EXPECT_LE(largest_mm(result.job.plan().seams[0].in_wood, job.plan().seams[0].in_wood), 0.6);
    EXPECT_LE(std::get<curves::Pins>(result.job.document().job.seams[0].curve).points.size(), 12u);
    // And back: one wave of the same length, as high as the farthest crest: 18 + 4 mm, and 4 mm more because the ends,
    // from which it is measured, lie on the crests of the second wave.
    const auto wave = edited(result.job, R"([{"redraw": "/seams/0", "as": "wave"}])");
    const auto& term = std::get<curves::Wave>(wave.job.document().job.seams[0].curve).terms.at(0);
    EXPECT_NEAR(term.half_height_mm, 26.0, 1.0);
    EXPECT_NEAR(term.length_mm, 1590.0, 15.0);
}

TEST(Redraw, ArcAndPinsOfOneArcAreTheSame) {
    const OpenJob job = edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)"));
    const auto pins = edited(job, R"([{"redraw": "/seams/0", "as": "pins"}])");
    EXPECT_EQ(std::get<curves::Pins>(pins.job.document().job.seams[0].curve).points.size(), 3u);
    const auto stick = edited(pins.job, R"([{"redraw": "/seams/0", "as": "sprung"}])");
    EXPECT_NEAR(std::get<curves::Sprung>(stick.job.document().job.seams[0].curve).rise_mm.value(), 45.0, 0.05);
    EXPECT_EQ(stick.says, "Middle seam drawn as a sprung stick");
    const auto arc = edited(pins.job, R"([{"redraw": "/seams/0", "as": "arc"}])");
    EXPECT_NEAR(std::get<curves::Arc>(arc.job.document().job.seams[0].curve).rise_mm.value(), 45.0, 0.05);
    EXPECT_EQ(arc.job.written_at("/seams/0/curve/arc/bulge"), "left");
    const auto wave = edited(job, R"([{"redraw": "/seams/0", "as": "wave"}])");
    EXPECT_NEAR(std::get<curves::Wave>(wave.job.document().job.seams[0].curve).terms.at(0).length_mm, 2560.0, 1.0);
}

TEST(Redraw, OvalsComeBackFromTheirPins) {
    std::string text = edit_jobs::example("round-table");
    edit_jobs::replace(text, R"("turn_degrees": 0)", R"("turn_degrees": 30)");
    const OpenJob job = edit_jobs::opened(text);
    const auto pins = edited(job, R"([{"redraw": "/seams/1", "as": "pins"}])");
    EXPECT_LE(largest_mm(pins.job.plan().seams[1].in_wood, job.plan().seams[1].in_wood), 1.5);
    const auto oval = edited(pins.job, R"([{"redraw": "/seams/1", "as": "oval"}])");
    const auto& back = std::get<curves::Oval>(oval.job.document().job.seams[1].curve);
    EXPECT_NEAR(back.length_mm, 340.0, 1.5);
    EXPECT_NEAR(back.width_mm, 240.0, 1.5);
    EXPECT_NEAR(back.turn_rad * 180.0 / geometry::pi, 30.0, 1.0);
    const auto circle = edited(job, R"([{"redraw": "/seams/1", "as": "circle"}])");
    // Same area: the mean by products of 340 and 240.
    EXPECT_NEAR(std::get<curves::Oval>(circle.job.document().job.seams[1].curve).length_mm, std::sqrt(340.0 * 240.0),
                0.5);
    EXPECT_EQ(refused(job, R"([{"redraw": "/seams/1", "as": "wave"}])").front().pointer, "/seams/1/curve");
    EXPECT_EQ(refused(job, R"([{"redraw": "/seams/0", "as": "pins"}])").front().pointer, "/seams/0");
}

TEST(AddPin, LiesOnTheCurveBetweenItsNeighbours) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto result = edited(job, R"([{"add_pin": "/seams/1/curve", "at": [500, 240], "mm_per_px": 1}])");
    const auto& points = std::get<curves::Pins>(result.job.document().job.seams[1].curve).points;
    ASSERT_EQ(points.size(), 6u);
    EXPECT_NEAR(points[2].x, 500.0, 5.0);
    EXPECT_LE(largest_mm(result.job.plan().seams[1].in_wood, job.plan().seams[1].in_wood), 0.2);
    EXPECT_EQ(result.says, "Pin 3 of back seam added");
    EXPECT_EQ(refused(job, R"([{"add_pin": "/seams/1", "at": [320, 261], "mm_per_px": 1}])").front().pointer,
              "/seams/1");
}

TEST(AddPin, OtherCurvesBecomePinsFirst) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto result = edited(job, R"([{"add_pin": "/seams/0", "at": [333, 170], "mm_per_px": 1}])");
    EXPECT_TRUE(std::holds_alternative<curves::Pins>(result.job.document().job.seams[0].curve));
    EXPECT_FALSE(job::any_error(result.job.problems()));
}

TEST(AddPin, EdgesOfTheTopTakePins) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto back = edited(job, R"([{"add_pin": "/top/outline", "at": [500, 440], "mm_per_px": 1}])");
    EXPECT_EQ(
        std::get<job::DrawnEdge>(std::get<job::RectangleOutline>(back.job.document().job.outline).back).pins.size(),
        4u);
    EXPECT_EQ(back.job.written_at("/top/outline/rectangle/back/pins/1/0").value_or("").substr(0, 3), "500");
    const auto front = edited(job, R"([{"add_pin": "/top/outline/rectangle/front", "at": [500, 3], "mm_per_px": 1}])");
    EXPECT_EQ(front.job.written_at("/top/outline/rectangle/front/pins/0/1"), "0");
    // The last pin of an edge taken out leaves it straight, as it was.
    const auto gone = edited(front.job, R"([{"remove": "/top/outline/rectangle/front/pins/0"}])");
    EXPECT_EQ(gone.job.text(), job.text());
}

RC_GTEST_PROP(AddPin, AddedAndRemovedIsTheSameDocument, ()) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const double x = *rc::gen::inRange(5, 1500), y = *rc::gen::inRange(150, 350);
    std::string at = "[";
    at.append(std::to_string(x)).append(", ").append(std::to_string(y)).append("]");
    const auto added = edit_jobs::try_edit(job, R"([{"add_pin": "/seams/1", "mm_per_px": 1, "at": )" + at + "}]");
    if (std::holds_alternative<edit::Refused>(added)) RC_DISCARD("too near to a pin");
    const auto& done = std::get<OpenJob::Edited>(added);
    const std::string pin = std::to_string(std::stoi(done.says.substr(4)) - 1);
    const auto gone = edited(done.job, R"([{"remove": "/seams/1/curve/pins/points/)" + pin + R"("}])");
    RC_ASSERT(gone.job.text() == job.text());
}

TEST(Import, KeepsTheTextAndSaysWhatItIs) {
    const auto open = edited(
        blank(),
        R"([{"import": "", "svg_path": "M -40 -150 C 300 -250\n 900 -50 1240 -200", "unit": "mm", "name": "brought"}])");
    EXPECT_EQ(open.job.document().job.seams[0].name, "brought");
    EXPECT_EQ(open.job.written_at("/seams/0/curve/svg_path/d"), "M -40 -150 C 300 -250  900 -50 1240 -200");
    EXPECT_EQ(open.job.written_at("/seams/0/kind"), "open");
    EXPECT_FALSE(job::any_error(open.job.problems()));
    const auto closed = edited(
        blank(),
        R"([{"import": "", "csv": "x,y\n500,100\n700,100\n700,300\n500,300\n500,100\n", "unit": "mm", "name": ""}])");
    EXPECT_EQ(closed.job.written_at("/seams/0/kind"), "inlay");
    EXPECT_EQ(closed.job.document().job.seams[0].name, "seam 1");
    // Into a seam that is there, and off the top: brought to the middle.
    const auto again =
        edited(closed.job, R"([{"import": "/seams/0", "svg_path": "M 0 0 H 400 V 300 Z", "unit": "px", "name": ""}])");
    EXPECT_TRUE(again.job.written_at("/seams/0/curve/svg_path/move/0").has_value());
    EXPECT_EQ(again.job.written_at("/seams/0/curve/svg_path/unit_size"), "1/96 in");
    EXPECT_FALSE(job::any_error(again.job.problems()));
    EXPECT_NE(refused(blank(), R"([{"import": "", "svg_path": "M 0 0 Q", "unit": "mm", "name": ""}])")
                  .front()
                  .found.find("line 1"),
              std::string::npos);
    EXPECT_FALSE(refused(blank(), R"([{"import": "", "csv": "1,2\n3,4\n", "unit": "px", "name": ""}])").empty());
}

/// A trace of a gentle wave 700 mm long, as the program gives it.
std::string trace_group() {
    std::string csv;
    for (int i = 0; i <= 175; ++i) {
        const double x = -350.0 + 4.0 * i;
        csv += std::to_string(x) + "," + std::to_string(20.0 * std::sin(x / 110.0)) + ",0.1\\n";
    }
    return R"({"csv": ")" + csv +
           R"(", "smooth_below": "120 mm", "picture": {"kind": "photo", "file": "sketch.jpg", "marks": 18, "near_mm": 0.2,
           "overall_mm": 0.7}})";
}

TEST(Trace, IsLaidOnTheTopAndCarriedOnPastItsEdge) {
    const auto laid = edited(blank(), R"([{"trace": "", "name": "", "traced": )" + trace_group() + "}]");
    EXPECT_EQ(laid.says, "Seam 1 brought in");
    EXPECT_FALSE(job::any_error(laid.job.problems()));
    ASSERT_EQ(laid.job.plan().seams.size(), 1u);
    EXPECT_FALSE(laid.job.plan().seams[0].in_wood.empty());
    const auto& traced = std::get<curves::Traced>(laid.job.document().job.seams[0].curve);
    EXPECT_GT(traced.run_on_start_mm, 100.0);
    EXPECT_GT(traced.run_on_end_mm, 100.0);
    ASSERT_TRUE(traced.source);
    EXPECT_EQ(traced.source->picture, "sketch.jpg");
    // It is laid and turned as a whole.
    const auto handles = laid.job.seam_handles(0);
    ASSERT_EQ(handles.size(), 2u);
    EXPECT_EQ(handles[0].id, "/seams/0/curve/traced/at");
    EXPECT_EQ(handles[1].id, "/seams/0/curve/traced#turn");
    const auto moved = edited(laid.job, R"([{"move": "/seams/0/curve/traced/at", "to": [700, 260], "mm_per_px": 1}])");
    const auto& there = std::get<curves::Traced>(moved.job.document().job.seams[0].curve);
    EXPECT_EQ(there.at, (geometry::Point{700.0, 260.0}));
    EXPECT_EQ(there.points, traced.points);
    const auto turned = edited(
        moved.job, R"([{"move": "/seams/0/curve/traced#turn", "to": [980, 310], "mm_per_px": 1, "free": true}])");
    EXPECT_NEAR(std::get<curves::Traced>(turned.job.document().job.seams[0].curve).turn_rad, std::atan2(50.0, 280.0),
                2e-5);
    // Drawn with pins it keeps its course.
    const auto pins = edited(laid.job, R"([{"redraw": "/seams/0", "as": "pins"}])");
    EXPECT_TRUE(std::holds_alternative<curves::Pins>(pins.job.document().job.seams[0].curve));
}

TEST(Trace, GoesIntoASeamThatIsThereAndIsRefusedAsAWhole) {
    const auto drawn = edited(blank(), R"([{"draw_seam": {"as": "straight", "mm_per_px": 1, "through": []}}])");
    const auto into = edited(drawn.job, R"([{"trace": "/seams/0", "name": "", "traced": )" + trace_group() + "}]");
    EXPECT_TRUE(std::holds_alternative<curves::Traced>(into.job.document().job.seams[0].curve));
    EXPECT_EQ(into.job.document().job.seams.size(), 1u);
    const auto problems = refused(blank(), R"([{"trace": "", "name": "", "traced": {"csv": "1,2\n3,4\n"}}])");
    EXPECT_EQ(problems.front().pointer, "/seams/0/curve/traced/csv");
    EXPECT_FALSE(refused(blank(), R"([{"trace": "", "name": "", "traced": 7}])").empty());
    EXPECT_FALSE(refused(blank(), R"([{"trace": "", "name": ""}])").empty());
}

TEST(Piece, IsNamedWhereItLies) {
    const OpenJob job = edited(blank(), R"([{"draw_seam": {"as": "straight", "mm_per_px": 1, "through": []}}])").job;
    const auto named = edited(job, R"([{"piece": [600, 50], "species": "Walnut, black"}])");
    EXPECT_EQ(named.job.document().job.pieces.size(), 1u);
    EXPECT_GT(named.job.plan().pieces[0].weight_kg, 0.0);
    const auto again = edited(named.job, R"([{"piece": [20, 20], "name": "front board", "grain_degrees": 15}])");
    ASSERT_EQ(again.job.document().job.pieces.size(), 1u);
    EXPECT_EQ(again.job.document().job.pieces[0].name, "front board");
    EXPECT_EQ(again.job.document().job.pieces[0].species, "Walnut, black");
    EXPECT_EQ(refused(job, R"([{"piece": [6000, 50], "species": "Walnut, black"}])").front().pointer, "/pieces");
}

TEST(Shelf, TheShopsShelfTakesTheJobsPlace) {
    const OpenJob job = blank(units::Unit::inch);
    const std::string shop = edit::shelf_of(edit_jobs::example("round-table"));
    const auto result = edited(job, R"([{"take_shop_shelf": true}])", shop);
    EXPECT_TRUE(result.shelf_changed);
    EXPECT_EQ(edit::shelf_of(result.job.text()), shop);
    EXPECT_NEAR(result.job.document().shelf.guides[0].outside.nominal_mm, 30.0, 1e-9);
    EXPECT_FALSE(edited(result.job, R"([{"take_shop_shelf": true}])", shop).shelf_changed);
    EXPECT_FALSE(refused(job, R"([{"take_shop_shelf": true}])").empty());
}

}  // namespace
