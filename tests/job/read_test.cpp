#include <gtest/gtest.h>

#include <cmath>

#include "job_files.h"

namespace seamwright::job::testing {
namespace {

constexpr double pi = geometry::pi;

Document accepted(const std::string& text, const FetchFile& fetch = no_files) {
    Reading reading = read_document(text, fetch);
    EXPECT_TRUE(reading.document) << show_all(reading.problems) << text;
    return reading.document.value_or(Document{});
}

template <typename T>
T curve_of(const std::string& curve, const std::string& kind = "open") {
    const Document document =
        accepted(small_job(R"("kind": "open", "curve": {"straight": {"from": [-30, 200], "to": [1030, 200]}})",
                           R"("kind": ")" + kind + R"(", "curve": )" + curve));
    if (document.job.seams.empty()) return {};
    const T* found = std::get_if<T>(&document.job.seams[0].curve);
    EXPECT_NE(found, nullptr);
    return found != nullptr ? *found : T{};
}

TEST(Read, ConvertsInchesExactly) {
    // 1 in = 25.4 mm exactly (international inch, 1959).
    const Document document = accepted(slurp(source("examples/bench-top.json")));
    const auto& top = std::get<RectangleOutline>(document.job.outline);
    EXPECT_DOUBLE_EQ(top.length_mm, 59.5 * 25.4);
    EXPECT_DOUBLE_EQ(document.job.thickness_mm, 44.45);
    const auto& arch = std::get<curves::Arc>(document.job.seams[0].curve);
    EXPECT_DOUBLE_EQ(arch.radius_mm.value_or(0.0), 1524.0);
    EXPECT_DOUBLE_EQ(document.job.pieces[0].at.x, 29.75 * 25.4);
    EXPECT_EQ(document.job.style.unit, units::Unit::inch);
}

TEST(Read, KeepsTheDefaultsOfWhatIsNotSaid) {
    const Document document = accepted(small_job());
    EXPECT_EQ(document.job.sheet, TemplateSheet{});
    EXPECT_EQ(document.job.limits, Limits{});
    EXPECT_EQ(document.job.paper, Paper{});
    EXPECT_EQ(document.shelf.cutters.at(0).flutes, 2);
    EXPECT_FALSE(document.shelf.guides.at(0).outside.measured_mm.has_value());
    EXPECT_FALSE(document.job.seams.at(0).master.has_value());
}

TEST(Read, TakesLengthsWithTheirOwnUnitInAnyJob) {
    const Document document = accepted(small_job("\"thickness\": 30", "\"thickness\": \"1 3/8 in\""));
    EXPECT_DOUBLE_EQ(document.job.thickness_mm, 34.925);
}

TEST(Read, SaysOnWhichSideAnArcBulges) {
    const auto left = curve_of<curves::Arc>(R"({"arc": {"from": [0,0], "to": [1000,0], "rise": 50, "bulge": "left"}})");
    const auto right =
        curve_of<curves::Arc>(R"({"arc": {"from": [0,0], "to": [1000,0], "radius": 900, "bulge": "right"}})");
    EXPECT_EQ(left.rise_mm, 50.0);
    EXPECT_FALSE(left.radius_mm.has_value());
    EXPECT_EQ(right.radius_mm, -900.0);
    EXPECT_FALSE(right.rise_mm.has_value());
}

TEST(Read, TurnsDegreesIntoRadians) {
    const auto oval = curve_of<curves::Oval>(
        R"({"oval": {"centre": [500, 200], "length": 300, "width": 200, "turn_degrees": 90}})", "inlay");
    EXPECT_DOUBLE_EQ(oval.turn_rad, pi / 2.0);
    const auto pins = curve_of<curves::Pins>(R"({"pins": {"points": [[0,0],[900,9]], "end_degrees": -45}})");
    EXPECT_DOUBLE_EQ(pins.end_heading_rad.value_or(0.0), -pi / 4.0);
    EXPECT_FALSE(pins.start_heading_rad.has_value());
}

TEST(Read, TakesTheLieOfTheBatten) {
    const auto lie = [](const std::string& said) {
        return curve_of<curves::Pins>(R"({"pins": {"points": [[0,0],[400,30],[900,9]])" + said + "}}").batten;
    };
    EXPECT_EQ(lie(""), curves::Batten::even);
    EXPECT_EQ(lie(R"(, "batten": "even")"), curves::Batten::even);
    EXPECT_EQ(lie(R"(, "batten": "free")"), curves::Batten::free);
}

TEST(Read, DrawsACircleAsAnOvalOfEqualSides) {
    const auto circle = curve_of<curves::Oval>(R"({"circle": {"centre": [500, 200], "diameter": 250}})", "inlay");
    EXPECT_EQ(circle.length_mm, 250.0);
    EXPECT_EQ(circle.width_mm, 250.0);
}

TEST(Read, TurnsSvgOverAndMovesItIntoPlace) {
    // SVG's y runs down the page (SVG 2 section 8.2): drawn at y = 10 below the origin, it lies at −10 before the move.
    const auto path =
        curve_of<curves::Imported>(R"({"svg_path": {"d": "M 0 10 H 96", "unit_size": "1/96 in", "move": [100, 50]}})");
    ASSERT_EQ(path.path.segments.size(), 1u);
    EXPECT_NEAR(path.path.start().x, 100.0, 1e-9);
    EXPECT_NEAR(path.path.start().y, 50.0 - 10.0 * 25.4 / 96.0, 1e-9);
    EXPECT_NEAR(path.path.end().x, 100.0 + 25.4, 1e-9);
}

TEST(Read, ReadsPointsInTheirUnit) {
    const auto by_job = curve_of<curves::Imported>(R"({"points": {"csv": "0,0\n500,1\n1000,0"}})");
    const auto by_inch =
        curve_of<curves::Imported>(R"({"points": {"csv": "0,0\n20,1\n40,0", "unit": "in", "move": [-5, 7]}})");
    ASSERT_EQ(by_job.path.segments.size(), 2u);
    EXPECT_EQ(by_job.path.segments[0].end, (Point{500.0, 1.0}));
    EXPECT_NEAR(by_inch.path.segments[0].end.x, 20.0 * 25.4 - 5.0, 1e-9);
    EXPECT_NEAR(by_inch.path.segments[0].end.y, 25.4 + 7.0, 1e-9);
}

TEST(Read, FetchesAFileOfPointsAndKeepsItsContents) {
    const std::string text =
        small_job(R"({"straight": {"from": [-30, 200], "to": [1030, 200]}})", R"({"points": {"file": "edge.csv"}})");
    std::string asked;
    const Document document = accepted(text, [&](const std::string& name, std::string&) {
        asked = name;
        return std::optional<std::string>("x,y\n-30,200\n500,190\n1030,200\n");
    });
    EXPECT_EQ(asked, "edge.csv");
    const std::string written = write_document(document);
    EXPECT_EQ(written.find("edge.csv"), std::string::npos);
    const Document again = accepted(written);  // no file is at hand here
    EXPECT_EQ(std::get<curves::Imported>(again.job.seams[0].curve).path,
              std::get<curves::Imported>(document.job.seams[0].curve).path);
}

TEST(Read, SaysWhyAFileCannotBeRead) {
    const std::string text =
        small_job(R"({"straight": {"from": [-30, 200], "to": [1030, 200]}})", R"({"points": {"file": "edge.csv"}})");
    for (const std::string bytes : {"1,2\xFF\n", "1,2\none,two\n"}) {
        const Reading reading =
            read_document(text, [&](const std::string&, std::string&) { return std::optional<std::string>(bytes); });
        ASSERT_EQ(reading.problems.size(), 1u);
        EXPECT_EQ(reading.problems[0].pointer, "/seams/0/curve/points/file");
    }
    const Reading nowhere = read_document(text, {});
    ASSERT_EQ(nowhere.problems.size(), 1u);
    EXPECT_NE(nowhere.problems[0].found.find("no files can be read"), std::string::npos);
}

TEST(Read, TakesEdgePinsInEitherDirection) {
    const auto edge = [](const std::string& pins) {
        const Document document =
            accepted(small_job("\"width\": 400", "\"width\": 400, \"back\": {\"pins\": " + pins + "}"));
        return std::get<DrawnEdge>(std::get<RectangleOutline>(document.job.outline).back).pins;
    };
    const std::vector<Point> counter_clockwise{{700, 410}, {300, 415}};
    EXPECT_EQ(edge("[[700, 410], [300, 415]]"), counter_clockwise);
    EXPECT_EQ(edge("[[300, 415], [700, 410]]"), counter_clockwise);
}

TEST(Read, RoundsCornersInTheOrderOfTheHeader) {
    const Document document = accepted(small_job(
        "\"width\": 400", R"("width": 400, "corner_radius": {"back_right": 30, "front_left": 10, "back_left": 40})"));
    EXPECT_EQ(std::get<RectangleOutline>(document.job.outline).corner_radius_mm,
              (std::array<double, 4>{10.0, 0.0, 30.0, 40.0}));
}

TEST(Read, MarksThePlaceOnTheDrawing) {
    const Reading reading = read(small_job(R"({"straight": {"from": [-30, 200], "to": [1030, 200]}})",
                                           R"({"pins": {"points": [[0, 0], [70, 80], [70, 80]]}})"));
    ASSERT_EQ(reading.problems.size(), 1u);
    EXPECT_EQ(reading.problems[0].at, (Point{70.0, 80.0}));
}

// Every key of the format, mistyped by one letter, leads back to itself.
TEST(Read, LeadsAMistypedNameBackToTheRightOne) {
    const std::string all = slurp(source("tests/cases/job/good/all-settings.json"));
    for (const std::string name :
         {"seamwright", "name",    "note",          "unit",           "show",          "fractions",
          "decimals",   "top",     "thickness",     "outline",        "rectangle",     "length",
          "width",      "seams",   "kind",          "curve",          "straight",      "from",
          "pieces",     "species", "grain_degrees", "shelf",          "guides",        "outside",
          "barrel",     "cutters", "diameter",      "cutting_length", "shank",         "template",
          "run_out",    "limits",  "first_pass",    "last_pass",      "below_wood",    "feed_per_minute",
          "reveal",     "paper",   "overlap",       "margin",         "measured_bar_x"}) {
        std::string text = all;
        const std::string key = "\"" + name + "\":";
        const std::size_t at = text.find(key);
        ASSERT_NE(at, std::string::npos) << name;
        std::string mistyped = name;
        std::swap(mistyped[1], mistyped[2]);
        if (mistyped == name) mistyped[1] = 'q';
        text.replace(at, key.size(), "\"" + mistyped + "\":");
        const std::string shown = show_all(read(text).problems);
        EXPECT_NE(shown.find("write \"" + name + "\""), std::string::npos) << shown;
    }
}

}  // namespace
}  // namespace seamwright::job::testing
