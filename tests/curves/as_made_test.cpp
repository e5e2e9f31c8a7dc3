#include "curves/as_made.h"

#include <gtest/gtest.h>

#include "geometry/path_index.h"

namespace seamwright::curves {
namespace {

std::vector<Reading> read(std::string_view text, const ReadingUnits& units = {1.0, 1.0}) {
    auto result = read_readings(text, units);
    if (auto* problem = std::get_if<ImportProblem>(&result)) {
        ADD_FAILURE() << problem->found << " / " << problem->allowed;
        return {};
    }
    return std::get<std::vector<Reading>>(std::move(result));
}

ImportProblem refused(std::string_view text, const ReadingUnits& units = {1.0, 1.0}) {
    auto result = read_readings(text, units);
    if (std::holds_alternative<std::vector<Reading>>(result)) {
        ADD_FAILURE() << "was not refused: " << text;
        return {};
    }
    return std::get<ImportProblem>(std::move(result));
}

TEST(Readings, CommaAndSemicolonAndTab) {
    for (const char* text :
         {"0,0.01\n50.5,-0.02\n100,0\n", "0;0,01\r\n50,5;-0,02\r\n100;0\r\n", "0\t0.01\n50,5\t-0,02\n100\t0",
          "# gauge on the bench\n\n0 ; 0.01\r50.5 ; -.02\r100 ; +0\r",
          "\xEF\xBB\xBF"
          "0,1e-2\n50.5,-2e-2\n1e2,0"}) {
        const auto r = read(text);
        ASSERT_EQ(r.size(), 3U) << text;
        EXPECT_EQ(r[0].at_mm, 0.0);
        EXPECT_EQ(r[0].height_mm, 0.01);
        EXPECT_EQ(r[1].at_mm, 50.5);
        EXPECT_EQ(r[1].height_mm, -0.02);
        EXPECT_EQ(r[2].at_mm, 100.0);
    }
}

TEST(Readings, UnitsAreStated) {
    const auto metric = read("Position mm; Deviation 0.01 mm\n0;3\n50;-2\n100;0\n", {});
    EXPECT_NEAR(metric[0].height_mm, 0.03, 1e-15);
    EXPECT_EQ(metric[0].line, 2U);
    const auto imperial = read("position (in),deviation [0.001 in]\n0,4\n10,-8\n20,0\n", {});
    EXPECT_NEAR(imperial[1].at_mm, 254.0, 1e-12);
    EXPECT_NEAR(imperial[1].height_mm, -0.2032, 1e-15);
    EXPECT_EQ(read("a;b\n0;1\n1;1\n2;1", {10.0, 0.01})[2].at_mm, 20.0);
    EXPECT_NE(refused("0,1\n1,1\n2,1", {}).found.find("no unit for the position"), std::string::npos);
    EXPECT_NE(refused("trim;um\n0;1\n1;1\n2;1", {1.0, {}}).found.find("no unit for the deviation"), std::string::npos);
    EXPECT_NE(refused("position mm;deviation mm\n0;1\n1;1\n2;1", {25.4, 1.0}).found.find("25.4"), std::string::npos);
    EXPECT_NE(refused("0;1\n1;1\n2;1", {0.0, 1.0}).found.find("unit of 0"), std::string::npos);
}

TEST(Readings, ComeBackInOrderAlongTheEdge) {
    const auto r = read("100,0.3\n0,0.1\n50,0.2");
    EXPECT_EQ(r[0].line, 2U);
    EXPECT_EQ(r[1].line, 3U);
    EXPECT_EQ(r[2].line, 1U);
}

TEST(Readings, ProblemsNameTheLine) {
    const auto p = refused("0,0\n10,zero\n20,0");
    EXPECT_EQ(p.line, 2U);
    EXPECT_EQ(p.found, "\"zero\"");
    EXPECT_EQ(refused("0,0\n10\n20,0").line, 2U);
    EXPECT_NE(refused("0,0\n10,5,0,1\n20,0").remedy.find("semicolon"), std::string::npos);
    EXPECT_EQ(refused("0;0\n10;1.000,5\n20;0").line, 2U);
    EXPECT_EQ(refused("0;0\n10;1,0,5\n20;0").line, 2U);
    const auto twice = refused("0,0\n10,0.1\n20,0\n10,0.2");
    EXPECT_EQ(twice.line, 4U);
    EXPECT_NE(twice.found.find("line 2"), std::string::npos);
    EXPECT_EQ(refused("0,0\n10,11\n20,0").line, 2U);
    EXPECT_EQ(refused("0,0\n-10,0\n20,0").line, 2U);
    EXPECT_EQ(refused("0,0\n1e999,0\n20,0").line, 2U);
    EXPECT_EQ(refused("0,0\n10,nan\n20,0").line, 2U);
    EXPECT_FALSE(refused("").found.empty());
    EXPECT_EQ(refused("0,0\n1,0").found, "2 readings");
    EXPECT_NE(refused("0,0\n10,\n20,0").found.find("nothing"), std::string::npos);
    EXPECT_EQ(refused("p,d\np,d\n20,0").line, 2U);
}

const Path wavy = std::get<Drawn>(draw(Wave{{0, 0}, {1800, 0}, {{30.0, 900.0, 0.0}}})).path;

// Readings of one value are a parallel of the template edge; the map is fair and nothing needs sanding.
TEST(AsMade, AConstantDeviationIsAParallel) {
    std::vector<Reading> readings;
    for (int i = 0; i <= 30; ++i) readings.push_back({60.0 * i, 0.2, 0});
    for (const WoodSide wood : {WoodSide::right, WoodSide::left}) {
        MapSettings settings;
        settings.wood = wood;
        const auto made = std::get<AsMade>(as_made(wavy, readings, settings));
        const geometry::PathIndex index(wavy);
        for (const auto& s : made.measured.segments) EXPECT_NEAR(index.distance_mm(s.start), 0.2, 1e-5);
        // Proud is away from the wood.
        const double side = made.measured.start().y - wavy.start().y;
        EXPECT_GT(wood == WoodSide::right ? side : -side, 0.0);
        EXPECT_TRUE(made.map.spots.empty());
        EXPECT_LT(made.sanding.deepest_mm, 1e-4);
        // Chords cut bends by less than a micrometre.
        for (const auto& s : made.measured.segments)
            EXPECT_NEAR(index.distance_mm(geometry::point_at(s, 0.5)), 0.2, 1e-3);
    }
}

TEST(AsMade, AHighSpotIsFoundAndItsPathFollowsTheReadings) {
    // Unevenly spaced, one high spot of 0.15 mm about 700 mm.
    std::vector<Reading> readings;
    for (double s = 0.0; s <= 1800.0; s += (static_cast<int>(s) % 3 == 0 ? 17.0 : 26.0)) {
        const double u = (s - 700.0) / 90.0;
        readings.push_back({s, std::abs(u) < 0.5 ? 0.15 * 0.5 * (1.0 + std::cos(2.0 * geometry::pi * u)) : 0.0, 0});
    }
    MapSettings settings;
    settings.wave_mm = 300.0;
    const auto made = std::get<AsMade>(as_made(wavy, readings, settings));
    const Spot* top = nullptr;
    for (const Spot& s : made.map.spots) {
        if (!top || s.height_mm > top->height_mm) top = &s;
    }
    ASSERT_NE(top, nullptr);
    EXPECT_NEAR(top->at_mm, 700.0, 20.0);
    EXPECT_NEAR(top->height_mm, 0.15, 0.03);
    EXPECT_LE(made.sanding.deepest_mm, 0.15 + 1e-4);
    const geometry::PathIndex index(made.measured);
    const auto running = geometry::running_length_mm(wavy);
    for (const Reading& r : readings) {
        const auto at = geometry::station_at(wavy, running, std::fmin(r.at_mm, running.back()));
        const Point left = geometry::left_of(geometry::tangent_at(wavy, at));
        EXPECT_LT(index.distance_mm(geometry::point_at(wavy, at) + r.height_mm * left), 0.01) << r.at_mm;
    }
}

TEST(AsMade, RefusesWithAReason) {
    const auto reason = [](const Path& path, std::vector<Reading> readings) {
        const auto result = as_made(path, readings, {});
        if (std::holds_alternative<AsMade>(result)) return std::string("none");
        return std::get<FairProblem>(result).reason;
    };
    EXPECT_NE(reason(wavy, {{0, 0, 4}, {10, 0, 5}, {5000, 0, 6}}).find("line 6"), std::string::npos);
    EXPECT_NE(reason(wavy, {{0, 0, 0}, {10, 40, 0}, {50, 0, 0}}).find("Reading 2"), std::string::npos);
    EXPECT_NE(reason(wavy, {{0, 0, 0}, {10, 0, 0}}), "none");
    EXPECT_NE(reason({}, {{0, 0, 0}, {10, 0, 0}, {20, 0, 0}}), "none");
    EXPECT_NE(reason(geometry::circle({}, 300.0), {{0, 0, 0}, {10, 0, 0}, {20, 0, 0}}), "none");
    EXPECT_NE(reason(wavy, {{0, 0, 0}, {10, NAN, 0}, {20, 0, 0}}), "none");
    // A bend of 5 mm radius and a reading that reaches past its centre.
    Path tight;
    tight.segments.push_back(geometry::arc_about({0, 5}, {0, 0}, 2.0));
    EXPECT_NE(reason(tight, {{0, 6, 0}, {4, 6, 0}, {8, 6, 0}}).find("centre"), std::string::npos);
}

}  // namespace
}  // namespace seamwright::curves
