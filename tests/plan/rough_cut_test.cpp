#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "plan/boards_study.h"
#include "plan/rough_cut_study.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

std::string told(const words::Told& part) {
    std::string out = part.title + '\n';
    for (const auto& line : part.lines) out += line + '\n';
    for (const auto& line : part.cautions) out += line + '\n';
    return out;
}
std::string told_of_pieces(const RoughCutStudy& study, const Plan& plan, const job::Job& job) {
    std::string out;
    for (std::size_t p = 0; p < study.pieces.size(); ++p) out += told(words::rough_piece_text(study, p, plan, job));
    return out;
}

double sampled_mm(const Path& path, Point p) {
    double least = HUGE_VAL;
    for (const geometry::Segment& s : path.segments) {
        const double parts = std::ceil(geometry::length_mm(s) / 0.5) + 1.0;
        for (double k = 0.0; k <= parts; k += 1.0)
            least = std::min(least, geometry::distance(p, geometry::point_at(s, k / parts)));
    }
    return least;
}
/// By counting crossings of a level line with chords.
bool within(const Path& path, Point p) {
    bool inside = false;
    for (const geometry::Segment& s : path.segments) {
        const double parts = s.is_arc() ? std::ceil(geometry::length_mm(s) / 0.5) + 1.0 : 1.0;
        for (double k = 0.0; k < parts; k += 1.0) {
            const Point a = geometry::point_at(s, k / parts), b = geometry::point_at(s, (k + 1.0) / parts);
            if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) inside = !inside;
        }
    }
    return inside;
}

// By hand: half a head, kerf and reserve past the end, and three times a screw's diameter to the end of the wood:
// 4 + 3 + 3 + 12 = 22 mm. The 6 mm of margin are not enough.
TEST(RoughCut, TooLittleAtTheEndsIsToldAndThenEnough) {
    Document document = small();
    const Plan plan = plan_of(document);
    const RoughCutStudy before = study_rough_cut(plan, document.job);
    ASSERT_EQ(before.cuts.size(), 2U);
    for (const RoughCut& cut : before.cuts) {
        ASSERT_EQ(cut.ends.size(), 2U);
        EXPECT_EQ(cut.screws(), 0U);
        for (const CutEnd& end : cut.ends) {
            ASSERT_TRUE(end.ends_mm);
            EXPECT_NEAR(*end.ends_mm, 22.0, 0.3);
        }
    }
    EXPECT_THAT(told_of_pieces(before, plan, document.job), HasSubstr("no room for a screw in 6.0 mm of waste"));
    document.job.cutting.ends_mm = std::ceil(*before.cuts[0].ends[0].ends_mm);
    const RoughCutStudy after = study_rough_cut(plan, document.job);
    for (const RoughCut& cut : after.cuts) {
        for (const CutEnd& end : cut.ends) {
            EXPECT_EQ(end.screws.size(), 2U);
            EXPECT_FALSE(end.ends_mm);
        }
    }
    EXPECT_THAT(told_of_pieces(after, plan, document.job), Not(HasSubstr("no room")));
}

// The 10 mm cutter is clear of the end 5 + 3 mm past it; guide of 30 and base of 150 then take 8 + 37.5.
TEST(RoughCut, LeadInAndRunOut) {
    Document document = small();
    const RoughCutStudy study = study_rough_cut(plan_of(document), document.job);
    for (const RoughCut& cut : study.cuts) {
        EXPECT_NEAR(cut.cutter_mm, 10.0, 1e-9);
        for (const CutEnd& end : cut.ends) {
            EXPECT_NEAR(end.lead_mm, 8.0, 1e-3);
            EXPECT_NEAR(end.run_out_mm, 45.5, 1e-3);
            EXPECT_TRUE(end.held);
            EXPECT_NEAR(std::abs(end.enters.y - 200.0), 5.0, 1e-3);
            EXPECT_NEAR(std::min(std::abs(end.enters.x + 8.0), std::abs(end.enters.x - 1008.0)), 0.0, 1e-3);
            // Beyond 6 mm of margin: 6 + 8 + 15 of guide fit on 60.
            EXPECT_TRUE(end.from_outside);
        }
    }
    document.job.sheet.run_out_mm = 40.0;
    const Plan shorter = plan_of(document);
    const RoughCutStudy tips = study_rough_cut(shorter, document.job);
    EXPECT_FALSE(tips.cuts[0].ends[0].held);
    EXPECT_THAT(told_of_pieces(tips, shorter, document.job), HasSubstr("it takes 46.0 mm (\"run_out\")"));
    document.job.sheet.run_out_mm = 60.0;
    document.job.cutting.ends_mm = 50.0;
    EXPECT_FALSE(study_rough_cut(plan_of(document), document.job).cuts[0].ends[0].from_outside);
}

TEST(RoughCut, RevealWiderThanTheCutterLeavesAStrip) {
    Document document = small();
    document.job.limits.reveal_mm = 13.0;
    const Plan plan = plan_of(document);
    const RoughCutStudy study = study_rough_cut(plan, document.job);
    EXPECT_EQ(study.cuts[0].reveal, process::Reveal::leaves_strip);
    EXPECT_THAT(told_of_pieces(study, plan, document.job), HasSubstr("a strip of 3.0 mm stays standing"));
}

// 1000 mm of piece and 40 at each end: 1080 is just enough, 1079 is not.
TEST(RoughCut, BoardsGiveTheLongerEnds) {
    Document document = small();
    document.job.cutting.ends_mm = 40.0;
    for (job::Piece& piece : document.job.pieces) piece.species = "Walnut, black";
    shelf::Board board;
    board.name = "a";
    board.species = "Walnut, black";
    board.length_mm = 1080.0;
    board.width_mm = 500.0;
    board.thickness_mm = 40.0;
    document.shelf.boards = {board};
    const Plan plan = plan_of(document);
    for (PiecePlan piece : plan.pieces) ASSERT_NEAR(piece.box.width_mm(), 1000.0, 1e-6);
    Plan walnut = plan;
    for (PiecePlan& piece : walnut.pieces) piece.species = "Walnut, black";
    const auto fits = study_boards(walnut, document.job, document.shelf);
    ASSERT_TRUE(fits);
    ASSERT_TRUE(fits->placing.unplaced.empty());
    for (std::size_t i = 0; i < fits->parts.size(); ++i) {
        const geometry::Box sawn = fits->parts[i].sawn(*fits->placing.lies[i]);
        EXPECT_NEAR(sawn.width_mm(), 1080.0, 1e-6);
        EXPECT_NEAR(sawn.height_mm(), 212.0, 1e-6);
    }
    document.shelf.boards[0].length_mm = 1079.0;
    const auto short_by_one = study_boards(walnut, document.job, document.shelf);
    ASSERT_EQ(short_by_one->placing.unplaced.size(), 2U);
    EXPECT_EQ(short_by_one->placing.unplaced[0].why, stock::Unplaced::Why::too_short);
    EXPECT_NEAR(short_by_one->placing.unplaced[0].needs_mm, 1080.0, 1e-6);
}

TEST(RoughCut, AnInlayIsHeldWithTape) {
    Document document = small();
    document.job.seams = {inlay("disc", curves::Oval{{500.0, 200.0}, 300.0, 200.0, 0.0})};
    const Plan plan = plan_of(document);
    const RoughCutStudy study = study_rough_cut(plan, document.job);
    ASSERT_EQ(study.cuts.size(), 2U);
    for (const RoughCut& cut : study.cuts) {
        EXPECT_TRUE(cut.ends.empty());
        EXPECT_EQ(cut.screws(), 0U);
    }
    EXPECT_THAT(told_of_pieces(study, plan, document.job), HasSubstr("no waste under the template"));
    ASSERT_EQ(study.marks.size(), 3U);
    // Neither turned round nor turned over do the marks come to lie on themselves: their gaps differ.
    const double length = plan.seams[0].length_mm;
    const double a = study.marks[1].at_mm - study.marks[0].at_mm, b = study.marks[2].at_mm - study.marks[1].at_mm;
    const double c = length - a - b;
    EXPECT_GT(std::min({std::abs(a - b), std::abs(b - c), std::abs(c - a)}), 0.02 * length);
}

class RoughCutExamples : public ::testing::TestWithParam<std::string> {};

TEST_P(RoughCutExamples, ScrewsKeepOffEverythingBySampling) {
    Document document = example(GetParam());
    const Plan plan = plan_of(document);
    for (const double ends : {0.0, 25.0, 40.0, 70.0}) {
        document.job.cutting.ends_mm = ends;
        const RoughCutStudy study = study_rough_cut(plan, document.job);
        ASSERT_FALSE(study.cuts.empty());
        EXPECT_TRUE(std::any_of(study.cuts.begin(), study.cuts.end(), [](const auto& c) { return !c.tape.empty(); }));
        std::size_t screws = 0;
        for (const RoughCut& cut : study.cuts) {
            const TemplatePlan& t = plan.seams[cut.seam].templates[cut.template_index];
            const geometry::Region& finished = plan.pieces[cut.piece].region;
            for (const Point at : cut.tape) {
                EXPECT_TRUE(within(t.body.empty() ? t.edge : t.body, at) && within(finished.outer, at));
                EXPECT_GE(sampled_mm(finished.outer, at), 7.9);
            }
            for (const CutEnd& end : cut.ends) {
                for (std::size_t i = 0; i < end.screws.size(); ++i) {
                    const CutEnd::Screw& screw = end.screws[i];
                    ++screws;
                    constexpr double sampling = 0.1;
                    EXPECT_TRUE(within(t.body.empty() ? t.edge : t.body, screw.at));
                    EXPECT_GE(sampled_mm(t.edge, screw.at), study.rules.from_edge_mm - sampling);
                    EXPECT_FALSE(within(finished.outer, screw.at));
                    EXPECT_GE(sampled_mm(finished.outer, screw.at), study.rules.off_finished_mm() - sampling);
                    // The wood that stands there at least: the piece's ends moved out, the margin around.
                    const Path& wood = study.pieces[cut.piece].wood;
                    const double in = within(wood, screw.at) ? sampled_mm(wood, screw.at) : -sampled_mm(wood, screw.at);
                    EXPECT_GE(in + document.job.cutting.margin_mm, study.rules.from_edge_mm - sampling);
                    for (const RoughCut& other : study.cuts) {
                        if (other.piece != cut.piece) continue;
                        EXPECT_GE(sampled_mm(other.way, screw.at),
                                  0.5 * (other.cutter_mm + study.rules.head_mm) + study.rules.reserve_mm - sampling);
                    }
                    if (i > 0) {
                        EXPECT_GE(geometry::distance(end.screws[0].at, screw.at), study.rules.apart_mm);
                    }
                }
                EXPECT_TRUE(!end.screws.empty() || !end.ends_mm || *end.ends_mm > study.pieces[cut.piece].ends_mm);
            }
        }
        if (ends == 0.0) {
            EXPECT_EQ(screws, 0U);
        }
    }
}

TEST_P(RoughCutExamples, MarksLieOnKeptWoodAndShowATurnedPiece) {
    const Document document = example(GetParam());
    const Plan plan = plan_of(document);
    const RoughCutStudy study = study_rough_cut(plan, document.job);
    for (std::size_t s = 0; s < plan.seams.size(); ++s) {
        const SeamPlan& seam = plan.seams[s];
        std::vector<const IndexMark*> marks;
        for (const IndexMark& mark : study.marks)
            if (mark.seam == s) marks.push_back(&mark);
        ASSERT_GE(marks.size(), 2U) << seam.name;
        for (const IndexMark* mark : marks) {
            EXPECT_LT(sampled_mm(seam.in_wood, mark->on_seam), 0.3);
            std::size_t sides = 0;
            for (const RoughCut& cut : study.cuts) {
                if (cut.seam != s) continue;
                ++sides;
                const double bare = cut.on_left ? mark->left_mm : mark->right_mm;
                const Point out = (cut.on_left ? 1.0 : -1.0) * std::max(bare, 0.5) * mark->to_left;
                bool in_hole = false;
                for (const Path& hole : plan.pieces[cut.piece].region.holes)
                    in_hole = in_hole || within(hole, mark->on_seam + out);
                EXPECT_TRUE(within(plan.pieces[cut.piece].region.outer, mark->on_seam + out) && !in_hole);
            }
            EXPECT_EQ(sides, 2U);
            if (seam.in_wood.closed) continue;
            EXPECT_GT(mark->at_mm, 0.1 * seam.length_mm);
            EXPECT_LT(mark->at_mm, 0.9 * seam.length_mm);
            for (const IndexMark* other : marks)
                EXPECT_GT(std::abs(seam.length_mm - mark->at_mm - other->at_mm), 0.05 * seam.length_mm);
        }
    }
}

INSTANTIATE_TEST_SUITE_P(All, RoughCutExamples,
                         ::testing::Values("hall-console", "bench-top", "round-table", "measured-template",
                                           "stack-of-boards"));

}  // namespace
}  // namespace seamwright::plan::testing
