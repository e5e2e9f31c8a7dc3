#include <gtest/gtest.h>

#include <cmath>

#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

constexpr const char* same_pair = "left:far(G/C)-G/C-G/C";

// design.md section 3: a cutter that has lost δ opens the chain of one pair by 3δ/2.
TEST(ChainChoice, WornCutterOpensTheSamePairByThreeHalves) {
    for (const double worn_mm : {0.05, 0.1, 0.4}) {
        for (const bool bent : {false, true}) {
            Document document = small();
            document.shelf.cutters[0].cutting.measured_mm = 10.0 - worn_mm;
            document.job.seams[0].chain = same_pair;
            if (bent) document.job.seams[0].curve = curves::Arc{{-30.0, 200.0}, {1030.0, 200.0}, 1500.0, std::nullopt};
            const Plan plan = plan_of(document);
            const SeamPlan& seam = plan.seams.at(0);
            ASSERT_TRUE(seam.simulation.carried_out);
            EXPECT_NEAR(seam.simulation.largest_gap_mm, 1.5 * worn_mm, 0.001);
            EXPECT_EQ(seam.closes, 1.5 * worn_mm <= 0.1);
            if (!seam.closes) {
                EXPECT_NE(seam.verdict.find("does not close"), std::string::npos);
                ASSERT_FALSE(plan.problems.empty());
                EXPECT_EQ(plan.problems.back().pointer, "/seams/0");
                EXPECT_EQ(plan.problems.back().weight, job::Problem::Weight::warning);
            }
        }
    }
}

TEST(ChainChoice, TakesTheChainThatIsAskedFor) {
    Document document = small();
    const Plan free = plan_of(document);
    ASSERT_GE(free.seams.at(0).chains.size(), 2u);
    for (const auto& chain : free.seams[0].chains) {
        document.job.seams[0].chain = chain.id;
        const Plan plan = plan_of(document);
        const SeamPlan& seam = plan.seams.at(0);
        EXPECT_EQ(seam.chains.at(seam.chosen).id, chain.id);
        EXPECT_EQ(seam.steps.size(), chain.steps.size());
    }
}

TEST(ChainChoice, MakesTheMasterOnTheHandThatIsAskedFor) {
    for (const auto hand : {job::Seam::Hand::left, job::Seam::Hand::right}) {
        Document document = small();
        document.job.seams[0].master = hand;
        const SeamPlan seam = plan_of(document).seams.at(0);
        EXPECT_EQ(seam.chains.at(seam.chosen).master_on_left, hand == job::Seam::Hand::left);
        EXPECT_EQ(seam.templates.at(0).body_on_left, hand == job::Seam::Hand::left);
        EXPECT_TRUE(seam.templates.at(0).master);
    }
}

TEST(ChainChoice, NamesTheNearestChainsForOneThatIsUnknown) {
    Document document = small();
    document.job.seams[0].chain = "left:far(G/C)-G/C-G/D";
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].pointer, "/seams/0/chain");
    EXPECT_NE(found[0].allowed.find(same_pair), std::string::npos) << found[0].allowed;
}

TEST(ChainChoice, SaysWhenMasterAndChainDisagree) {
    Document document = small();
    document.job.seams[0].chain = same_pair;
    document.job.seams[0].master = job::Seam::Hand::right;
    const auto found = findings(plan_of(document));
    ASSERT_EQ(found.size(), 1u) << show_all(found);
    EXPECT_EQ(found[0].pointer, "/seams/0/master");
}

TEST(ChainChoice, RefusesACutterLargerThanItsGuide) {
    Document document = small();
    document.shelf.cutters[0].cutting.nominal_mm = 40.0;
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].pointer, "/shelf");
    EXPECT_NE(found[0].found.find("\"G\" with \"C\""), std::string::npos) << found[0].found;
}

TEST(ChainChoice, RefusesAnEmptyShelf) {
    Document document = small();
    document.shelf = {};
    document.job.seams.push_back(open_seam("second", {-30.0, 100.0}, {1030.0, 100.0}));
    const auto found = errors(plan_of(document));
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].pointer, "/shelf");
}

TEST(ChainChoice, RefusesACutterThatIsTooShortForTheWood) {
    Document document = small();
    document.shelf.cutters[0].cutting_length_mm = 6.0;
    document.shelf.cutters[0].reach_mm = 20.0;
    const auto found = errors(plan_of(document));
    ASSERT_FALSE(found.empty());
    EXPECT_EQ(found[0].pointer, "/seams/0");
    EXPECT_NE(found[0].remedy.find("cutter"), std::string::npos) << found[0].remedy;
}

TEST(ChainChoice, SaysWhatTheTightTurnDoesToTheSeam) {
    Document document = small();
    // Turns of about 6 mm radius: less than the guide's 15.
    document.job.seams[0].curve = curves::Wave{{-30.0, 200.0}, {1030.0, 200.0}, {{10.0, 50.0, 0.0}}};
    const Plan plan = plan_of(document);
    const SeamPlan& seam = plan.seams.at(0);
    ASSERT_FALSE(seam.simulation.problems.empty());
    const auto found = findings(plan);
    ASSERT_FALSE(found.empty());
    EXPECT_EQ(found[0].pointer, "/seams/0");
    EXPECT_TRUE(found[0].at.has_value());
    // One problem for each step and kind, not one for each of some twenty waves.
    EXPECT_LT(found.size(), 10u);
    EXPECT_GT(seam.simulation.off_seam_mm, 0.1);
}

}  // namespace
}  // namespace seamwright::plan::testing
