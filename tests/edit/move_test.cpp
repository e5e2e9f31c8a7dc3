#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "edit_jobs.h"
#include "geometry/path_index.h"

namespace {

using namespace seamwright;
using edit::Handle;
using edit::OpenJob;
using edit_jobs::edited;
using edit_jobs::handle;
using edit_jobs::refused;
using geometry::Point;

Point middle_of(const OpenJob& job) {
    return geometry::midpoint(job.plan().box.low, job.plan().box.high);
}

TEST(Move, PinFollowsThePointerToTheMarksOfTheRule) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto result =
        edited(job, R"([{"move": "/seams/1/curve/pins/points/2", "to": [751.3, 262.9], "mm_per_px": 1}])");
    EXPECT_EQ(result.says, "Pin 3 of back seam moved");
    EXPECT_EQ(result.job.written_at("/seams/1/curve/pins/points/2/0"), "750");
    EXPECT_EQ(result.job.written_at("/seams/1/curve/pins/points/2/1"), "265");
    const auto fine =
        edited(job, R"([{"move": "/seams/1/curve/pins/points/2", "to": [751.3, 262.9], "mm_per_px": 0.1}])");
    EXPECT_EQ(fine.job.written_at("/seams/1/curve/pins/points/2/0"), "751.5");
    const auto free = edited(
        job, R"([{"move": "/seams/1/curve/pins/points/2", "to": [751.314, 262.9], "mm_per_px": 1, "free": true}])");
    EXPECT_EQ(free.job.written_at("/seams/1/curve/pins/points/2/0"), "751.31");
    EXPECT_FALSE(free.shelf_changed);
}

TEST(Move, InchesAreWrittenAsOnTheRule) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("bench-top"));
    const auto result = edited(job, R"([{"redraw": "/seams/0", "as": "pins"},
        {"move": "/seams/0/curve/pins/points/1", "to": [500.3, 260], "mm_per_px": 0.9}])");
    // 500.3 mm are 19.70 in; marks of 1/4 in lie 7 px apart, of 1/8 in less than four.
    EXPECT_EQ(result.job.written_at("/seams/0/curve/pins/points/1/0"), "19 3/4 in");
    EXPECT_EQ(result.job.written_at("/seams/0/curve/pins/points/1/1"), "10 1/4 in");
    // What was not touched stays as the maker wrote it.
    EXPECT_EQ(result.job.written_at("/top/outline/rectangle/length"), "59 1/2 in");
}

TEST(Move, PinsDoNotPassEachOther) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto result = edited(job, R"([{"move": "/seams/1/curve/pins/points/1", "to": [1400, 250], "mm_per_px": 1}])");
    const auto& pins = std::get<curves::Pins>(result.job.document().job.seams[1].curve);
    EXPECT_LT(pins.points[1].x, pins.points[2].x);
    EXPECT_GT(pins.points[1].x, 600.0);  // as near as it gets
}

TEST(Move, EndSlidesAlongTheEdgeAndKeepsItsRun) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    for (const char* id : {"/seams/0/curve/wave/from", "/seams/1/curve/pins/points/0"}) {
        const std::size_t seam = id[7] == '0' ? 0 : 1;
        const auto result =
            edited(job, std::string(R"([{"move": ")") + id + R"(", "to": [31, 201.4], "mm_per_px": 0.25}])");
        const Point at = result.job.plan().seams.at(seam).in_wood.start();
        EXPECT_NEAR(at.x, 0.0, 1e-6);
        EXPECT_NEAR(at.y, 201.0, 0.01);
        EXPECT_EQ(handle(result.job, id).at, at);
        const auto& curve = result.job.document().job.seams[seam].curve;
        const Point drawn =
            seam == 0 ? std::get<curves::Wave>(curve).from : std::get<curves::Pins>(curve).points.front();
        EXPECT_NEAR(drawn.x, -40.0, 1e-3);
        EXPECT_EQ(result.says, seam == 0 ? "Left end of front seam moved" : "Left end of back seam moved");
    }
}

TEST(Move, EndGoesRoundACorner) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto result =
        edited(job, R"([{"move": "/seams/0/curve/wave/from", "to": [200, -50], "mm_per_px": 1, "free": true}])");
    const Point at = handle(result.job, "/seams/0/curve/wave/from").at;
    EXPECT_NEAR(at.y, 0.0, 0.01);
    EXPECT_NEAR(at.x, 200.0, 0.02);
    EXPECT_LE(std::get<curves::Wave>(result.job.document().job.seams[0].curve).from.y, -40.0 + 1e-3);
}

TEST(Move, RiseTurnsOverWithThePointer) {
    const OpenJob job = edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)"));
    const std::string id = "/seams/0/curve/arc#rise";
    EXPECT_EQ(handle(job, id).at, (Point{600.0, 175.0}));
    EXPECT_EQ(handle(job, id).value, "45.0 mm");
    const auto up = edited(job, R"([{"move": "/seams/0/curve/arc#rise", "to": [580, 192], "mm_per_px": 1}])");
    EXPECT_EQ(up.job.written_at("/seams/0/curve/arc/rise"), "60");
    EXPECT_EQ(up.says, "Rise of middle seam: 60.0 mm");
    const auto down = edited(job, R"([{"move": "/seams/0/curve/arc#rise", "to": [580, 99.8], "mm_per_px": 0.2}])");
    EXPECT_EQ(down.job.written_at("/seams/0/curve/arc/rise"), "30");
    EXPECT_EQ(down.job.written_at("/seams/0/curve/arc/bulge"), "right");
}

TEST(Move, RadiusNeverGoesBelowHalfTheChord) {
    const OpenJob job = edit_jobs::opened(edit_jobs::one_arc(R"("radius": 2000)"));
    const auto result = edited(job, R"([{"move": "/seams/0/curve/arc#radius", "to": [600, 5000], "mm_per_px": 1}])");
    EXPECT_NEAR(std::get<curves::Arc>(result.job.document().job.seams[0].curve).radius_mm.value(), 640.0, 0.5);
}

TEST(Move, TheCrestOfAStickIsItsRise) {
    const OpenJob job = edit_jobs::opened(edit_jobs::one_stick(R"("rise": 45)"));
    const std::string id = "/seams/0/curve/sprung#rise";
    EXPECT_EQ(handle(job, id).at, (Point{600.0, 175.0}));
    EXPECT_EQ(handle(job, id).value, "45.0 mm");
    const auto up = edited(job, R"([{"move": "/seams/0/curve/sprung#rise", "to": [580, 192], "mm_per_px": 1}])");
    EXPECT_EQ(up.job.written_at("/seams/0/curve/sprung/rise"), "60");
    EXPECT_EQ(up.says, "Rise of middle seam: 60.0 mm");
    const auto down = edited(job, R"([{"move": "/seams/0/curve/sprung#rise", "to": [580, 99.8], "mm_per_px": 0.2}])");
    EXPECT_EQ(down.job.written_at("/seams/0/curve/sprung/rise"), "30");
    EXPECT_EQ(down.job.written_at("/seams/0/curve/sprung/bulge"), "right");
    const auto far = edited(job, R"([{"move": "/seams/0/curve/sprung#rise", "to": [600, 99999], "mm_per_px": 1}])");
    EXPECT_EQ(far.job.written_at("/seams/0/curve/sprung/rise"), "1536") << "1.2 of the 1280 between the ends";
}

// check_values.csv, elastica_pinned_strip: chord/length 0.95 rises by 0.1401106 of the length.
TEST(Move, TheCrestOfAStickOfGivenLengthIsItsLength) {
    const OpenJob job = edit_jobs::opened(edit_jobs::one_stick(R"("length": 1400)"));
    const double length_mm = 1280.0 / 0.95;
    std::ostringstream crest;
    crest.precision(12);
    crest << R"([{"move": "/seams/0/curve/sprung#length", "mm_per_px": 1, "free": true, "to": [600, )"
          << 130.0 + 0.1401106 * length_mm << "]}]";
    const auto moved = edited(job, crest.str());
    const auto& sprung = std::get<curves::Sprung>(moved.job.document().job.seams[0].curve);
    EXPECT_NEAR(sprung.length_mm.value(), length_mm, 0.006);
    EXPECT_FALSE(sprung.rise_mm);
    EXPECT_NEAR(handle(moved.job, "/seams/0/curve/sprung#length").at.y, 130.0 + 0.1401106 * length_mm, 0.02);
    EXPECT_EQ(handle(moved.job, "/seams/0/curve/sprung#length").name, "Length of the stick");
    // On the chord no stick is left: it stays a mark longer than its ends are apart.
    const auto flat = edited(job, R"([{"move": "/seams/0/curve/sprung#length", "to": [600, 130], "mm_per_px": 1}])");
    const double flattest = *std::get<curves::Sprung>(flat.job.document().job.seams[0].curve).length_mm;
    EXPECT_GT(flattest, 1280.0);
    EXPECT_LE(flattest, 1280.5);
    const auto right = edited(job, R"([{"move": "/seams/0/curve/sprung#length", "to": [600, 60], "mm_per_px": 1}])");
    EXPECT_EQ(right.job.written_at("/seams/0/curve/sprung/bulge"), "right");
    const auto nudged = edited(job, R"([{"nudge": "/seams/0/curve/sprung#length", "steps": [0, 1], "size": "rule"}])");
    EXPECT_EQ(nudged.job.written_at("/seams/0/curve/sprung/length"), "1401");
}

TEST(Move, TheEndsOfAStickSlideAlongTheEdge) {
    for (const char* size : {R"("rise": 45)", R"("length": 1300)"}) {
        const OpenJob job = edit_jobs::opened(edit_jobs::one_stick(size));
        const auto moved = edited(job, R"([{"move": "/seams/0/curve/sprung/to", "to": [1205, 90], "mm_per_px": 0.2}])");
        EXPECT_FALSE(job::any_error(moved.job.problems())) << size;
        EXPECT_NEAR(moved.job.plan().seams[0].in_wood.end().y, 90.0, 0.01) << size;
        EXPECT_NEAR(moved.job.plan().seams[0].in_wood.start().y, job.plan().seams[0].in_wood.start().y, 6.0) << size;
    }
}

TEST(Move, ALongerTopTakesALongerStick) {
    for (const char* size : {R"("rise": 45)", R"("length": 1300)"}) {
        const OpenJob job = edit_jobs::opened(edit_jobs::one_stick(size));
        const double crest = geometry::bounding_box(job.plan().seams[0].in_wood).high.y;
        const auto longer =
            edited(job, R"([{"move": "/top/outline/rectangle#length", "to": [1300, 0], "mm_per_px": 0.5}])");
        EXPECT_FALSE(job::any_error(longer.job.problems())) << size;
        const auto& seam = longer.job.plan().seams.at(0);
        EXPECT_NEAR(geometry::bounding_box(seam.in_wood).high.y, crest, 0.5) << size;
        EXPECT_TRUE(std::holds_alternative<curves::Sprung>(longer.job.document().job.seams[0].curve));
    }
}

TEST(Move, SizesOfTheOutline) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto longer =
        edited(job, R"([{"move": "/top/outline/rectangle#length", "to": [1521.2, 0], "mm_per_px": 0.5}])");
    EXPECT_EQ(longer.job.written_at("/top/outline/rectangle/length"), "1520");
    EXPECT_EQ(longer.says, "Length of the top: 1520.0 mm");
    const auto corner = edited(
        job, R"([{"move": "/top/outline/rectangle/corner_radius#back_left", "to": [9, 411], "mm_per_px": 0.05}])");
    EXPECT_NEAR(std::get<job::RectangleOutline>(corner.job.document().job.outline).corner_radius_mm[3], 30.7, 1.0);
    EXPECT_EQ(corner.job.written_at("/top/outline/rectangle/corner_radius/front_left"), "12");
    const auto pin =
        edited(job, R"([{"move": "/top/outline/rectangle/back/pins/1", "to": [700, 441], "mm_per_px": 0.25}])");
    EXPECT_EQ(pin.job.written_at("/top/outline/rectangle/back/pins/1/1"), "441");
    EXPECT_EQ(pin.says, "Pin 2 of the back edge moved");
}

TEST(Move, ATopMadeLongerTakesItsSeamsAlong) {
    for (const char* name : {"hall-console", "bench-top"}) {
        const OpenJob job = edit_jobs::opened(edit_jobs::example(name));
        const auto longer =
            edited(job, R"([{"move": "/top/outline/rectangle#length", "to": [1700, 0], "mm_per_px": 0.5}])");
        EXPECT_FALSE(job::any_error(longer.job.problems())) << name << job::show(longer.job.problems().front());
        for (std::size_t i = 0; i < job.plan().seams.size(); ++i) {
            EXPECT_NEAR(longer.job.plan().seams[i].in_wood.end().x, longer.job.plan().box.high.x, 1e-6);
            // What was drawn stays; pins near the old end may give way a little.
            const geometry::PathIndex line(longer.job.plan().seams[i].in_wood);
            EXPECT_LT(geometry::largest_distance(job.plan().seams[i].in_wood, line, 0.01).value_mm, 1.5) << name << i;
        }
        EXPECT_EQ(longer.job.written_at("/seams/0/curve/arc/from/0"), job.written_at("/seams/0/curve/arc/from/0"));
    }
}

TEST(Move, ATopNeverBecomesTooSmallForWhatIsOnIt) {
    for (const char* name : {"hall-console", "bench-top", "round-table"}) {
        const OpenJob job = edit_jobs::opened(edit_jobs::example(name));
        for (const auto& handle : job.outline_handles()) {
            for (const Point to : {Point{-500, -500}, Point{5000, 5000}, Point{3, 3}}) {
                const auto result = edit_jobs::try_edit(job, edit_jobs::move_text(handle.id, to, 0.7, false));
                const auto* refused = std::get_if<edit::Refused>(&result);
                EXPECT_EQ(refused, nullptr) << name << handle.id << job::show(refused->problems.front());
            }
        }
    }
}

TEST(Move, UnknownHandlesAreRefusedWithTheirPlace) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    EXPECT_EQ(refused(job, R"([{"move": "/seams/9/curve/arc#rise", "to": [0, 0], "mm_per_px": 1}])").front().pointer,
              "/seams/9/curve/arc");
    EXPECT_FALSE(refused(job, R"([{"move": "/seams/0#width", "to": [0, 0], "mm_per_px": 1}])").empty());
    EXPECT_FALSE(refused(job, R"([{"move": "/seams/0/curve/wave/from", "to": [0], "mm_per_px": 1}])").empty());
    EXPECT_FALSE(refused(job, R"([{"move": "/seams/0/curve/wave/from", "to": [0, 0], "mm_per_px": 0}])").empty());
}

TEST(Nudge, GoesByStepsOfTheRule) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const auto pin = edited(job, R"([{"nudge": "/seams/1/curve/pins/points/1", "steps": [2, -1], "size": "rule"}])");
    EXPECT_EQ(pin.job.written_at("/seams/1/curve/pins/points/1/0"), "322");
    EXPECT_EQ(pin.job.written_at("/seams/1/curve/pins/points/1/1"), "259");
    const auto coarse =
        edited(job, R"([{"nudge": "/seams/0/curve/wave/terms/0#height", "steps": [0, 1], "size": "coarse"}])");
    EXPECT_EQ(coarse.job.written_at("/seams/0/curve/wave/terms/0/half_height"), "28");
    const auto fine =
        edited(job, R"([{"nudge": "/seams/0/curve/wave/terms/0#height", "steps": [0, -1], "size": "fine"}])");
    EXPECT_EQ(fine.job.written_at("/seams/0/curve/wave/terms/0/half_height"), "17.5");
    const Point before = handle(job, "/seams/0/curve/wave/to").at;
    const auto end = edited(job, R"([{"nudge": "/seams/0/curve/wave/to", "steps": [0, 3], "size": "rule"}])");
    EXPECT_NEAR(handle(end.job, "/seams/0/curve/wave/to").at.y, before.y + 3.0, 0.01);
    const OpenJob inch = edit_jobs::opened(edit_jobs::example("bench-top"));
    const auto radius = edited(inch, R"([{"nudge": "/seams/0/curve/arc#radius", "steps": [1, 0], "size": "rule"}])");
    EXPECT_EQ(radius.job.written_at("/seams/0/curve/arc/radius"), "60 1/16 in");
}

// Every handle of every example goes where it is asked to go, as near as its marks allow, and nothing else moves it.
RC_GTEST_PROP(MoveAny, HandleIsThenWhereItWasAsked, ()) {
    const auto name = *rc::gen::element<std::string>("hall-console", "bench-top", "round-table");
    const OpenJob job = edit_jobs::opened(edit_jobs::example(name));
    auto handles = job.outline_handles();
    for (std::size_t i = 0; i < job.document().job.seams.size(); ++i) {
        const auto more = job.seam_handles(i);
        handles.insert(handles.end(), more.begin(), more.end());
    }
    const Handle before = *rc::gen::elementOf(handles);
    const bool free = *rc::gen::arbitrary<bool>();
    const auto part = [] { return *rc::gen::inRange(-100, 101) / 100.0; };
    // Within 15 mm nothing runs into its limits.
    const Point by{15.0 * part(), 15.0 * part()};
    const Point to = before.at + by;
    const double mm_per_px = *rc::gen::inRange(1, 20) / 10.0;
    const auto result = edit_jobs::try_edit(job, edit_jobs::move_text(before.id, to, mm_per_px, free));
    RC_ASSERT(std::holds_alternative<OpenJob::Edited>(result));
    const auto& done = std::get<OpenJob::Edited>(result);
    if (done.job.plan().seams.empty()) RC_DISCARD("the plan has errors");
    const Handle after = handle(done.job, before.id);
    RC_ASSERT(!after.value.empty());
    const bool inch = job.document().job.style.unit == units::Unit::inch;
    // Marks lie up to five times as wide apart as a pointer needs (1 and 5 mm), a size may change by 2 mm for each of
    // the handle, and the nearest is within half.
    const double mark = free ? 0.011 : std::max(0.5 * 5.0 * 2.0 * 4.0 * mm_per_px, inch ? 25.4 / 32.0 : 0.5);
    switch (before.kind) {
        case Handle::Kind::pin:
        case Handle::Kind::centre:
            RC_ASSERT(std::abs(after.at.x - to.x) <= mark);
            RC_ASSERT(std::abs(after.at.y - to.y) <= mark);
            break;
        case Handle::Kind::end: {
            const geometry::PathIndex edge(job.plan().outline);
            RC_ASSERT(edge.distance_mm(after.at) < 1e-6);
            // Round tops with an edging have no open seam here, so the outline is what ends slide along.
            RC_ASSERT(geometry::distance(after.at, edge.nearest(to).point) <= (free ? 0.01 : mark));
            break;
        }
        case Handle::Kind::turn:
        case Handle::Kind::shift:
            break;  // angles and parts of waves have marks of their own
        default: {
            if (before.id.find("#radius") != std::string::npos) break;  // its marks depend on how flat it is
            if (!before.from || geometry::distance(*before.from, before.at) < 40.0) break;  // near the least size
            Point way = (before.at - *before.from) / geometry::distance(*before.from, before.at);
            // On a sum of waves the handle rides on the others; the length itself is along the seam.
            if (before.id.find("wave") != std::string::npos && before.kind == Handle::Kind::length) {
                const auto& wave = std::get<curves::Wave>(job.document().job.seams[0].curve);
                way = (wave.to - wave.from) / geometry::distance(wave.from, wave.to);
            }
            RC_ASSERT(std::abs(geometry::dot(after.at - to, way)) <= mark);
        }
    }
}

TEST(Move, MirroredTopMovesMirrored) {
    // The same arc drawn from right to left: the handle says the same and stands at the same place.
    const OpenJob there = edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)"));
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, R"("from": [-40, 130], "to": [1240, 130])", R"("from": [1240, 130], "to": [-40, 130])");
    edit_jobs::replace(text, R"("bulge": "left")", R"("bulge": "right")");
    const OpenJob back = edit_jobs::opened(text);
    for (const char* to : {"[600, 190]", "[600, 80]", "[300, 150]"}) {
        const std::string edit =
            std::string(R"([{"move": "/seams/0/curve/arc#rise", "mm_per_px": 1, "to": )") + to + "}]";
        const auto a = edited(there, edit), b = edited(back, edit);
        EXPECT_EQ(a.job.written_at("/seams/0/curve/arc/rise"), b.job.written_at("/seams/0/curve/arc/rise"));
        EXPECT_NE(a.job.written_at("/seams/0/curve/arc/bulge"), b.job.written_at("/seams/0/curve/arc/bulge"));
    }
    EXPECT_EQ(handle(there, "/seams/0/curve/arc/from").name, "Left end");
    EXPECT_EQ(handle(back, "/seams/0/curve/arc/from").name, "Right end");
    EXPECT_EQ(middle_of(there), middle_of(back));
}

}  // namespace
