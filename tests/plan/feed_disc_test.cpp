// The model of where wood tears, corrected by what a routed disc showed.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "plan/feed_study.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using process::Feed;
using process::TearZone;
using shelf::RimSeen;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr double degree = geometry::pi / 180.0;

shelf::Disc disc_of(const std::string& species, const std::string& on, std::vector<shelf::RimStretch> rim) {
    shelf::Disc disc;
    disc.species = species;
    disc.on = on;
    disc.rim = std::move(rim);
    return disc;
}

TearZone zone_seen(RimSeen seen) {
    return seen == RimSeen::clean ? TearZone::clean : seen == RimSeen::fuzzy ? TearZone::care : TearZone::tears;
}

TearZone zone_at(const process::TearModel& model, const shelf::Disc& disc, double at_rad, bool climb) {
    // The angle between the teeth at the rim and the fibres (Goli et al., Materials 2018, 11, 2575: the round workpiece
    // shows every angle in one piece): the tangent a quarter turn on, turned over on a table.
    const double along = at_rad + 0.5 * geometry::pi;
    const double phi = process::wrap_half_turn(disc.on_table ? -along : along);
    return process::tear_zone(model, process::tear_risk(model, phi, 0.5 * disc.cutter_mm, disc.side_cut_mm,
                                                        climb ? Feed::climb : Feed::conventional));
}

// A stretch of one wood seen one way, wherever it lies and also past the direction of the fibres: the corrected model
// says of its middle what was seen there.
RC_GTEST_PROP(FeedDisc, WhatWasSeenOnTheRimIsWhatTheModelSays, ()) {
    shelf::Shelf shelf;
    shelf::Disc disc = disc_of("ash", "2026-11-02", {});
    disc.cutter_mm = *rc::gen::inRange(6, 30);
    disc.side_cut_mm = 0.25 * *rc::gen::inRange(1, 20);
    disc.on_table = *rc::gen::arbitrary<bool>();
    shelf::RimStretch stretch;
    stretch.from_rad = *rc::gen::inRange(0, 360) * degree;
    const double wide = *rc::gen::inRange(8, 170) * degree;
    stretch.to_rad = std::fmod(stretch.from_rad + wide, geometry::two_pi);
    stretch.climb = *rc::gen::arbitrary<bool>();
    stretch.seen = *rc::gen::element(RimSeen::clean, RimSeen::fuzzy, RimSeen::torn);
    disc.rim = {stretch};
    shelf.discs = {disc};
    const SpeciesTear tear = tear_of(shelf, "White ash");
    RC_ASSERT(tear.discs.size() == 1U);
    RC_ASSERT(tear.disagree.empty());
    for (const double part : {0.45, 0.5, 0.55})
        RC_ASSERT(zone_at(tear.model, disc, stretch.from_rad + part * wide, stretch.climb) == zone_seen(stretch.seen));
}

TEST(FeedDisc, TheNewestDayOfThatWoodCounts) {
    shelf::Shelf shelf;
    const shelf::RimStretch torn{30.0 * degree, 60.0 * degree, false, RimSeen::torn};
    const shelf::RimStretch clean{0.0, 350.0 * degree, false, RimSeen::clean};
    shelf.discs = {disc_of("Walnut, black", "2026-10-01", {torn}), disc_of("cherry", "2026-11-01", {torn}),
                   disc_of("walnut", "2026-11-02", {clean}), disc_of("black walnut", "2026-11-02", {}),
                   disc_of("black walnut", "2026-11-02", {clean})};
    const SpeciesTear tear = tear_of(shelf, "Walnut, black");
    EXPECT_EQ(tear.discs, (std::vector<std::size_t>{2, 4}));
    EXPECT_EQ(zone_at(tear.model, shelf.discs[2], 45.0 * degree, false), TearZone::clean);
    EXPECT_TRUE(tear_of(shelf, "hard maple").discs.empty());
    EXPECT_EQ(tear_of(shelf, "hard maple").model, process::TearModel{});
}

TEST(FeedDisc, CorrectsTheStrokesPieceByPiece) {
    Document document = two_pieces(45.0 * degree);
    document.job.pieces[1].species = "Ash, white";
    const shelf::RimStretch all{0.0, 359.0 * degree, false, RimSeen::clean};
    document.shelf.discs = {disc_of("ash", "2026-11-02", {all})};
    const Plan plan = plan_of(document);
    const FeedStudy study = study_feed(plan, document.shelf, study_rough_cut(plan, document.job), nullptr);
    ASSERT_EQ(study.edges.size(), 2U);
    for (const RoutedEdge& edge : study.edges) {
        const double tears = process::length_in(edge.feed.stretches, TearZone::tears);
        const bool ash = plan.pieces[edge.piece].name == "far";
        EXPECT_NEAR(tears, ash ? 0.0 : 1000.0, 1e-6);
        EXPECT_EQ(study.tears[edge.tear].species, ash ? "Ash, white" : "Walnut, black");
    }
    const auto told = words::feed_cautions_text(study, document.shelf, plan.style);
    std::string text;
    for (const auto& line : told.lines) text += line + '\n';
    EXPECT_THAT(text, HasSubstr("Ash, white: the model is corrected by the disc of ash of 2026-11-02 (12.7 mm cutter, "
                                "2.0 mm taken off)."));
    EXPECT_THAT(text, HasSubstr("Walnut, black: where it tears is told by a model that nobody has measured"));
    std::string cautions;
    for (const auto& line : told.cautions) cautions += line + '\n';
    EXPECT_THAT(cautions, HasSubstr("nobody has measured on your wood"));
}

TEST(FeedDisc, MarksThatDisagreeAreTold) {
    shelf::Shelf shelf;
    // The same angle on both flanks, once torn and once clean.
    shelf.discs = {disc_of("ash", "2026-11-02",
                           {{20.0 * degree, 60.0 * degree, false, RimSeen::torn},
                            {200.0 * degree, 260.0 * degree, false, RimSeen::clean}})};
    const SpeciesTear tear = tear_of(shelf, "ash");
    ASSERT_EQ(tear.disagree.size(), 1U);
    std::string text;
    for (const auto& line : words::tear_lines(tear, shelf, {})) text += line + '\n';
    EXPECT_THAT(text, HasSubstr("Marks on the disc of ash of 2026-11-02 say different things of one angle, from "));
    EXPECT_THAT(text, HasSubstr("the worse was believed"));
    EXPECT_THAT(text, Not(HasSubstr("nobody")));
}

}  // namespace
}  // namespace seamwright::plan::testing
