#include <gtest/gtest.h>

#include <cmath>

#include "edit_jobs.h"
#include "geometry/path_index.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using edit_jobs::edited;

bool too_tight(const OpenJob& job) {
    const auto& found = job.plan().seams.at(0).simulation.problems;
    return std::any_of(found.begin(), found.end(), [](const auto& p) {
        using Kind = seam::ReachProblem::Kind;
        return p.kind == Kind::guide_in_hollow || p.kind == Kind::cutter_in_hollow ||
               p.kind == Kind::template_edge_gone;
    });
}

/// A blank top with one seam that turns too tight in its middle for the guide that is held to.
OpenJob tight(units::Unit unit = units::Unit::millimetre) {
    const auto shelf = edit::shelf_of(edit_jobs::example("hall-console"));
    OpenJob blank = edit_jobs::opened(edit::blank_document(unit, shelf));
    const OpenJob drawn = edited(blank, R"([{"draw_seam": {"as": "pins", "mm_per_px": 0.1,
                             "through": [[-40, 200], [300, 200], [585, 200], [600, 215], [615, 200], [900, 200], [1240, 200]]}}])")
                              .job;
    for (const auto& chain : drawn.plan().seams.at(0).chains) {
        OpenJob held = edited(drawn, R"([{"set": "/seams/0/chain", "value": ")" + chain.id + R"("}])").job;
        if (!chain.prints_mating && too_tight(held)) return held;
    }
    return drawn;
}

bool has(const OpenJob& job, const std::string& id) {
    const auto& all = job.remedies();
    return std::any_of(all.begin(), all.end(), [&](const edit::Remedy& r) { return r.id == id; });
}

double tightest_mm(const curves::Drawn& drawn) {
    double least = HUGE_VAL;
    for (const auto& turn : {drawn.tightest_left, drawn.tightest_right})
        if (turn) least = std::min(least, turn->radius_mm);
    return least;
}

TEST(Easing, OnePressMakesATurnThatTheToolsCanFollow) {
    for (const auto unit : {units::Unit::millimetre, units::Unit::inch}) {
        const OpenJob before = tight(unit);
        ASSERT_TRUE(too_tight(before)) << "some guide must be too large for the turn";
        ASSERT_TRUE(has(before, "ease:/seams/0"));
        const OpenJob after = edited(before, R"([{"remedy": "ease:/seams/0"}])").job;
        EXPECT_FALSE(too_tight(after));
        const auto& asked = after.document().job.seams[0].eased;
        ASSERT_TRUE(asked);
        const plan::SeamPlan& seam = after.plan().seams.at(0);
        ASSERT_TRUE(seam.eased);
        EXPECT_TRUE(seam.closes) << seam.verdict;
        EXPECT_FALSE(seam.eased->unchanged);
        ASSERT_FALSE(seam.eased->stretches.empty());
        // What was asked holds in the wood: the radius, and the distance, measured on the paths themselves.
        EXPECT_GE(tightest_mm(seam.drawn), asked->least_radius_mm * (1.0 - 1e-6));
        const geometry::PathIndex drawn(seam.eased->as_drawn);
        const auto off = geometry::largest_distance(seam.in_wood, drawn, 0.001);
        EXPECT_LE(off.value_mm, asked->within_mm + 0.01);
        EXPECT_NEAR(off.value_mm, std::abs(seam.eased->largest.largest_mm), 0.05);
        // The drawn curve stays in the job file.
        EXPECT_EQ(after.written_at("/seams/0/curve/pins/points/3/1"),
                  before.written_at("/seams/0/curve/pins/points/3/1"));
    }
}

TEST(Easing, IsTakenBackToTheLetter) {
    const OpenJob before = tight();
    const OpenJob on = edited(before, R"([{"ease": "/seams/0", "on": true}])").job;
    EXPECT_NE(on.text(), before.text());
    EXPECT_EQ(edited(on, R"([{"ease": "/seams/0", "on": false}])").job.text(), before.text());
}

TEST(Easing, ASeamThatTurnsWideEnoughStaysAsItIs) {
    OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const geometry::Path was = job.plan().seams.at(0).in_wood;
    job = edited(job, R"([{"ease": "/seams/0", "on": true}])").job;
    ASSERT_TRUE(job.plan().seams.at(0).eased);
    EXPECT_TRUE(job.plan().seams.at(0).eased->unchanged);
    EXPECT_EQ(job.plan().seams.at(0).in_wood, was);
}

TEST(Easing, WhatCannotBeIsToldWithAWayOut) {
    const OpenJob before = tight();
    const OpenJob asked = edited(edited(before, R"([{"ease": "/seams/0", "on": true}])").job,
                                 R"([{"set": "/seams/0/eased/least_radius", "value": "4000"},
                                     {"set": "/seams/0/eased/within", "value": "0.5"}])")
                              .job;
    ASSERT_TRUE(job::any_error(asked.problems()));
    const auto& problem = asked.problems().front();
    EXPECT_EQ(problem.pointer, "/seams/0/eased");
    EXPECT_NE(problem.remedy.find("tighter radius"), std::string::npos) << problem.remedy;
    ASSERT_TRUE(has(asked, "unease:/seams/0"));
    EXPECT_EQ(edited(asked, R"([{"remedy": "unease:/seams/0"}])").job.text(), before.text());
}

// The same for an inlay: an oval whose ends turn on 10 mm (its half width squared over its half length).
TEST(Easing, AnInlayIsEasedAllRound) {
    const auto shelf = edit::shelf_of(edit_jobs::example("hall-console"));
    OpenJob job = edit_jobs::opened(edit::blank_document(units::Unit::millimetre, shelf));
    job = edited(job, R"([{"draw_seam": {"as": "oval", "mm_per_px": 0.1, "through": [[350, 160], [850, 260]]}}])").job;
    ASSERT_EQ(job.written_at("/seams/0/kind"), "inlay");
    job = edited(job, R"([{"set": "/seams/0/curve/oval/length", "value": "500"},
                          {"set": "/seams/0/curve/oval/width", "value": "100"}])")
              .job;
    const double before_mm = tightest_mm(job.plan().seams.at(0).drawn);
    EXPECT_NEAR(before_mm, 50.0 * 50.0 / 250.0, 0.1);
    job = edited(job, R"([{"ease": "/seams/0", "on": true},
                          {"set": "/seams/0/eased/least_radius", "value": "25"},
                          {"set": "/seams/0/eased/within", "value": "8"}])")
              .job;
    const plan::SeamPlan& seam = job.plan().seams.at(0);
    ASSERT_TRUE(seam.eased) << job.problems().front().remedy;
    EXPECT_TRUE(seam.drawn.path.closed);
    EXPECT_GE(tightest_mm(seam.drawn), 25.0 * (1.0 - 1e-6));
    const geometry::PathIndex drawn(seam.eased->as_drawn);
    EXPECT_LE(geometry::largest_distance(seam.drawn.path, drawn, 0.001).value_mm, 8.0 + 0.01);
    EXPECT_GE(seam.eased->stretches.size(), 2U);
}

TEST(Easing, AnotherKindOfSeamForgetsIt) {
    const OpenJob on = edited(tight(), R"([{"ease": "/seams/0", "on": true}])").job;
    const OpenJob inlay = edited(on, R"([{"set": "/seams/0/kind", "value": "inlay"}])").job;
    EXPECT_FALSE(inlay.written_at("/seams/0/eased/within"));
}

}  // namespace
