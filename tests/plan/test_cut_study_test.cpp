#include "plan/test_cut_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "plan/plan_jobs.h"

namespace seamwright::plan {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using testing::plan_of;

/// What the program believes, and what is true in this shop.
struct Shop {
    job::Document document = testing::example("hall-console");
    double B = 30.06, b = 9.94;
    Point w{0.08, -0.05};

    std::size_t guide() const { return 0; }
    std::size_t cutter() const { return 0; }
    shelf::TestCut cut() const {
        shelf::TestCut cut;
        cut.guide = document.shelf.guides[guide()].name;
        cut.cutter = document.shelf.cutters[cutter()].name;
        const auto places = seam::places_to_measure();
        EXPECT_EQ(places.size(), shelf::test_cut_places);
        for (std::size_t i = 0; i < places.size(); ++i) {
            const bool slot = places[i].what == seam::CutReading::What::slot_width;
            const double aside = geometry::dot(geometry::unit(places[i].towards_rad), w);
            // Read to a hundredth.
            cut.readings_mm[i] = std::round(100.0 * (slot ? b : 0.5 * (B - b) + aside)) / 100.0;
        }
        return cut;
    }
    TestCutStudy study(const shelf::TestCut& cut) const {
        return study_test_cut(document.shelf, cut, 0, document.job.style);
    }
};

TEST(TestCutStudy, TellsTheRealSizesAndTheShelfTakesThemOver) {
    const Shop shop;
    const auto cut = shop.cut();
    const auto study = shop.study(cut);
    ASSERT_FALSE(study.problem);
    EXPECT_TRUE(study.can_be_kept);
    EXPECT_TRUE(study.tells_sizes);
    EXPECT_TRUE(study.tells_off_centre);
    const shelf::Shelf after = learned(shop.document.shelf, cut, study);
    const shelf::Guide& guide = after.guides[shop.guide()];
    const shelf::Cutter& cutter = after.cutters[shop.cutter()];
    EXPECT_NEAR(guide.outside.measured_mm.value(), shop.B, guide.outside.measured_within_mm.value());
    EXPECT_NEAR(cutter.cutting.measured_mm.value(), shop.b, cutter.cutting.measured_within_mm.value());
    EXPECT_LT(guide.outside.measured_within_mm.value(), 0.06);
    EXPECT_LT(cutter.cutting.measured_within_mm.value(), 0.04);
    ASSERT_TRUE(guide.off_centre);
    EXPECT_NEAR(guide.off_centre->x_mm, shop.w.x, guide.off_centre->within_mm);
    EXPECT_NEAR(guide.off_centre->y_mm, shop.w.y, guide.off_centre->within_mm);
    // As marked they stay what they are marked.
    EXPECT_EQ(guide.outside.nominal_mm, 30.0);
    EXPECT_EQ(after.guides[1], shop.document.shelf.guides[1]);
    const auto told = words::test_cut_text(study, cut, shop.document.job.style);
    EXPECT_THAT(told.lines.front(), HasSubstr("30.06 mm ±"));
    EXPECT_THAT(told.lines[3], HasSubstr("toward you and to the right"));
    EXPECT_TRUE(told.cautions.empty());
}

TEST(TestCutStudy, RanksTheWaysOfCopyingAnewForEachSeam) {
    const Shop shop;
    const auto cut = shop.cut();
    const shelf::Shelf after = learned(shop.document.shelf, cut, shop.study(cut));
    const auto seams = relearned(plan_of(shop.document), shop.document.job, after);
    ASSERT_EQ(seams.size(), shop.document.job.seams.size());
    const Plan now = make_plan(shop.document.job, after);
    for (std::size_t i = 0; i < seams.size(); ++i) {
        EXPECT_EQ(seams[i].after, now.seams[i].chains[now.seams[i].chosen].id);
        // Believed exact; (B + b)/2 − 2·(B − b)/2 with the real sizes is what it is.
        if (seams[i].before ==
            "left:far(30 mm guide/10 mm straight cutter)-30 mm guide/10 mm straight cutter-30 mm "
            "guide/10 mm straight cutter") {
            EXPECT_NEAR(seams[i].before_mm, 0.0, 1e-9);
            EXPECT_NEAR(seams[i].really_mm, 1.5 * shop.b - 0.5 * shop.B, 0.03);
        }
        EXPECT_LE(std::abs(seams[i].after_mm), std::abs(seams[i].really_mm) + 1e-9) << seams[i].after;
    }
    EXPECT_THAT(words::relearned_text(seams, shop.document.job.style).lines.size(), seams.size());
    const auto same = relearned(plan_of(shop.document), shop.document.job, shop.document.shelf);
    EXPECT_THAT(words::relearned_text(same, shop.document.job.style).lines.front(),
                HasSubstr("the same way is the best"));
}

TEST(TestCutStudy, AKnownToolNarrowsWhatIsToldOfTheGap) {
    const Shop shop;
    const auto cut = shop.cut();
    shelf::Shelf measured = shop.document.shelf, told = shop.document.shelf;
    measured.guides[0].outside.measured_mm = 30.06;
    measured.cutters[0].cutting.measured_mm = 9.94;
    told = learned(told, cut, shop.study(cut));
    for (const shelf::Shelf* s : {&measured, &told}) ASSERT_TRUE(s->guides[0].outside.measured_mm);
    const std::string pinned =
        "left:far(30 mm guide/10 mm straight cutter)-30 mm guide/10 mm straight cutter-30 mm guide/10 mm straight "
        "cutter";
    const auto tolerance = [&](const shelf::Shelf& shelf) {
        // One way, whatever the sizes are.
        auto job = shop.document.job;
        job.seams[0].chain = pinned;
        const Plan plan = make_plan(job, shelf);
        return study_closing(plan, 0, job, shelf, {0, 1, false})->tolerance;
    };
    const auto size_of = [](const seam::Tolerance& t) {
        double size = -1.0;
        for (const auto& s : t.sources)
            if (s.kind == seam::ToleranceSource::Kind::cutter_size && s.tool == "10 mm straight cutter")
                size = s.size_mm;
        return size;
    };
    const double known = size_of(tolerance(told));
    ASSERT_GE(known, 0.0);
    EXPECT_DOUBLE_EQ(known, told.cutters[0].cutting.measured_within_mm.value());
    EXPECT_DOUBLE_EQ(size_of(tolerance(measured)), shop.document.job.accuracy.measured_mm);
}

TEST(TestCutStudy, AReadingThatStandsOutIsNamedAndNothingIsTakenOver) {
    const Shop shop;
    auto cut = shop.cut();
    cut.readings_mm[4].value() += 0.4;
    const auto study = shop.study(cut);
    ASSERT_FALSE(study.problem);
    EXPECT_THAT(study.doubtful, ::testing::ElementsAre(4));
    EXPECT_FALSE(study.can_be_kept);
    EXPECT_EQ(learned(shop.document.shelf, cut, study), shop.document.shelf);
    EXPECT_THAT(words::test_cut_text(study, cut, shop.document.job.style).cautions.front(), HasSubstr("Place 5"));
}

TEST(TestCutStudy, SaysWhatIsMissing) {
    const Shop shop;
    auto cut = shop.cut();
    cut.readings_mm = {};
    auto study = shop.study(cut);
    ASSERT_TRUE(study.problem);
    EXPECT_EQ(study.problem->pointer, "/shelf/test_cuts/0/readings");
    // The width of the slot alone: the cutter, and nothing of the guide.
    cut.readings_mm[0] = 9.94;
    study = shop.study(cut);
    ASSERT_FALSE(study.problem);
    EXPECT_TRUE(study.can_be_kept);
    EXPECT_FALSE(study.tells_sizes);
    const auto after = learned(shop.document.shelf, cut, study);
    EXPECT_FALSE(after.guides[0].outside.measured_mm);
    EXPECT_TRUE(after.cutters[0].cutting.measured_mm);
    EXPECT_FALSE(after.guides[0].off_centre);
    cut.readings_mm[0] = 19.94;
    study = shop.study(cut);
    ASSERT_TRUE(study.problem);
    EXPECT_EQ(study.problem->pointer, "/shelf/test_cuts/0/readings/1");
    cut = shop.cut();
    cut.guide = "sold";
    study = shop.study(cut);
    ASSERT_TRUE(study.problem);
    EXPECT_EQ(study.problem->pointer, "/shelf/test_cuts/0/guide");
    EXPECT_FALSE(study.can_be_kept);
}

}  // namespace
}  // namespace seamwright::plan
