#include <gtest/gtest.h>

#include <cmath>

#include "geometry/path_index.h"
#include "screens.h"

namespace seamwright::screen::testing {
namespace {

const Json& track(const Json& strip, const std::string& id) {
    for (const Json& t : strip["tracks"]) {
        if (t["id"] == id) return t;
    }
    throw std::runtime_error("no track " + id);
}

std::size_t index_of_track(const Json& strip, const std::string& id) {
    for (std::size_t i = 0; i < strip["tracks"].size(); ++i) {
        if (strip["tracks"][i]["id"] == id) return i;
    }
    throw std::runtime_error("no track " + id);
}

/// The value of a track at a length, between its points.
double value_at(const Json& track, double at) {
    const Json& points = track["lines"][0]["points"];
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double x0 = points[i - 1][0], x1 = points[i][0], y0 = points[i - 1][1], y1 = points[i][1];
        if (at <= x1) return x1 > x0 ? y0 + (at - x0) / (x1 - x0) * (y1 - y0) : y1;
    }
    return points.back()[1];
}

/// "radius 390.0 mm, turning left" in mm, + left.
double signed_radius(const std::string& text) {
    const double size = std::stod(text.substr(text.find(' ') + 1));
    return text.find("left") != std::string::npos ? size : -size;
}

TEST(Strip, stations_lie_on_the_seam_in_order) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        const Json screen = screen_of(job);
        for (std::size_t i = 0; i < job.plan().seams.size(); ++i) {
            const auto& seam = job.plan().seams[i];
            const Json& strip = screen["seams"][i]["strip"];
            const geometry::PathIndex line(seam.in_wood);
            const auto running = geometry::running_length_mm(seam.in_wood);
            EXPECT_NEAR(strip["length"].get<double>(), seam.length_mm, 0.001);
            ASSERT_GT(strip["stations"].size(), 150u);
            EXPECT_EQ(strip["stations"].front()["at"], 0);
            EXPECT_NEAR(strip["stations"].back()["at"].get<double>(), seam.length_mm, 0.006);
            double last = -1.0;
            for (const Json& s : strip["stations"]) {
                const double at = s["at"];
                EXPECT_GT(at, last);
                last = at;
                const geometry::Point place{s["place"][0], s["place"][1]};
                EXPECT_LT(line.distance_mm(place), 0.001);
                const auto there = geometry::station_at(seam.in_wood, running, std::min(at, seam.length_mm));
                EXPECT_LT(geometry::distance(place, geometry::point_at(seam.in_wood, there)), 0.006);
                const double turn = geometry::wrap_pi(geometry::heading(geometry::tangent_at(seam.in_wood, there)) -
                                                      s["heading"].get<double>() * geometry::pi / 180.0);
                EXPECT_LT(std::abs(turn), 0.002);
                EXPECT_EQ(s["tells"].size(), strip["tracks"].size());
            }
        }
    }
}

TEST(Strip, a_circle_turns_alike_everywhere_and_leaves_the_room_that_is_left) {
    // The edging seam of the round table is a circle of 450 − 60 = 390 mm.
    const auto job = example("round-table");
    const Json screen = screen_of(job);
    const Json& strip = screen["seams"][0]["strip"];
    for (const Json& s : strip["stations"])
        EXPECT_EQ(s["tells"][index_of_track(strip, "radius")], "radius 390.0 mm, turning left");
    double least = 0.0;
    const auto& seam = job.plan().seams[0];
    for (const auto& reach : seam.simulation.reach) {
        if (seam.chains[seam.chosen].steps[reach.step].template_on_left) least = std::max(least, reach.least_left_mm);
    }
    ASSERT_GT(least, 0.0);
    EXPECT_EQ(strip["stations"][40]["tells"][index_of_track(strip, "reach_left")],
              units::show(390.0 - least, job.plan().style) + " to spare");
}

TEST(Strip, a_wave_turns_as_the_calculus_says) {
    // y = h sin(2πx/λ): curvature at a crest h (2π/λ)², radius 1590² / (4π² · 18) = 3557.6 mm.
    const auto job = opened(
        changed("hall-console", "/seams/0/curve/wave/terms", Json::parse(R"([{"half_height": 18, "length": 1590}])")));
    const Json screen = screen_of(job);
    const Json& strip = screen["seams"][0]["strip"];
    const Json& radius = track(strip, "radius");
    const double crest_mm = 1590.0 * 1590.0 / (4.0 * geometry::pi * geometry::pi * 18.0);
    EXPECT_NEAR(std::abs(signed_radius(radius["worst"]["says"].get<std::string>().substr(10))), crest_mm, 0.2);
    // One inflection in the middle of the wave, half-way between its ends at −40 and 1550.
    int turns = 0;
    for (const Json& mark : strip["marks"]) {
        if (mark["kind"] != "turn") continue;
        ++turns;
        const Json& stations = strip["stations"];
        const auto nearest = std::min_element(stations.begin(), stations.end(), [&](const Json& a, const Json& b) {
            return std::abs(a["at"].get<double>() - mark["at"].get<double>()) <
                   std::abs(b["at"].get<double>() - mark["at"].get<double>());
        });
        EXPECT_NEAR((*nearest)["place"][0].get<double>(), 755.0, 6.0);
    }
    EXPECT_EQ(turns, 1);
}

TEST(Strip, straight_is_the_middle_and_tighter_is_farther) {
    const auto job = opened(job::testing::small_job());
    const Json screen = screen_of(job);
    const Json& strip = screen["seams"][0]["strip"];
    const Json& radius = track(strip, "radius");
    EXPECT_EQ(radius["low"].get<double>(), -radius["high"].get<double>());
    EXPECT_EQ(value_at(radius, 500.0), 0.0);
    EXPECT_EQ(strip["stations"][3]["tells"][0], "straight");
    EXPECT_EQ(strip["stations"][3]["tells"][1], "plenty of room");
    // The marks on the axis say radii; the tighter, the farther from the middle, on both hands.
    double last_value = 0.0, last_radius = 1e9;
    for (const Json& mark : radius["marks"]) {
        if (mark["at"].get<double>() <= 0.0) continue;
        const double r = std::stod(mark["says"].get<std::string>());
        EXPECT_LT(r, last_radius);
        EXPECT_GT(mark["at"].get<double>(), last_value);
        last_radius = r;
        last_value = mark["at"];
    }
}

TEST(Strip, tools_that_do_not_match_leave_the_gap_that_arithmetic_says) {
    // f − 2o = (30 + 11)/2 − (30 − 11) = 1.5 mm, all along a straight seam.
    std::string text = job::testing::small_job("\"diameter\": 10", "\"diameter\": 11");
    text.replace(text.find("\"kind\": \"open\""), 14, "\"kind\": \"open\", \"chain\": \"left:far(G/C)-G/C-G/C\"");
    const auto job = opened(text);
    const Json screen = screen_of(job);
    const Json& view = screen["seams"][0];
    EXPECT_FALSE(view["closes"].get<bool>());
    const Json& strip = view["strip"];
    const Json& gap = track(strip, "gap");
    EXPECT_NEAR(value_at(gap, 400.0), 150.0, 0.001) << "hundredths of a millimetre";
    EXPECT_EQ(strip["stations"][20]["tells"][index_of_track(strip, "gap")], "1.50 mm open");
    EXPECT_GT(gap["high"].get<double>(), 150.0);
    bool limit = false, marked = false;
    for (const Json& l : gap["limits"]) limit = limit || (l["kind"] == "limit" && l["at"] == 10);
    for (const Json& m : strip["marks"]) marked = marked || m["kind"] == "gap";
    EXPECT_TRUE(limit && marked);
    ASSERT_FALSE(screen["problems"].empty());
    bool along = false;
    for (const Json& p : screen["problems"]) along = along || (p.contains("along") && p["along"]["seam"] == 0);
    EXPECT_TRUE(along);
}

TEST(Strip, a_hollow_too_tight_is_marked_where_it_is) {
    // Radius at a crest λ²/(4π²h) = 80² / (4π² · 20) = 8.1 mm: less than the 10 mm that the templates stand off.
    const auto job = opened(job::testing::small_job(
        R"("straight": {"from": [-30, 200], "to": [1030, 200]})",
        R"("wave": {"from": [-30, 200], "to": [1030, 200], "terms": [{"half_height": 20, "length": 80}]})"));
    const Json screen = screen_of(job);
    const Json& strip = screen["seams"][0]["strip"];
    ASSERT_FALSE(strip.is_null()) << screen["problems"].dump();
    int tight = 0;
    for (const Json& m : strip["marks"]) {
        if (m["kind"] != "tight") continue;
        ++tight;
        const double from = m["at"], to = m["to"];
        EXPECT_LT(from, to);
        EXPECT_LT(to - from, 60.0) << "a crest, not the whole wave";
        bool told = false;
        for (const Json& s : strip["stations"]) {
            const double at = s["at"];
            if (at < from || at > to) continue;
            for (const Json& tell : s["tells"])
                told = told || tell.get<std::string>().find("too tight") != std::string::npos;
        }
        EXPECT_TRUE(told) << m;
    }
    EXPECT_GT(tight, 10);
    EXPECT_LT(track(strip, "reach_left")["low"].get<double>(), 0.0);
    bool along = false;
    for (const Json& p : screen["problems"]) {
        if (!p.contains("along")) continue;
        along = true;
        EXPECT_LE(p["along"]["from"].get<double>(), p["along"]["to"].get<double>());
        EXPECT_TRUE(p.contains("at"));
    }
    EXPECT_TRUE(along);
}

TEST(Strip, inches_for_an_imperial_job) {
    const Json screen = screen_of(example("bench-top"));
    const Json& strip = screen["seams"][0]["strip"];
    for (const Json& s : strip["stations"]) {
        EXPECT_EQ(s["tells"].dump().find("mm"), std::string::npos) << s["tells"];
        EXPECT_NE(s["says"].get<std::string>().find(" in"), std::string::npos);
    }
    EXPECT_EQ(strip["stations"][10]["tells"][0], "radius 60 in, turning right");
    // 1/1000 in: the limit of 0.004 in stands at 4.
    const Json& gap = track(strip, "gap");
    bool four = false;
    for (const Json& l : gap["limits"]) four = four || std::abs(l["at"].get<double>() - 4.0) < 0.001;
    EXPECT_TRUE(four) << gap["limits"];
    // Rule marks at whole inches.
    for (const Json& tick : strip["ticks"]) {
        if (!tick["large"].get<bool>()) continue;
        const double inches = tick["at"].get<double>() / 25.4;
        EXPECT_NEAR(inches, std::round(inches), 1e-4);
    }
}

}  // namespace
}  // namespace seamwright::screen::testing
