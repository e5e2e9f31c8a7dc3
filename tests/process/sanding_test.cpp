#include "process/sanding.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "process/finishing.h"

namespace seamwright::process {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;

std::vector<int> numbers(const std::vector<Grit>& sequence) {
    std::vector<int> out;
    for (const Grit& grit : sequence) out.push_back(grit.p);
    return out;
}

// Rounded grain sizes read in a public chart (notes of data/finishing.csv): P80 200, P100 162, P120 125, P150 100,
// P180 82, P220 68, P240 60, P320 46, P400 35, P600 26, P1000 18 µm; P240 58.4 µm read on another page.
TEST(Grits, SizesAsRead) {
    const std::pair<int, double> read[] = {{80, 200}, {100, 162}, {120, 125}, {150, 100}, {180, 82}, {220, 68},
                                           {240, 60}, {320, 46},  {400, 35},  {600, 26},  {1000, 18}};
    for (const auto& [p, um] : read) {
        ASSERT_NE(find_grit(p), nullptr) << p;
        EXPECT_NEAR(find_grit(p)->mean_um, um, 1.55) << p;
    }
    EXPECT_NEAR(find_grit(240)->mean_um, 58.4, 0.11);
    EXPECT_EQ(find_grit(81), nullptr);
    for (std::size_t i = 1; i < grits().size(); ++i) {
        EXPECT_LT(grits()[i].mean_um, grits()[i - 1].mean_um);
        EXPECT_GT(grits()[i].p, grits()[i - 1].p);
    }
}

// 80, 120, 150 (or 180), 220: the sequence of every shop (common practice).
TEST(GritSequence, AsInTheShop) {
    EXPECT_THAT(numbers(grit_sequence(80, 220)), ElementsAre(80, 120, 150, 220));
    EXPECT_THAT(numbers(grit_sequence(100, 150)), ElementsAre(100, 150));
    EXPECT_THAT(numbers(grit_sequence(120, 180)), ElementsAre(120, 180));
    EXPECT_THAT(numbers(grit_sequence(180, 120)), ElementsAre(120)) << "fine enough already";
    EXPECT_THROW(grit_sequence(85, 220), std::invalid_argument);
    EXPECT_THROW(grit_sequence(80, 220, 1.1), std::invalid_argument);
}

// Against every subset of the grits in between.
RC_GTEST_PROP(GritSequence, FewestAndNeverTooFar, ()) {
    const auto& all = grits();
    const auto first = *rc::gen::inRange<std::size_t>(0, all.size() - 1);
    const auto last = *rc::gen::inRange<std::size_t>(first + 1, std::min(first + 12, all.size()));
    const double most = 0.01 * *rc::gen::inRange(135, 320);
    const auto steps_good = [&](const std::vector<Grit>& way) {
        for (std::size_t i = 1; i < way.size(); ++i)
            if (way[i - 1].mean_um / way[i].mean_um > most) return false;
        return true;
    };
    std::size_t fewest = 0;
    double evenest = 1e9;
    const std::size_t between = last - first - 1;
    for (std::size_t bits = 0; bits < (std::size_t{1} << between); ++bits) {
        std::vector<Grit> way{all[first]};
        for (std::size_t i = 0; i < between; ++i)
            if ((bits >> i) & 1u) way.push_back(all[first + 1 + i]);
        way.push_back(all[last]);
        if (!steps_good(way)) continue;
        double sum = 0.0;
        for (std::size_t i = 1; i < way.size(); ++i) sum += std::pow(std::log(way[i - 1].mean_um / way[i].mean_um), 2);
        if (fewest == 0 || way.size() < fewest || (way.size() == fewest && sum < evenest)) {
            evenest = sum;
            fewest = way.size();
        }
    }
    if (fewest == 0) {
        RC_ASSERT_THROWS_AS(grit_sequence(all[first].p, all[last].p, most), std::invalid_argument);
        return;
    }
    const auto got = grit_sequence(all[first].p, all[last].p, most);
    RC_ASSERT(got.front().p == all[first].p);
    RC_ASSERT(got.back().p == all[last].p);
    RC_ASSERT(steps_good(got));
    RC_ASSERT(got.size() == fewest);
    double sum = 0.0;
    for (std::size_t i = 1; i < got.size(); ++i) sum += std::pow(std::log(got[i - 1].mean_um / got[i].mean_um), 2);
    RC_ASSERT(std::abs(sum - evenest) < 1e-9);
}

SandingWish top() {
    SandingWish wish;
    wish.faces_m2 = 4.0;
    wish.edge_m = 6.0;
    wish.seam_m = 4.0;
    wish.end_grain_m = 1.8;
    wish.last_p = 180;
    return wish;
}

// Pocket calculator with data/finishing.csv: faces 4 m² at 12 then 6 min/m², edges 6 m at 3 min/m, seams 4 m at
// 5 min/m, 1.8 m of end grain once more.
TEST(SandingPlan, TimeAndPaper) {
    const auto plan = plan_sanding(top());
    std::vector<int> grits_used;
    for (const auto& step : plan.steps) grits_used.push_back(step.grit.p);
    ASSERT_THAT(grits_used, ElementsAre(80, 120, 180, 220));
    EXPECT_NEAR(plan.scraping_min, 20.0, 1e-12);
    EXPECT_NEAR(plan.steps[0].minutes, 48.0, 1e-12);
    EXPECT_NEAR(plan.steps[1].minutes, 24.0 + 18.0, 1e-12);
    EXPECT_NEAR(plan.steps[2].minutes, 24.0 + 18.0, 1e-12);
    EXPECT_NEAR(plan.steps[3].minutes, 1.8 * 3.0, 1e-12);
    EXPECT_NEAR(plan.minutes, 20.0 + 48.0 + 42.0 + 42.0 + 5.4, 1e-12);
    EXPECT_EQ(plan.steps[0].discs, 6) << "4 / 0.7";
    EXPECT_EQ(plan.steps[1].discs, 4) << "4 / 1.0";
    EXPECT_EQ(plan.steps[2].discs, 3) << "4 / 1.5";
    EXPECT_EQ(plan.discs, 13);
    EXPECT_EQ(plan.quarter_sheets, 2 + 2 + 1);
    EXPECT_THAT(plan.steps[0].reason, HasSubstr("scraper"));
    EXPECT_THAT(plan.steps[1].reason, HasSubstr("marks of the cutter"));
    EXPECT_THAT(plan.steps[1].reason, HasSubstr("1.61 times finer"));
    EXPECT_THAT(plan.steps[2].reason, HasSubstr("last before the finish"));
    EXPECT_THAT(plan.steps[3].reason, HasSubstr("End grain"));
    EXPECT_THAT(plan.mind, Contains(HasSubstr("glue is hard")));
    EXPECT_THAT(plan.cautions, Contains(HasSubstr("IARC")));
}

TEST(SandingPlan, ASmallerDiscWearsFaster) {
    SandingWish wish = top();
    wish.disc_mm = 75.0;
    EXPECT_EQ(plan_sanding(wish).steps[1].discs, 16) << "a quarter of the area";
}

TEST(SandingPlan, EveryFinishCanBePreparedFor) {
    for (const FinishSystem& system : finish_systems()) {
        SCOPED_TRACE(system.id);
        for (const SurfaceName& surface : surfaces()) {
            SandingWish wish = top();
            wish.faces_from = surface.surface;
            wish.last_p = static_cast<int>(system.last_grit.low);
            const auto plan = plan_sanding(wish);
            ASSERT_FALSE(plan.steps.empty());
            for (const auto& step : plan.steps) {
                EXPECT_FALSE(step.reason.empty()) << step.grit.p;
                EXPECT_LE(step.finer.value_or(1.0), largest_grit_step);
                EXPECT_GT(step.minutes, 0.0);
            }
            EXPECT_EQ(surface_named(surface.id), surface.surface);
        }
    }
    EXPECT_FALSE(surface_named("chewed"));
}

TEST(SandingPlan, RefusesWhatIsNone) {
    SandingWish wish = top();
    wish.end_grain_m = 7.0;
    EXPECT_THROW(plan_sanding(wish), std::invalid_argument);
    wish = top();
    wish.faces_m2 = -1.0;
    EXPECT_THROW(plan_sanding(wish), std::invalid_argument);
    wish = top();
    wish.last_p = 200;
    EXPECT_THROW(plan_sanding(wish), std::invalid_argument);
    EXPECT_TRUE(plan_sanding({}).steps.empty()) << "nothing to sand is no fault";
}

}  // namespace
}  // namespace seamwright::process
