#include "plan/closing_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

ClosingStudy study_of(const Document& document, std::size_t samples = 200) {
    const Plan plan = plan_of(document);
    StudyWish wish;
    wish.samples = samples;
    const auto study = study_closing(plan, 0, document.job, document.shelf, wish);
    EXPECT_TRUE(study) << show_all(plan.problems);
    return study.value_or(ClosingStudy{});
}
std::string all_text(const Document& document) {
    const Plan plan = plan_of(document);
    const auto study = study_closing(plan, 0, document.job, document.shelf);
    if (!study) return show_all(plan.problems) + plan.seams.at(0).verdict;
    std::string text = words::closing_verdict(*study, plan.seams[0], plan);
    for (const auto& told : words::closing_text(*study, plan.seams[0], plan, document.job)) {
        text += "\n" + told.title;
        for (const auto& line : told.lines) text += "\n" + line;
        for (const auto& caution : told.cautions) text += "\n" + caution;
    }
    return text;
}
/// The small job with its two pieces named.
Document of_wood(const std::string& species, double grain_rad) {
    Document document = small();
    document.job.pieces = {{"front", {500.0, 100.0}, species, grain_rad, {}},
                           {"back", {500.0, 300.0}, species, grain_rad, {}}};
    return document;
}
/// A seam along a metre, through these points as a trace of lines.
Document through(std::vector<geometry::Point> points) {
    Document document = small();
    document.job.seams[0].curve = curves::Imported{geometry::polyline(points), 0.0};
    return document;
}

TEST(ClosingStudy, SameBytesForTheSameJob) {
    const Document document = small();
    EXPECT_EQ(all_text(document), all_text(document));
}

TEST(ClosingStudy, ExactChainStaysShutAsPlanned) {
    const ClosingStudy study = study_of(small());
    EXPECT_TRUE(study.planned.found);
    EXPECT_LT(study.planned.largest_gap_mm, 1e-4);
    EXPECT_EQ(study.pushed_gap_mm.size(), study.places.size());
    EXPECT_TRUE(study.assembly.possible);
}

// closing.h: a place moved by (x₁ − x₂)/2 is the least that frees a seam which runs back from x₁ to x₂.
TEST(ClosingStudy, AHookedSeamIsFreedByHalfItsDepth) {
    // It turns through more than half a turn: no straight push serves, and it runs back by up to 200 mm.
    const Document document =
        through({{-30.0, 100.0}, {600.0, 100.0}, {600.0, 160.0}, {400.0, 140.0}, {400.0, 220.0}, {1030.0, 220.0}});
    const geometry::Point far{600.0, 160.0}, back_again{400.0, 140.0};
    const Plan plan = plan_of(document);
    ASSERT_FALSE(plan.seams.empty()) << show_all(plan.problems);
    ASSERT_FALSE(seam::assembly(plan.seams[0].in_wood).possible);
    const seam::Freeing freeing = seam::smallest_freeing(plan.seams[0].in_wood);
    ASSERT_FALSE(freeing.stretches.empty());
    // As seen across the push it runs back from one corner to the other; half of that is what it takes.
    const geometry::Point along = -1.0 * geometry::left_of(geometry::unit(freeing.push_rad));
    const double back = dot(far - back_again, along);
    EXPECT_NEAR(freeing.by_mm, 0.5 * back, 0.01 * back);
    EXPECT_LT(freeing.by_mm, 100.0);
    double most = 0.0;
    for (const auto& s : freeing.stretches) most = std::max(most, s.by_mm);
    EXPECT_NEAR(most, freeing.by_mm, 1e-9);
    EXPECT_THAT(all_text(document), HasSubstr("No straight push"));
    // A straight seam is free.
    const seam::Freeing none = seam::smallest_freeing(plan_of(small()).seams[0].in_wood);
    EXPECT_EQ(none.by_mm, 0.0);
    EXPECT_TRUE(none.stretches.empty());
}

TEST(ClosingStudy, WhatTheMakerSaysAboutToolsCounts) {
    Document careful = small(), careless = small();
    careful.job.accuracy.routed_edge_mm = 0.0;
    careless.job.accuracy.routed_edge_mm = 0.3;
    EXPECT_LT(study_of(careful).tolerance.sampled.most_mm, 0.05);
    EXPECT_GT(study_of(careless).tolerance.sampled.most_mm, 0.3);
    EXPECT_THAT(all_text(careless), HasSubstr("It hardly closes"));
    EXPECT_THAT(all_text(careless), HasSubstr("unevenness of the routed edges"));
}

TEST(ClosingStudy, MoistureMovesTheFirstPieceAcrossItsGrain) {
    // A seam that bends, so that a piece which grows no longer fits; its grain lies aslant to it.
    Document document = of_wood("White oak", 0.25 * geometry::pi);
    document.job.seams[0].curve = curves::Arc{{-30.0, 150.0}, {1030.0, 150.0}, {}, 120.0};
    const auto moisture = [](const ClosingStudy& study) {
        for (const auto& s : study.tolerance.sources)
            if (s.kind == seam::ToleranceSource::Kind::moisture) return s.alone_mm;
        return 0.0;
    };
    EXPECT_EQ(moisture(study_of(document)), 0.0);
    document.job.accuracy.moisture_points = 3.0;
    const double three = moisture(study_of(document));
    document.job.accuracy.moisture_points = 6.0;
    const double six = moisture(study_of(document));
    EXPECT_GT(three, 0.0);
    EXPECT_NEAR(six, 2.0 * three, 0.02 * six);
}

TEST(ClosingStudy, ClampsComeFromTheShelf) {
    Document document = small();
    const ClosingStudy without = study_of(document);
    ASSERT_TRUE(without.pressing);
    EXPECT_TRUE(without.pressing->clamps.empty());
    document.shelf.clamps = {{"short clamps", 40, 100.0, 3000.0}, {"long clamps", 7, 3000.0, 2500.0}};
    const ClosingStudy with = study_of(document);
    ASSERT_TRUE(with.pressing);
    EXPECT_EQ(with.pressing->clamps, "long clamps");
    EXPECT_EQ(with.pressing->row.count, 7u);
    EXPECT_LE(with.pressing->row.force_n, 2500.0);
    EXPECT_NEAR(with.pressing->pressure.force_n, 7.0 * with.pressing->row.force_n, 1e-6);
    // Equilibrium: what is pressed on the seam is what the clamps give.
    EXPECT_NEAR(with.pressing->given_mpa * document.job.thickness_mm * 1000.0, with.pressing->pressure.force_n, 30.0);
    document.shelf.clamps = {{"long clamps", 2, 3000.0, 2500.0}};
    EXPECT_THAT(all_text(document), HasSubstr("too few"));
}

TEST(ClosingStudy, GrainAgainstTheSeamIsToldWithRemedies) {
    const Document document = of_wood("Walnut, black", 0.5 * geometry::pi);
    const ClosingStudy study = study_of(document);
    for (const SideStudy& side : study.sides) {
        ASSERT_EQ(side.stretches.size(), 1u);
        for (const SideStudy::Stretch& s : side.stretches) EXPECT_EQ(s.grain, wood::SeamGrain::end_grain);
    }
    const std::string text = all_text(document);
    EXPECT_THAT(text, HasSubstr("end grain"));
    EXPECT_THAT(text, HasSubstr("loose tongues"));
    // Only what runs out, and does not end, is given a strength.
    EXPECT_THAT(all_text(of_wood("Walnut, black", 0.15 * geometry::pi)), HasSubstr("a model, not measured"));
}

TEST(ClosingStudy, WetWoodAndAColdShopStopTheGlue) {
    Document document = of_wood("Walnut, black", 0.0);
    document.job.gluing.temperature_c = 4.0;
    document.job.gluing.exposure = "D4";
    document.job.pieces[0].moisture_percent = 14.0;
    const std::string text = all_text(document);
    EXPECT_THAT(text, HasSubstr("at least 10 °C"));
    EXPECT_THAT(text, HasSubstr("14.0 % moisture"));
    EXPECT_THAT(text, HasSubstr("does not stand what the top will see"));
}

TEST(ClosingStudy, AdhesivesOfTheJobFileAreThoseWeKnow) {
    for (const process::Adhesive& adhesive : process::adhesives()) {
        Document document = small();
        document.job.gluing.adhesive = adhesive.id;
        EXPECT_TRUE(study_of(document, 20).glue) << adhesive.id;
        EXPECT_THAT(all_text(document), HasSubstr(adhesive.name));
        const auto again = job::read_document(job::write_document(document), {});
        ASSERT_TRUE(again.document) << adhesive.id;
        EXPECT_EQ(again.document->job.gluing.adhesive, adhesive.id);
    }
}

TEST(ClosingStudy, DirectionsInTheMakersWords) {
    constexpr double degree = geometry::pi / 180.0;
    EXPECT_EQ(words::direction_text(90.0 * degree), "toward the back");
    EXPECT_EQ(words::direction_text(-90.0 * degree), "toward the front");
    EXPECT_EQ(words::direction_text(100.0 * degree), "toward the back, 10° over to the left");
    EXPECT_EQ(words::direction_text(-80.0 * degree), "toward the front, 10° over to the right");
    EXPECT_EQ(words::direction_text(185.0 * degree), "toward the left, 5° over to the front");
}

TEST(GlueUps, SeamsThatOnePushClosesGoTogether) {
    Document document = small();
    job::Seam second = document.job.seams[0];
    second.name = "second";
    std::get<curves::Straight>(second.curve).from.y += 150.0;
    std::get<curves::Straight>(second.curve).to.y += 150.0;
    document.job.seams.push_back(second);
    document.job.gluing.adhesive = "epoxy";  // slow
    const auto order_of = [&] {
        const Plan plan = plan_of(document);
        std::vector<std::optional<ClosingStudy>> studies;
        for (std::size_t i = 0; i < plan.seams.size(); ++i)
            studies.push_back(study_closing(plan, i, document.job, document.shelf));
        return glue_ups(plan, studies, document.job);
    };
    auto order = order_of();
    ASSERT_EQ(order.size(), 1u);
    EXPECT_EQ(order[0].seams.size(), 2u);
    document.job.gluing.adhesive = "hide";  // quick
    order = order_of();
    EXPECT_EQ(order.size(), 2u);
}

TEST(ClosingStudy, SaysWhoseStiffnessIsAssumed) {
    Document document = testing::example("hall-console");
    const auto told = [&] {
        const Plan plan = plan_of(document);
        const auto study = study_closing(plan, 0, document.job, document.shelf, {0, 1, false});
        std::string text;
        for (const auto& part : words::closing_text(*study, plan.seams[0], plan, document.job))
            for (const auto& line : part.lines) text += line + '\n';
        return text;
    };
    EXPECT_EQ(told().find("the tables do not say"), std::string::npos);
    for (auto& piece : document.job.pieces) piece.species = "Bog wonder";
    EXPECT_NE(told().find("the tables do not say"), std::string::npos);
}

}  // namespace
}  // namespace seamwright::plan::testing
