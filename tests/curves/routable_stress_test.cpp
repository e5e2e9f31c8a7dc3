// Hundreds of drawn edges, many of them too tight for the tools, each made routable and checked from outside: what
// comes back is a curve that keeps the band and the radii, or what lacks, with which there is such a curve.

#include <gtest/gtest.h>

#include <map>

#include "curves/routable.h"
#include "drawn_edges.h"
#include "geometry/path_index.h"

namespace seamwright::curves {
namespace {

using testing::DrawnEdge;
using testing::EdgeMaker;

/// Band and ends hold within a micrometre.
constexpr double rounding_mm = 1e-3;

double most_over(double curvature, const RoutableSettings& settings) {
    const auto& radius = curvature > 0.0 ? settings.least_radius_left_mm : settings.least_radius_right_mm;
    return radius ? std::abs(curvature) * *radius : 0.0;
}

/// Curvature runs on from span to span, and nowhere is it tighter than allowed.
std::string wrong_with(const FairCurve& fair, const RoutableSettings& settings) {
    for (std::size_t i = 0; i < fair.spans.size(); ++i) {
        const Clothoid& span = fair.spans[i];
        if (most_over(span.curvature0, settings) > 1.0 + 1e-9 || most_over(span.curvature1, settings) > 1.0 + 1e-9)
            return "a span turns too tight";
        if (i == 0) continue;
        const Clothoid& before = fair.spans[i - 1];
        if (geometry::distance(before.point(before.length_mm), span.start) > 1e-8) return "spans do not meet";
        if (std::abs(geometry::wrap_pi(before.heading(before.length_mm) - span.heading_rad)) > 1e-10)
            return "spans meet at an angle";
        if (before.curvature1 != span.curvature0) return "curvature steps";
    }
    return {};
}

std::string wrong_with(const Routable& made, const Drawn& drawn, const RoutableSettings& settings) {
    if (made.unchanged) {
        for (const auto& s : drawn.path.segments)
            if (most_over(geometry::curvature(s), settings) > 1.01) return "unchanged, but too tight";
        return geometry::largest_corner_rad(drawn.path) > 1e-6 ? "unchanged, but with a corner" : "";
    }
    if (std::string wrong = wrong_with(*made.fair, settings); !wrong.empty()) return wrong;
    const geometry::Path& path = made.drawn.path;
    for (const auto& s : path.segments)
        if (most_over(geometry::curvature(s), settings) > 1.0 + 1e-6) return "an arc turns too tight";
    if (geometry::largest_corner_rad(path) > 1e-5) return "a corner";
    const geometry::PathIndex as_made(path);
    const geometry::PathIndex as_drawn(drawn.path);
    const double far = std::fmax(geometry::largest_distance(drawn.path, as_made, rounding_mm).value_mm,
                                 geometry::largest_distance(path, as_drawn, rounding_mm).value_mm);
    if (far > settings.band_mm + rounding_mm) return "out of the band by " + std::to_string(far - settings.band_mm);
    if (std::abs(std::abs(made.largest.largest_mm) - far) > 0.02 + 0.01 * far)
        return "the move told is not the move made";
    if (geometry::distance(path.start(), drawn.path.start()) > rounding_mm ||
        geometry::distance(path.end(), drawn.path.end()) > rounding_mm)
        return "an end has moved";
    return {};
}

std::string wrong_with(const FairProblem& problem, const Drawn& drawn, const RoutableSettings& settings) {
    if (!(problem.widen_mm > 0.0) || !std::isfinite(problem.widen_mm)) return "no widening: " + problem.reason;
    if (problem.blocks.empty()) return "nothing named that stands in the way";
    for (std::size_t i = 0; i < problem.blocks.size(); ++i) {
        const FairBlock& block = problem.blocks[i];
        if (i > 0 && block.share > problem.blocks[i - 1].share) return "not the hardest first";
        if (std::abs(geometry::norm(block.move) - problem.widen_mm) > 1e-6 * problem.widen_mm) return "a wrong arrow";
        if (!(block.from_mm <= block.to_mm)) return "a stretch the wrong way round";
    }
    if (!problem.nearest) return "no nearest curve";
    if (std::string wrong = wrong_with(*problem.nearest, settings); !wrong.empty()) return "nearest: " + wrong;
    RoutableSettings wider = settings;
    wider.band_mm += 1.02 * problem.widen_mm;
    const auto again = make_routable(drawn, wider);
    if (!std::holds_alternative<Routable>(again)) return "the band so widened does not do";
    return wrong_with(std::get<Routable>(again), drawn, wider);
}

TEST(RoutableStress, EveryAnswerIsACurveOrAWayOut) {
    constexpr std::uint64_t seeds = 400;
    struct Count {
        int asked = 0, unchanged = 0, eased = 0, told = 0;
    };
    std::map<std::string, Count> counts;
    int asked = 0;
    int proper = 0;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        EdgeMaker maker(seed);
        const auto edge = maker.any();
        if (!edge) continue;
        const RoutableSettings settings = maker.asked();
        const auto result = make_routable(edge->drawn, settings);
        Count& count = counts[edge->what];
        ++asked;
        ++count.asked;
        std::string wrong;
        if (const auto* made = std::get_if<Routable>(&result)) {
            ++(made->unchanged ? count.unchanged : count.eased);
            wrong = wrong_with(*made, edge->drawn, settings);
        } else {
            ++count.told;
            wrong = wrong_with(std::get<FairProblem>(result), edge->drawn, settings);
        }
        if (wrong.empty()) {
            ++proper;
        } else {
            std::printf("seed %d, %s: %s\n", static_cast<int>(seed), edge->what.c_str(), wrong.c_str());
        }
    }
    // 2000 seeds gave 2000 proper answers when this was written.
    EXPECT_GE(proper, 0.99 * asked) << proper << " of " << asked;
    EXPECT_GE(asked, 350);
    ASSERT_EQ(counts.size(), 7U);
    int told = 0;
    for (const auto& [what, count] : counts) {
        EXPECT_GE(count.asked, 30) << what;
        EXPECT_GE(count.eased + count.told, 3) << what;
        told += count.told;
    }
    EXPECT_GE(told, 60);
}

// What is called the smallest widening is: less of it is refused, with the same sum.
TEST(RoutableStress, LessThanTheWideningIsRefused) {
    int asked = 0;
    for (std::uint64_t seed = 1001; seed <= 1120; ++seed) {
        EdgeMaker maker(seed);
        const auto edge = maker.any();
        if (!edge) continue;
        RoutableSettings settings = maker.asked();
        const auto result = make_routable(edge->drawn, settings);
        const auto* problem = std::get_if<FairProblem>(&result);
        if (problem == nullptr) continue;
        const double enough_mm = settings.band_mm + problem->widen_mm;
        settings.band_mm += 0.9 * problem->widen_mm;
        const auto less = make_routable(edge->drawn, settings);
        ASSERT_TRUE(std::holds_alternative<FairProblem>(less)) << "seed " << seed;
        EXPECT_NEAR(settings.band_mm + std::get<FairProblem>(less).widen_mm, enough_mm, 0.01 * enough_mm + 0.01)
            << "seed " << seed;
        ++asked;
    }
    EXPECT_GE(asked, 20);
}

}  // namespace
}  // namespace seamwright::curves
