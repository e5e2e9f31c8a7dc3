#include "plan/feed_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;

constexpr double degree = geometry::pi / 180.0;

FeedStudy feed_of(const Document& document, const BoardsStudy* boards = nullptr) {
    const Plan plan = plan_of(document);
    return study_feed(plan, document.shelf, study_rough_cut(plan, document.job), boards);
}

double tears(const RoutedEdge& edge) {
    return process::length_in(edge.feed.stretches, process::TearZone::tears);
}

TEST(Feed, AlongTheFibresNothingTears) {
    const FeedStudy study = feed_of(two_pieces());
    ASSERT_EQ(study.edges.size(), 2U);
    for (const RoutedEdge& edge : study.edges) EXPECT_EQ(tears(edge), 0.0);
    EXPECT_FALSE(study.from_boards);
}

// 45° against the grain is worst (Iskra and Tanaka 2005, by the methods' sign: heading of the edge less the fibres),
// and two pieces with parallel fibres tear on the same stretch of their seam.
TEST(Feed, ParallelFibresTearOnTheSameStretch) {
    const FeedStudy against = feed_of(two_pieces(45.0 * degree));
    const FeedStudy with = feed_of(two_pieces(-45.0 * degree));
    ASSERT_EQ(against.edges.size(), 2U);
    for (std::size_t i = 0; i < 2; ++i) {
        const double length = geometry::length_mm(against.edges[i].edge);
        EXPECT_NEAR(tears(against.edges[i]), length, 1e-6);
        EXPECT_NEAR(against.edges[i].both_tear_mm, length, 1e-6);
        EXPECT_TRUE(against.edges[i].feed.turn_over);
        EXPECT_EQ(tears(with.edges[i]), 0.0);
    }
}

TEST(Feed, FibresAreThoseOfTheBoardUnderThePiece) {
    Document document = two_pieces();
    for (const char* name : {"a", "b"}) {
        shelf::Board board;
        board.name = name;
        board.species = "Walnut, black";
        board.length_mm = 1600.0;
        board.width_mm = 700.0;
        board.thickness_mm = 40.0;
        // Fibres 30° askew all over; the limit lets them be.
        board.grain_lines = {{{0.0, 0.0}, {700.0, 700.0 * std::tan(30.0 * degree)}}};
        document.shelf.boards.push_back(board);
    }
    document.job.cutting.grain_within_rad = 40.0 * degree;
    const Plan plan = plan_of(document);
    for (const bool over : {false, true}) {
        document.job.pieces[0].laid = job::Laid{"a", {800.0, 350.0}, false, over};
        document.job.pieces[1].laid = job::Laid{"b", {800.0, 350.0}, false, over};
        const auto boards = study_boards(plan, document.job, document.shelf);
        ASSERT_TRUE(boards);
        const FeedStudy study = study_feed(plan, document.shelf, study_rough_cut(plan, document.job), &*boards);
        EXPECT_TRUE(study.from_boards);
        for (const RoutedEdge& edge : study.edges) {
            const stock::Lie& lie = *boards->placing.lies[edge.piece];
            const double askew = (over ? -1.0 : 1.0) * (30.0 * degree - lie.turn_rad);
            double worst = 0.0;
            for (const auto& stretch : edge.feed.stretches) worst = stretch.worst_phi_rad;
            EXPECT_NEAR(worst, -askew, 1e-6);
        }
    }
}

TEST(Feed, IsToldStrokeByStroke) {
    const Document document = two_pieces(45.0 * degree);
    const Plan plan = plan_of(document);
    const FeedStudy study = feed_of(document);
    const words::Told told = words::feed_text(study.edges[0], plan, document.job);
    std::string text;
    for (const auto& line : told.lines) text += line + '\n';
    EXPECT_THAT(text, HasSubstr("Along 1000.0 mm of 1000.0 mm the wood is expected to tear; along 1000.0 mm of that so "
                                "does the other piece."));
    EXPECT_THAT(text, HasSubstr("1. "));
    const words::Told cautions = words::feed_cautions_text(study, document.shelf, plan.style);
    EXPECT_FALSE(cautions.cautions.empty());
}

TEST(Feed, ExamplesHaveAStrokeForEveryPartOfEveryEdge) {
    for (const std::string& name : example_names()) {
        const Document document = example(name);
        const Plan plan = plan_of(document);
        const FeedStudy study = study_feed(plan, document.shelf, study_rough_cut(plan, document.job), nullptr);
        for (const RoutedEdge& edge : study.edges) {
            double covered = 0.0;
            for (const auto& run : edge.feed.runs) covered += run.length_mm;
            EXPECT_NEAR(covered, geometry::length_mm(edge.edge), 1e-3) << name;
        }
    }
}

}  // namespace
}  // namespace seamwright::plan::testing
