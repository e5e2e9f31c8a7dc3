#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "geometry/segment.h"
#include "job_files.h"
#include "same_document.h"

namespace seamwright::job::testing {
namespace {

// Documents as wild as the format allows. Angles are whole multiples of a degree's fraction, because the document
// holds degrees; everything else is any double of its range.
double within(double low, double high) {
    const auto n = *rc::gen::inRange<std::int64_t>(0, std::int64_t{1} << 53);
    const double u = static_cast<double>(n) / static_cast<double>(std::int64_t{1} << 53);
    return low + u * (high - low);
}
double size(double low, double high) {
    return std::exp(within(std::log(low * 1.000001), std::log(high * 0.999999)));
}
Point place() {
    return {within(-40000.0, 40000.0), within(-40000.0, 40000.0)};
}
double angle() {
    const double degrees = *rc::gen::element(0.0, 30.0, 90.0, -12.5, within(-360.0, 360.0));
    return degrees * (geometry::pi / 180.0) + 0.0;
}
std::string name(std::size_t number) {
    return *rc::gen::element<std::string>("Mitte", "\"left\" \\ 1/2 in", "seam/~", "čelní spára", "接合") +
           std::to_string(number);
}
template <typename T, typename Make>
std::optional<T> maybe(Make make) {
    return *rc::gen::arbitrary<bool>() ? std::optional<T>(make()) : std::nullopt;
}

curves::Imported traced(bool closed) {
    std::vector<Point> points;
    const int count = *rc::gen::inRange(3, 20);
    for (int i = 0; i < count; ++i) points.push_back(place());
    return {geometry::polyline(points, closed), *rc::gen::element(0.0, 0.002)};
}
curves::Imported lines_and_arcs(bool closed) {
    curves::Imported imported;
    Point at = place();
    const Point begin = at;
    for (int i = *rc::gen::inRange(1, 10); i > 0; --i) {
        const double radius = size(1.0, 1e6);
        const Point to_centre = radius * geometry::unit(within(0.0, 6.0));
        const double sweep =
            within(0.01, std::min(6.0, 1000.0 / radius + 0.01)) * (*rc::gen::arbitrary<bool>() ? 1 : -1);
        const bool arc = *rc::gen::arbitrary<bool>();
        imported.path.segments.push_back(arc ? geometry::arc_about(at + to_centre, at, sweep)
                                             : geometry::line(at, at + Point{within(1.0, 100.0), within(-50.0, 50.0)}));
        at = imported.path.segments.back().end;
        // Starts and ends meet to rounding only.
        if (*rc::gen::arbitrary<bool>()) at.x = std::nextafter(at.x, 1e9);
    }
    imported.bound_mm = 0.002;
    imported.path.closed = closed;
    if (closed) imported.path.segments.push_back(geometry::line(at, begin));
    return imported;
}

curves::Curve open_curve() {
    const Point from = place();
    const Point to = from + size(2.0, 9000.0) * geometry::unit(within(0.0, 6.28));
    const double chord = geometry::distance(from, to);
    const double side = *rc::gen::arbitrary<bool>() ? 1.0 : -1.0;
    switch (*rc::gen::inRange(0, 9)) {
        case 0:
            return curves::Straight{from, to};
        case 1:
            return curves::Arc{from, to, side * chord * size(0.51, 50.0), std::nullopt};
        case 2:
            return curves::Arc{from, to, std::nullopt, side * chord * size(0.01, 1.5)};
        case 3: {
            curves::Wave wave{from, to, {}};
            for (int i = *rc::gen::inRange(1, 17); i > 0; --i) {
                wave.terms.push_back({size(0.001, 10000.0), size(1.0, 1e6), within(0.0, 1.0)});
            }
            return wave;
        }
        case 4: {
            curves::Pins pins;
            for (int i = *rc::gen::inRange(2, 30); i > 0; --i) pins.points.push_back(place());
            pins.start_heading_rad = maybe<double>(angle);
            pins.end_heading_rad = maybe<double>(angle);
            if (*rc::gen::arbitrary<bool>()) pins.batten = curves::Batten::free;
            return pins;
        }
        case 5:
            return traced(false);
        case 6:
            return curves::Sprung{from, to, std::nullopt, side * chord * size(0.01, 1.2)};
        case 7:
            return curves::Sprung{from, to, side * chord * size(1.01, 4.0), std::nullopt};
        default:
            return lines_and_arcs(false);
    }
}
curves::Curve closed_curve() {
    switch (*rc::gen::inRange(0, 4)) {
        case 0:
            return curves::Oval{place(), size(1.0, 20000.0), size(1.0, 20000.0), angle()};
        case 1: {
            curves::Pins pins;
            pins.closed = true;
            if (*rc::gen::arbitrary<bool>()) pins.batten = curves::Batten::free;
            for (int i = *rc::gen::inRange(3, 30); i > 0; --i) pins.points.push_back(place());
            return pins;
        }
        case 2:
            return traced(true);
        default:
            return lines_and_arcs(true);
    }
}

Edge edge(Point from, Point to) {
    const Point along = to - from;
    switch (*rc::gen::inRange(0, 3)) {
        case 0:
            return StraightEdge{};
        case 1:
            return BowedEdge{geometry::norm(along) * within(0.001, 0.4) * (*rc::gen::arbitrary<bool>() ? 1 : -1)};
        default:
            return DrawnEdge{{from + 0.2 * along + Point{0.3, 0.7}, from + 0.55 * along, from + 0.8 * along}};
    }
}
Outline outline() {
    switch (*rc::gen::inRange(0, 4)) {
        case 0: {
            RectangleOutline r;
            r.length_mm = size(100.0, 9000.0);
            r.width_mm = size(100.0, 9000.0);
            const Point a{0.0, 0.0}, b{r.length_mm, 0.0}, c{r.length_mm, r.width_mm}, d{0.0, r.width_mm};
            r.front = edge(a, b);
            r.right = edge(b, c);
            r.back = edge(c, d);
            r.left = edge(d, a);
            for (double& radius : r.corner_radius_mm) radius = within(0.0, 50.0);
            return r;
        }
        case 1:
            return RoundOutline{size(10.0, 20000.0)};
        case 2:
            return OvalOutline{size(10.0, 20000.0), size(10.0, 20000.0)};
        default:
            return FreeOutline{closed_curve()};
    }
}

shelf::Diameter diameter(double low, double high) {
    const double nominal = size(low, high);
    shelf::Diameter d{nominal, maybe<double>([&] { return nominal * 0.999; })};
    if (d.measured_mm) d.measured_within_mm = maybe<double>([] { return within(0.0, 2.0); });
    return d;
}
shelf::TestCut any_test_cut() {
    shelf::TestCut cut;
    cut.guide = name(0);
    cut.cutter = name(40);
    if (*rc::gen::arbitrary<bool>()) cut.on = name(80);
    cut.reading_within_mm = within(0.001, 1.0);
    for (auto& reading : cut.readings_mm) reading = maybe<double>([] { return within(0.0, 200.0); });
    return cut;
}
std::vector<Point> corners() {
    std::vector<Point> out;
    for (int i = *rc::gen::inRange(3, 6); i > 0; --i)
        out.push_back({300.0 * i + within(0.0, 200.0), within(0.0, 200.0)});
    return out;
}
shelf::Board any_board(std::size_t i) {
    shelf::Board board;
    board.name = name(i);
    board.species = "Walnut, black";
    board.length_mm = size(2000.0, 5000.0);
    board.width_mm = size(200.0, 900.0);
    board.thickness_mm = size(20.0, 60.0);
    board.planed_mm = maybe<double>([] { return size(2.0, 20.0); });
    board.thickness_class = *rc::gen::element<std::string>("", "5/4");
    board.slope_rad = *rc::gen::element(0.0, 2.5, -12.0) * (geometry::pi / 180.0) + 0.0;
    board.sawn = *rc::gen::element(shelf::Sawn::flat, shelf::Sawn::rift, shelf::Sawn::quarter);
    board.heart_up = maybe<bool>([] { return *rc::gen::arbitrary<bool>(); });
    board.moisture_percent = maybe<double>([] { return within(1.0, 60.0); });
    board.price = maybe<double>([] { return within(0.0, 1e6); });
    board.picture = *rc::gen::element<std::string>("", "ash 1.jpg", "boards/a..b.PNG");
    if (*rc::gen::arbitrary<bool>()) board.outline = corners();
    if (*rc::gen::arbitrary<bool>()) board.grain_lines = {corners(), corners()};
    using Defect = shelf::Defect;
    for (int n = *rc::gen::inRange(0, 4); n > 0; --n) {
        Defect defect;
        defect.kind = *rc::gen::element(Defect::Kind::knot, Defect::Kind::check, Defect::Kind::sapwood,
                                        Defect::Kind::wane, Defect::Kind::other);
        defect.allowed =
            *rc::gen::element(Defect::Allowed::nowhere, Defect::Allowed::away_from_seams, Defect::Allowed::anywhere);
        if (*rc::gen::arbitrary<bool>()) {
            defect.outline = corners();
        } else {
            defect.at = {within(0.0, 2000.0), within(0.0, 200.0)};
            defect.radius_mm = size(0.1, 1000.0);
        }
        board.defects.push_back(defect);
    }
    return board;
}
Air any_air(double least, double most) {
    const bool fahrenheit = *rc::gen::arbitrary<bool>();
    return {fahrenheit ? within(-4.0, 122.0) : within(-20.0, 50.0), fahrenheit, within(least, most)};
}
Climate any_climate() {
    return {maybe<Air>([] { return any_air(5.0, 95.0); }), maybe<Air>([] { return any_air(5.0, 50.0); }),
            maybe<Air>([] { return any_air(50.0, 95.0); })};
}
Base any_base() {
    return {size(1.0, 20.0), maybe<double>([] { return within(0.0, 10000.0); }),
            *rc::gen::arbitrary<bool>() ? size(10.0, 10000.0) : 0.0, within(0.0, 20000.0)};
}
Cutting any_cutting() {
    Cutting c{within(0.0, 100.0), size(0.5, 12.0), within(0.0, 20.0)};
    c.grain_within_rad = within(0.0, 30.0) * (geometry::pi / 180.0);
    c.defect_from_seam_mm = within(0.0, 500.0);
    c.joint_from_seam_mm = within(0.0, 500.0);
    c.narrowest_strip_mm = size(5.0, 1000.0);
    c.ends_mm = within(0.0, 500.0);
    c.turn_over = *rc::gen::arbitrary<bool>();
    using Sides = Cutting::HeartSides;
    c.heart_sides = *rc::gen::element(Sides::any, Sides::alternate, Sides::match);
    return c;
}
EdgeShape any_edge() {
    using Kind = EdgeShape::Kind;
    const Kind kind = *rc::gen::element(Kind::square, Kind::round_over, Kind::chamfer, Kind::cove);
    return {kind, kind == Kind::square ? 0.0 : size(0.2, 100.0)};
}
Day any_day() {
    return {std::chrono::year(*rc::gen::inRange(1900, 2999)), std::chrono::month(*rc::gen::inRange(1u, 13u)),
            std::chrono::day(*rc::gen::inRange(1u, 29u))};
}
Calendar any_calendar() {
    Calendar calendar;
    calendar.start = maybe<Day>(any_day);
    calendar.people = *rc::gen::inRange(1, 3);
    calendar.week[2] = {{480, 720}, {780, 1020}};
    if (*rc::gen::arbitrary<bool>()) calendar.week[6] = {{0, 1440}};
    if (*rc::gen::arbitrary<bool>()) calendar.off = {any_day()};
    return calendar;
}
Prices any_prices() {
    const auto price = [] { return maybe<double>([] { return within(0.0, 1e6); }); };
    Prices p;
    p.currency = *rc::gen::element<std::string>("", "EUR");
    for (auto* value : {&p.labour_per_hour, &p.sheet_per_m2, &p.adhesive_per_kg, &p.finish_per_litre,
                        &p.abrasive_per_sheet, &p.cutter_per_metre, &p.wood_per_m3})
        *value = price();
    p.waste_percent = within(0.0, 1000.0);
    p.overhead_percent = within(0.0, 1000.0);
    p.customer = *rc::gen::element<std::string>("", "the house by the river");
    p.terms = *rc::gen::element<std::string>("", "Half when ordered.\nHalf when delivered.");
    return p;
}
Made any_made() {
    Made made{"glue up",
              any_day(),
              maybe<double>([] { return within(0.0, 10000.0); }),
              maybe<double>([] { return within(0.0, 20.0); }),
              maybe<double>([] { return within(0.0, 200.0); }),
              maybe<double>([] { return within(0.0, 1000.0); }),
              ""};
    made.note = *rc::gen::element<std::string>("", "slid a little");
    return made;
}
void any_shop_work(Job& job) {
    job.edges = maybe<Edges>([] { return Edges{any_edge(), any_edge()}; });
    job.finish = maybe<Finish>(
        [] { return Finish{"hardwax_oil", *rc::gen::element<std::string>("", "wipe"), *rc::gen::inRange(0, 31)}; });
    job.calendar = maybe<Calendar>(any_calendar);
    job.prices = maybe<Prices>(any_prices);
    for (int n = *rc::gen::inRange(0, 3); n > 0; --n) job.made.push_back(any_made());
}
shelf::Disc any_disc() {
    shelf::Disc disc{"Ash, white",
                     *rc::gen::element<std::string>("", "2026-12-07"),
                     size(1.0, 120.0),
                     size(0.1, 60.0),
                     *rc::gen::arbitrary<bool>(),
                     {}};
    const auto degrees = [] { return within(0.0, 360.0) * (geometry::pi / 180.0); };
    for (int i = *rc::gen::inRange(0, 4); i > 0; --i)
        disc.rim.push_back({degrees(), degrees(), *rc::gen::arbitrary<bool>(),
                            *rc::gen::element(shelf::RimSeen::clean, shelf::RimSeen::fuzzy, shelf::RimSeen::torn)});
    return disc;
}
shelf::WorkDone any_work_done() {
    const auto some = [](double most) { return maybe<double>([most] { return within(0.0, most); }); };
    shelf::WorkDone done;
    done.job = name(0);
    done.step = name(1);
    done.on = "2026-12-07";
    done.note = *rc::gen::element<std::string>("", "slid a little\nwhen pressed");
    done.usual_min = some(1e6);
    done.hours = some(10000.0);
    done.guide = *rc::gen::element<std::string>("", "G 30");
    done.cutter = *rc::gen::element<std::string>("", "C 10");
    done.gap_mm = some(20.0);
    done.gap_told_mm = some(20.0);
    done.offset_mm = some(200.0);
    done.offset_told_mm = some(200.0);
    done.system = *rc::gen::element<std::string>("", "soap");
    done.area_m2 = some(10000.0);
    done.litres = some(1000.0);
    done.litres_told = some(1000.0);
    return done;
}
shelf::Shelf any_shelf() {
    shelf::Shelf shelf;
    for (std::size_t i = 0; i < 3; ++i) {
        shelf.guides.push_back({name(i), diameter(25.0, 140.0), size(1.0, 100.0), {}});
        if (*rc::gen::arbitrary<bool>()) shelf.guides.back().bore_mm = size(20.0, 24.0);
        if (*rc::gen::arbitrary<bool>())
            shelf.guides.back().off_centre = {within(-3.0, 3.0), within(-3.0, 3.0), within(0.0, 2.0)};
        shelf.bearings.push_back({name(i + 10), diameter(3.1, 149.0)});
    }
    for (std::size_t i = 0; i < 3; ++i) {
        shelf::Cutter cutter{name(i), diameter(2.0, 15.0), size(1.0, 250.0), size(2.0, 15.0), {}, {}, 2, {}};
        cutter.reach_mm = maybe<double>([&] { return cutter.cutting_length_mm + 2.0; });
        cutter.max_speed_rpm = maybe<double>([] { return within(1000.0, 60000.0); });
        cutter.flutes = *rc::gen::inRange(1, 9);
        if (*rc::gen::arbitrary<bool>()) cutter.bearings = {shelf.bearings[i].name};
        shelf.cutters.push_back(cutter);
    }
    for (std::size_t i = 0; i < 2; ++i) {
        if (*rc::gen::arbitrary<bool>())
            shelf.clamps.push_back({name(i), *rc::gen::inRange(1, 501), size(10.0, 6000.0), size(10.0, 50000.0)});
    }
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i) shelf.test_cuts.push_back(any_test_cut());
    for (std::size_t i = 0; i < 3; ++i) shelf.boards.push_back(any_board(i));
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i) shelf.discs.push_back(any_disc());
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i) shelf.work_done.push_back(any_work_done());
    return shelf;
}

Accuracy any_accuracy() {
    const auto error = [] { return within(0.0, 2.0); };
    Accuracy a{error(), error(), error(), error(), error(), error(), error()};
    a.held = *rc::gen::element(Held::one_way, Held::end_for_end, Held::with_edge, Held::any_way);
    a.routed_edge_mm = error();
    a.hand_edge_mm = error();
    a.edge_wave_mm = size(10.0, 5000.0);
    a.paper_per_metre_mm = within(0.0, 20.0);
    a.moisture_points = within(0.0, 20.0);
    return a;
}
Gluing any_gluing() {
    return {*rc::gen::element<std::string>("pva", "cross-linking-pva", "polyurethane", "epoxy", "urea", "hide"),
            *rc::gen::element<std::string>("D1", "D2", "D3", "D4", "Type II", "Type I"),
            within(-20.0, 50.0),
            *rc::gen::inRange(1, 3),
            size(5.0, 500.0),
            size(5.0, 500.0),
            within(0.0, 1.0)};
}

Stick any_stick() {
    return {*rc::gen::element<std::string>("Ash, white", "Spruce, Sitka"), size(0.2, 60.0)};
}

Document any_document() {
    Document document;
    document.shelf = any_shelf();
    const auto& boards = document.shelf.boards;
    Job& job = document.job;
    job.name = name(0);
    job.note = *rc::gen::element<std::string>("", "two\nlines", "a tab\tand \"quotes\"");
    job.style = {*rc::gen::element(units::Unit::millimetre, units::Unit::inch), 1 << *rc::gen::inRange(0, 7),
                 *rc::gen::inRange(0, 5), *rc::gen::arbitrary<bool>()};
    job.thickness_mm = size(1.0, 300.0);
    job.outline = outline();
    for (std::size_t i = 0; i < 3; ++i) {
        Seam seam;
        seam.name = name(i);
        seam.kind = *rc::gen::element(SeamKind::open, SeamKind::inlay, SeamKind::edging);
        if (seam.kind == SeamKind::open) seam.curve = open_curve();
        if (seam.kind == SeamKind::inlay) seam.curve = closed_curve();
        if (seam.kind == SeamKind::edging) {
            seam.edging_width_mm = size(3.0, 4.9);
            seam.segments = maybe<Segments>([] {
                return Segments{size(10.0, 5000.0), maybe<double>([] { return size(50.0, 10000.0); }),
                                *rc::gen::inRange(0, 121)};
            });
        }
        if (seam.kind != SeamKind::edging) seam.stick = maybe<Stick>(any_stick);
        seam.master = maybe<Seam::Hand>([] { return *rc::gen::element(Seam::Hand::left, Seam::Hand::right); });
        seam.chain = *rc::gen::element<std::string>("", "left:far(G30/C10)");
        job.seams.push_back(seam);
        Piece piece;
        piece.name = name(i);
        piece.at = place();
        piece.species = "Walnut, black";
        piece.grain_rad = angle();
        piece.moisture_percent = maybe<double>([] { return within(1.0, 60.0); });
        piece.one_board = *rc::gen::arbitrary<bool>();
        if (*rc::gen::arbitrary<bool>()) piece.from_boards = {boards[1].name, boards[0].name};
        if (*rc::gen::arbitrary<bool>())
            piece.laid = Laid{boards[2].name, place(), *rc::gen::arbitrary<bool>(), *rc::gen::arbitrary<bool>()};
        if (*rc::gen::arbitrary<bool>()) {
            piece.strips = 3;
            piece.laid_strips = {{2, {boards[1].name, place(), true, false}}};
        }
        job.pieces.push_back(piece);
        if (*rc::gen::arbitrary<bool>()) {
            job.pieces.back().board_mm = size(20.0, 5000.0);
            job.pieces.back().board_margin_mm = within(0.0, 9.0);
        }
    }
    job.stick = maybe<Stick>(any_stick);
    job.sheet = {size(1.0, 60.0), within(0.0, 1000.0), size(20.0, 2000.0)};
    job.limits = {size(0.001, 5.0),  size(0.1, 50.0),      size(0.1, 50.0),  size(0.1, 50.0),
                  within(0.0, 20.0), size(100.0, 20000.0), size(0.5, 100.0), *rc::gen::arbitrary<bool>(),
                  within(0.0, 1.0)};
    job.accuracy = any_accuracy();
    job.gluing = any_gluing();
    job.climate = any_climate();
    job.base = any_base();
    job.cutting = any_cutting();
    using Under = BuildUp::Ends;
    job.build_up = maybe<BuildUp>([] {
        return BuildUp{size(3.0, 300.0), size(3.0, 300.0),
                       *rc::gen::element(Under::end_grain, Under::floating, Under::glued_across)};
    });
    any_shop_work(job);
    job.paper = {*rc::gen::element<std::string>("A4", "A3", "Letter", "Tabloid"),
                 within(0.0, 50.0),
                 within(3.0, 35.0),
                 {within(90.0, 110.0), within(90.0, 110.0)}};
    return document;
}

RC_GTEST_PROP(Write, GivesBackTheSameDocumentToTheLastBit, ()) {
    const Document document = any_document();
    const std::string written = write_document(document);
    const Reading reading = read(written);
    if (!reading.document) RC_FAIL(show_all(reading.problems) + written);
    if (!same(*reading.document, document)) RC_FAIL("not the same:\n" + written);
    RC_ASSERT(write_document(*reading.document) == written);
}

TEST(Write, HasTheKeysInTheOrderOfTheSchema) {
    const std::string written = write_document(*read(small_job()).document);
    std::size_t last = 0;
    for (const std::string key : {"seamwright", "name", "unit", "show", "top", "seams", "pieces", "shelf", "template",
                                  "limits", "accuracy", "gluing", "base", "cutting", "paper"}) {
        const std::size_t at = written.find("\n  \"" + key + "\"");
        ASSERT_NE(at, std::string::npos) << key << written;
        EXPECT_GT(at, last) << key;
        last = at;
    }
}

TEST(Write, GivesTheSameBytesHoweverTheJobWasWrittenDown) {
    const std::string one = write_document(*read(small_job("\"thickness\": 30", "\"thickness\": \"3 cm\"")).document);
    const std::string other = write_document(*read(small_job("\"mm\",", "\"mm\", \"pieces\": [],")).document);
    EXPECT_EQ(one, other);
    EXPECT_NE(one.find("\"thickness\": 30,"), std::string::npos) << one;
}

// The bytes are hashed into plan.json: changing them is a change of the format, to be made on purpose.
TEST(Write, KeepsTheCanonicalBytes) {
    const std::string written = write_document(*read(small_job()).document);
    EXPECT_EQ(written, slurp(source("tests/cases/job/canonical.txt"))) << written;
}

TEST(Write, WritesAnglesAsTheMakerDid) {
    const std::string text = slurp(source("tests/cases/job/good/oval.json"));
    EXPECT_NE(write_document(*read(text).document).find("\"turn_degrees\": 30\n"), std::string::npos);
}

TEST(Write, KeepsAMillionTracedPoints) {
    std::string csv;
    for (int i = 0; i < 1'000'000; ++i) {
        csv += std::to_string(i * 0.001) + "," + std::to_string(200.0 + 5.0 * std::sin(i * 1e-5)) + "\n";
    }
    const std::string text =
        small_job(R"({"straight": {"from": [-30, 200], "to": [1030, 200]}})", R"({"points": {"file": "trace.csv"}})");
    const Reading reading =
        read_document(text, [&](const std::string&, std::string&) { return std::optional<std::string>(csv); });
    ASSERT_TRUE(reading.document) << show_all(reading.problems);
    const auto& path = std::get<curves::Imported>(reading.document->job.seams[0].curve).path;
    EXPECT_EQ(path.segments.size(), 999'999u);
    const Reading again = read(write_document(*reading.document));
    ASSERT_TRUE(again.document) << show_all(again.problems);
    EXPECT_EQ(std::get<curves::Imported>(again.document->job.seams[0].curve).path, path);
}

}  // namespace
}  // namespace seamwright::job::testing
