#include "curves/high_spots.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "curves/profile_filter.h"
#include "traces.h"

namespace seamwright::curves {
namespace {

using geometry::pi;
using testing::edge_trace;

/// A smooth hump `width` long about `middle`.
double hump(double x, double middle, double width, double height) {
    const double u = (x - middle) / width;
    return std::abs(u) < 0.5 ? height * 0.5 * (1.0 + std::cos(2.0 * pi * u)) : 0.0;
}

const Spot* near(const std::vector<Spot>& spots, double at_mm) {
    const Spot* best = nullptr;
    for (const Spot& s : spots) {
        if (std::abs(s.at_mm - at_mm) < 30.0 && (!best || std::abs(s.height_mm) > std::abs(best->height_mm))) best = &s;
    }
    return best;
}

// methods.md §2, check (v): a planted bump of 0.3 mm × 40 mm comes back within 20 %. On a 2.4 m curved edge with
// scatter of 0.05 mm every half millimetre, roughness below 8 mm dropped.
TEST(HighSpots, PlantedBumpComesBack) {
    for (const double height : {0.3, -0.3}) {
        for (std::uint64_t seed = 1; seed <= 10; ++seed) {
            const auto trace =
                edge_trace(0.5, 0.05, seed, [height](double x) { return hump(x, 1200.0, 40.0, height); });
            MapSettings settings;
            settings.roughness_wave_mm = 8.0;
            settings.fair_mm = 0.08;
            const auto result = high_low(trace, settings);
            ASSERT_TRUE(std::holds_alternative<HighLow>(result));
            const auto& map = std::get<HighLow>(result);
            const Spot* spot = near(map.spots, 1207.0);
            ASSERT_NE(spot, nullptr) << seed;
            EXPECT_NEAR(spot->height_mm, height, 0.2 * 0.3) << seed;
            EXPECT_GT(spot->length_mm(), 18.0);
            EXPECT_LT(spot->length_mm(), 40.0);
            EXPECT_FALSE(spot->uncertain);
            // The other hand sees it the other way round.
            settings.wood = WoodSide::left;
            const auto other = std::get<HighLow>(high_low(trace, settings));
            EXPECT_NEAR(near(other.spots, 1207.0)->height_mm, -spot->height_mm, 1e-12);
        }
    }
}

// Noise alone, once roughness is dropped, shows nothing away from the ends that stands out like a bump.
TEST(HighSpots, NoiseAloneIsFair) {
    MapSettings settings;
    settings.roughness_wave_mm = 8.0;
    settings.fair_mm = 0.08;
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        const auto map = std::get<HighLow>(high_low(edge_trace(0.5, 0.05, seed), settings));
        for (const Spot& s : map.spots) EXPECT_TRUE(s.uncertain) << s.at_mm << " " << s.height_mm;
    }
}

std::vector<Reading> readings_of(const std::vector<double>& at, const std::vector<double>& height) {
    std::vector<Reading> out;
    for (std::size_t i = 0; i < at.size(); ++i) out.push_back({at[i], height[i], 0});
    return out;
}

TEST(HighSpots, FeltAndClosedAreJudgedByLength) {
    std::vector<double> at;
    std::vector<double> height;
    for (int i = 0; i <= 200; ++i) {
        at.push_back(10.0 * i);
        height.push_back(hump(10.0 * i, 600.0, 60.0, 0.1) + hump(10.0 * i, 1400.0, 400.0, 0.2));
    }
    MapSettings settings;
    settings.wave_mm = 1500.0;
    settings.clamp_pressure_mpa = 1.0;
    settings.contact_modulus_mpa = 738.0;
    const auto map = std::get<HighLow>(high_low(readings_of(at, height), settings));
    const Spot* narrow = near(map.spots, 600.0);
    const Spot* wide = near(map.spots, 1400.0);
    ASSERT_TRUE(narrow && wide);
    EXPECT_NEAR(narrow->height_mm, 0.1, 0.02);
    EXPECT_NEAR(wide->height_mm, 0.2, 0.04);
    EXPECT_FALSE(narrow->felt);
    EXPECT_FALSE(*narrow->clamps_close);
    EXPECT_FALSE(wide->felt);
    EXPECT_TRUE(*wide->clamps_close);
    // A raised cosine fills half of its box.
    EXPECT_NEAR(wide->area_mm2, 0.2 * 200.0, 8.0);
}

TEST(HighSpots, SandOnlyNeverAsksForWood) {
    // A hollow 0.2 mm deep: both of its neighbours must come down.
    std::vector<double> at;
    std::vector<double> height;
    for (int i = 0; i <= 240; ++i) {
        at.push_back(10.0 * i);
        height.push_back(hump(10.0 * i, 1200.0, 120.0, -0.2));
    }
    const auto sanded = std::get<SandOnly>(sand_only(readings_of(at, height), {}));
    ASSERT_EQ(sanded.removal.size(), at.size());
    EXPECT_NEAR(sanded.removal[120].depth_mm, 0.0, 0.02);
    EXPECT_GT(sanded.deepest_mm, 0.05);
    EXPECT_LE(sanded.deepest_mm, 0.2 + 1e-5);
    // Far from the hollow nothing comes off.
    EXPECT_LT(sanded.removal[40].depth_mm, 0.005);
    EXPECT_GE(sanded.spots.size(), 2U);
    // What remains is fairer than what was: the hollow's curvature goes down.
    double before = 0.0;
    double after = 0.0;
    for (std::size_t i = 1; i + 1 < at.size(); ++i) {
        const auto left = [&](std::size_t k) { return height[k] - sanded.removal[k].depth_mm; };
        before = std::fmax(before, std::abs(height[i - 1] - 2.0 * height[i] + height[i + 1]));
        after = std::fmax(after, std::abs(left(i - 1) - 2.0 * left(i) + left(i + 1)));
    }
    EXPECT_LT(after, 0.6 * before);
}

// On the trace of a curved edge too: the target lies on the wood's side of (the averaged) edge.
TEST(HighSpots, SandOnlyOnACurvedTrace) {
    const auto trace = edge_trace(5.0, 0.0, 1, [](double x) { return hump(x, 900.0, 60.0, 0.3); });
    MapSettings settings;
    const auto right = std::get<SandOnly>(sand_only(trace, settings));
    EXPECT_NEAR(right.deepest_mm, 0.3, 0.06);
    settings.wood = WoodSide::left;
    const auto left = std::get<SandOnly>(sand_only(trace, settings));
    // From the other side the hump is a hollow.
    EXPECT_LT(left.deepest_mm, 0.3 + 1e-3);
    double at_hump = 1.0;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        if (trace[i].x > 895.0 && trace[i].x < 905.0) at_hump = std::fmin(at_hump, left.removal[i].depth_mm);
    }
    EXPECT_LT(at_hump, 0.02);
}

RC_GTEST_PROP(HighSpots, RemovalStaysWithinTheReadings, ()) {
    testing::Scatter scatter(*rc::gen::inRange<std::uint64_t>(1, 1000000));
    const int count = *rc::gen::inRange(5, 120);
    std::vector<double> at;
    std::vector<double> height;
    double s = 20.0 * scatter.uniform();
    for (int i = 0; i < count; ++i) {
        at.push_back(s);
        height.push_back(0.2 * scatter.normal());
        s += 5.0 + 30.0 * scatter.uniform();
    }
    const auto [low, high] = std::minmax_element(height.begin(), height.end());
    const auto readings = readings_of(at, height);
    const auto result = sand_only(readings, {});
    RC_ASSERT(std::holds_alternative<SandOnly>(result));
    const auto& sanded = std::get<SandOnly>(result);
    RC_ASSERT(sanded.removal.size() == readings.size());
    for (const auto& r : sanded.removal) {
        RC_ASSERT(r.depth_mm >= 0.0);
        RC_ASSERT(r.depth_mm <= *high - *low + 2e-4);
    }
    // Added to a plain shift and a scale nothing changes but the scale.
    std::vector<double> shifted;
    for (const double h : height) shifted.push_back(2.0 * h + 1.5);
    const auto again = std::get<SandOnly>(sand_only(readings_of(at, shifted), {}));
    for (std::size_t i = 0; i < at.size(); ++i)
        RC_ASSERT(std::abs(again.removal[i].depth_mm - 2.0 * sanded.removal[i].depth_mm) <
                  0.01 * (*high - *low) + 1e-3);
}

TEST(HighSpots, RefusesWithAReason) {
    const std::vector<Reading> good{{0, 0.0, 0}, {10, 0.1, 0}, {20, 0.0, 0}};
    EXPECT_TRUE(std::holds_alternative<HighLow>(high_low(good, {})));
    const auto refused = [](const std::vector<Reading>& r, const MapSettings& s) {
        const auto a = high_low(r, s);
        const auto b = sand_only(r, s);
        return std::holds_alternative<FairProblem>(a) && std::holds_alternative<FairProblem>(b);
    };
    EXPECT_TRUE(refused({{0, 0, 0}, {1, 0, 0}}, {}));
    EXPECT_TRUE(refused({{0, 0, 0}, {2, 0, 0}, {1, 0, 0}}, {}));
    EXPECT_TRUE(refused({{0, 0, 0}, {2, NAN, 0}, {3, 0, 0}}, {}));
    MapSettings s;
    s.fair_mm = 0.0;
    EXPECT_TRUE(refused(good, s));
    s = {};
    s.roughness_wave_mm = 500.0;
    EXPECT_TRUE(refused(good, s));
    s = {};
    s.clamp_pressure_mpa = 1.0;
    EXPECT_TRUE(refused(good, s));
}

}  // namespace
}  // namespace seamwright::curves
