#include "plan/build_up_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "geometry/parallel.h"
#include "geometry/path_index.h"
#include "plan/edge_jobs.h"
#include "plan/edging_study.h"
#include "plan/rough_cut_study.h"
#include "plan/shop_study.h"

namespace seamwright::plan {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using namespace plan::testing;
using Where = BuildUpSource::Where;

struct Studied {
    Document document;
    Plan plan;
    std::optional<BoardsStudy> boards;
    BuildUpStudy study;

    explicit Studied(Document of, bool with_boards = true) : document(std::move(of)), plan(plan_of(document)) {
        if (with_boards) boards = study_boards(plan, document.job, document.shelf, 5'000'000);
        const BoardsStudy* laid = boards ? &*boards : nullptr;
        const auto movement = study_movement(plan, document.job, document.shelf, laid);
        study = study_build_up(plan, document.job, document.shelf, laid, movement).value();
    }
    std::vector<const BuildUpPiece*> of(const std::string& edge) const {
        std::vector<const BuildUpPiece*> out;
        for (const BuildUpPiece& p : study.parts)
            if (study.edges[p.edge].name == edge) out.push_back(&p);
        return out;
    }
};

/// One after the other without gap, the ends of neighbours the same line.
void expect_gapless(const std::vector<const BuildUpPiece*>& parts, double from, double to) {
    ASSERT_FALSE(parts.empty());
    EXPECT_NEAR(parts.front()->from_mm, from, 1e-6);
    EXPECT_NEAR(parts.back()->to_mm, to, 1e-6);
    for (std::size_t i = 1; i < parts.size(); ++i) {
        EXPECT_NEAR(parts[i]->from_mm, parts[i - 1]->to_mm, 1e-6);
        EXPECT_NEAR(parts[i]->start_lean_rad, parts[i - 1]->end_lean_rad, 1e-6) << "the ends fit";
    }
}

TEST(BuildUpStudy, CoversEachEdgeOfARectangleAndFollowsItsSeams) {
    const Studied s(built_up());
    const auto& study = s.study;
    EXPECT_THAT(study.must, IsEmpty());
    ASSERT_EQ(study.edges.size(), 4U);
    const double l = 48.0 * 25.4, w = 17.0 * 25.4, deep = 2.5 * 25.4;
    expect_gapless(s.of("front"), 0.0, l);
    expect_gapless(s.of("back"), 0.0, l);
    expect_gapless(s.of("right end"), deep, w - deep);
    expect_gapless(s.of("left end"), deep, w - deep);
    EXPECT_TRUE(study.edges[1].end);
    EXPECT_FALSE(study.edges[0].end);
    // All of the band, once: strips at full length, ends between them.
    EXPECT_NEAR(study.glue_mm2, 2.0 * deep * (l + w - 2.0 * deep), 1e-3 * l);
    for (const char* end : {"right end", "left end"}) {
        const auto parts = s.of(end);
        const auto e = parts.front()->edge;
        ASSERT_EQ(study.edges[e].seams.size(), 2U);
        for (const auto& seam : study.edges[e].seams) {
            // Where the seam meets the top's end, and the parts to either side of it.
            const Path& line = s.plan.seams[seam.seam].in_wood;
            const Point at =
                geometry::point_at(study.edges[e].line, {0, seam.at_mm / geometry::length_mm(study.edges[e].line)});
            EXPECT_NEAR(std::min(geometry::distance(at, line.start()), geometry::distance(at, line.end())), 0.0, 1e-6);
            const auto after = std::find_if(parts.begin(), parts.end(), [&](const BuildUpPiece* p) {
                return std::abs(p->from_mm - seam.at_mm) < 1e-6;
            });
            ASSERT_NE(after, parts.end());
            EXPECT_NE((*after)->piece, (*(after - 1))->piece);
            EXPECT_NEAR((*after)->start_lean_rad, seam.lean_rad, 1e-9);
            // The inner end of the joint lies on the seam too.
            double nearest = HUGE_VAL;
            const geometry::PathIndex index(line);
            for (const auto& segment : (*after)->shape.segments)
                nearest = std::min(nearest, geometry::distance(segment.start, at) > 0.5 * deep
                                                ? index.distance_mm(segment.start)
                                                : HUGE_VAL);
            EXPECT_NEAR(nearest, 0.0, 1e-4);
        }
        for (const BuildUpPiece* p : parts) EXPECT_TRUE(p->end_grain);
    }
}

TEST(BuildUpStudy, FibresLieAsInTheWoodAbove) {
    Document document = built_up();
    document.job.pieces[0].grain_rad = 0.05;
    const Studied s(std::move(document), false);
    for (const BuildUpPiece& p : s.study.parts)
        EXPECT_NEAR(std::remainder(p.fibre_rad - s.plan.pieces[p.piece].grain_rad, geometry::pi), 0.0, 1e-9);
}

void expect_sources_apart(const Studied& s) {
    const auto& shelf = s.document.shelf;
    const double kerf = s.document.job.cutting.kerf_mm - 1e-6;
    const auto apart = [&](const geometry::Box& a, const geometry::Box& b) {
        return a.low.x >= b.high.x + kerf || b.low.x >= a.high.x + kerf || a.low.y >= b.high.y + kerf ||
               b.low.y >= a.high.y + kerf;
    };
    for (std::size_t i = 0; i < s.study.parts.size(); ++i) {
        const auto& a = s.study.parts[i];
        if (!a.source) continue;
        const geometry::Box& blank = a.source->blank;
        EXPECT_NEAR(blank.width_mm(), a.along_mm, 1e-6);
        EXPECT_NEAR(blank.height_mm(), a.across_mm, 1e-6);
        const shelf::Board& board = shelf.boards[a.source->board];
        EXPECT_GE(blank.low.x, -1e-6);
        EXPECT_LE(blank.high.x, board.length_mm + 1e-6);
        EXPECT_GE(blank.low.y, -1e-6);
        EXPECT_LE(blank.high.y, board.width_mm + 1e-6);
        EXPECT_TRUE(stock::of_one_wood(board.species, s.plan.pieces[a.piece].species));
        for (std::size_t k = 0; k < i; ++k) {
            const auto& b = s.study.parts[k];
            if (b.source && b.source->board == a.source->board) {
                EXPECT_TRUE(apart(blank, b.source->blank));
            }
        }
        if (a.source->where == Where::cut_off) continue;
        for (std::size_t k = 0; k < s.boards->parts.size(); ++k) {
            const auto& lie = s.boards->placing.lies[k];
            if (lie && lie->board == a.source->board) {
                EXPECT_TRUE(apart(blank, s.boards->parts[k].sawn(*lie)));
            }
        }
    }
}

TEST(BuildUpStudy, EveryPartHasWoodOfItsOwnAndNoneIsUsedTwice) {
    const Studied s(built_up());
    expect_sources_apart(s);
    std::size_t own_end = 0;
    for (const BuildUpPiece& p : s.study.parts) {
        ASSERT_TRUE(p.source) << p.along_mm << " x " << p.across_mm;
        if (!p.end_grain) continue;
        // The very board that the piece above comes from, and across it the place it goes under.
        std::optional<std::size_t> board;
        for (std::size_t k = 0; k < s.boards->parts.size(); ++k)
            if (s.boards->parts[k].piece == p.piece) board = s.boards->placing.lies[k]->board;
        EXPECT_EQ(p.source->board, board);
        if (p.source->where == Where::beyond_end || p.source->where == Where::cut_off) ++own_end;
    }
    EXPECT_GE(own_end, 3U) << "one end of each board at the least has wood beyond it";
    EXPECT_THAT(s.study.lacking, IsEmpty());
}

TEST(BuildUpStudy, EndsThatAreLongEnoughGiveTheirOwnBuildUp) {
    Document document = built_up();
    document.job.cutting.ends_mm = 76.0;
    document.job.sheet.run_out_mm = 200.0;
    const Studied s(std::move(document));
    expect_sources_apart(s);
    std::size_t cut_off = 0;
    for (const BuildUpPiece& p : s.study.parts) {
        if (!p.source || p.source->where != Where::cut_off) continue;
        ++cut_off;
        // Right beyond the finished end, one kerf away.
        for (std::size_t k = 0; k < s.boards->parts.size(); ++k) {
            if (s.boards->parts[k].piece != p.piece) continue;
            const auto box = geometry::bounding_box(s.boards->placing.lies[k]->placed(s.boards->parts[k].shape));
            const double off =
                std::min(std::abs(p.source->blank.low.x - box.high.x), std::abs(box.low.x - p.source->blank.high.x));
            EXPECT_NEAR(off, s.document.job.cutting.kerf_mm, 0.5);
        }
    }
    // Where screws stand in the waste, other wood is taken.
    const auto rough = study_rough_cut(s.plan, s.document.job);
    EXPECT_TRUE(cut_off > 0 ||
                std::any_of(rough.cuts.begin(), rough.cuts.end(), [](const RoughCut& c) { return c.screws() > 0; }));
}

TEST(BuildUpStudy, SaysWhatIsMissing) {
    Document document = built_up();
    // Boards that the pieces use up.
    for (shelf::Board& board : document.shelf.boards) board.length_mm = 49.0 * 25.4;
    const Studied s(std::move(document));
    expect_sources_apart(s);
    ASSERT_FALSE(s.study.lacking.empty());
    std::size_t none = 0;
    for (const BuildUpPiece& p : s.study.parts) none += p.source ? 0U : 1U;
    std::size_t told = 0;
    for (const auto& l : s.study.lacking) {
        told += l.parts.size();
        for (const std::size_t i : l.parts) {
            EXPECT_FALSE(s.study.parts[i].source);
            EXPECT_EQ(s.plan.pieces[s.study.parts[i].piece].species, l.species);
            EXPECT_LE(s.study.parts[i].across_mm, l.width_mm + 1e-9);
        }
    }
    EXPECT_EQ(told, none);
    const auto words = words::build_up_text(s.study, s.plan, s.document.job, s.document.shelf);
    EXPECT_THAT(words.back().cautions, Contains(HasSubstr("The offcuts do not hold part")));
    // What no offcut gives is bought, and all of it is glued.
    const auto movement = study_movement(s.plan, s.document.job, s.document.shelf, &*s.boards);
    std::vector<std::optional<ClosingStudy>> closing(s.plan.seams.size());
    const ShopStudy shop =
        study_shop(s.plan, s.document.job, s.document.shelf, {&*s.boards, &movement, closing, nullptr, &s.study});
    const auto has = [&](const std::string& what) {
        return std::any_of(shop.costs.lines.begin(), shop.costs.lines.end(),
                           [&](const process::CostLine& l) { return l.what == what; });
    };
    EXPECT_TRUE(has("Build-up, " + s.study.lacking.front().species));
    EXPECT_TRUE(has("Glue for the build-up"));
}

TEST(BuildUpStudy, UnderARoundTopPartsAreCutToItsCurve) {
    Document document = ring_table();
    document.job.seams.erase(document.job.seams.begin());  // no ring
    document.job.pieces.erase(document.job.pieces.begin());
    document.job.build_up = job::BuildUp{25.0, 60.0, job::BuildUp::Ends::end_grain};
    const Studied s(std::move(document));
    EXPECT_THAT(s.study.must, IsEmpty());
    ASSERT_EQ(s.study.edges.size(), 1U);
    EXPECT_EQ(s.study.edges[0].seams.size(), 2U);
    const auto parts = s.of("edge");
    expect_gapless(parts, 0.0, geometry::pi * 900.0);
    double area = 0.0;
    for (const BuildUpPiece* p : parts) {
        area += std::abs(geometry::area_mm2(p->shape));
        EXPECT_LT(geometry::largest_break_mm(p->shape), 1e-6);
        // Rise of an arc, r (1 − cos(s / 2r)).
        EXPECT_NEAR(p->rise_mm, 450.0 * (1.0 - std::cos((p->to_mm - p->from_mm) / 900.0)), 1e-3);
        EXPECT_LE(p->rise_mm, 30.0 + 1e-6);
    }
    // The band between two circles.
    EXPECT_NEAR(area, geometry::pi * (450.0 * 450.0 - 390.0 * 390.0), 1.0);
    EXPECT_NEAR(s.study.glue_mm2, area, 1e-6);
    expect_sources_apart(s);
}

TEST(BuildUpStudy, UnderABowedFrontPartsMeetOnTheMitre) {
    double square_area = 0.0;
    for (const double radius : {0.0, 12.0}) {
        Document document = two_pieces();
        document.job.outline =
            job::RectangleOutline{1000.0, 400.0, job::BowedEdge{40.0}, {}, {}, {}, {radius, radius, radius, radius}};
        document.job.build_up = job::BuildUp{25.0, 50.0, job::BuildUp::Ends::end_grain};
        const Studied s(std::move(document), false);
        EXPECT_THAT(s.study.must, IsEmpty());
        ASSERT_EQ(s.study.edges.size(), 4U);
        double area = 0.0;
        for (const BuildUpPiece& p : s.study.parts) area += std::abs(geometry::area_mm2(p.shape));
        if (radius == 0.0) {
            const auto inner = geometry::parallel(s.plan.outline, geometry::Side::left, 50.0);
            ASSERT_EQ(inner.paths.size(), 1U);
            square_area = s.plan.area_mm2 - geometry::area_mm2(inner.paths.front().path());
        }
        EXPECT_NEAR(area, square_area, 1.0) << "rounded with the top, after gluing";
        for (const auto& edge : s.study.edges) {
            const auto parts = s.of(edge.name);
            expect_gapless(parts, 0.0, geometry::length_mm(edge.line));
        }
        // The right corner at the back is square: 45° off at both its parts.
        EXPECT_NEAR(s.of("right end").back()->end_lean_rad, -0.25 * geometry::pi, 1e-6);
        EXPECT_NEAR(s.of("back").front()->start_lean_rad, 0.25 * geometry::pi, 1e-6);
    }
}

TEST(BuildUpStudy, ALongPieceUnderAnEndFloatsAndIsShorter) {
    Document document = built_up();
    document.job.build_up->ends = job::BuildUp::Ends::floating;
    const Studied s(std::move(document), false);
    const auto parts = s.of("right end");
    ASSERT_EQ(parts.size(), 1U);
    EXPECT_TRUE(parts[0]->floating);
    EXPECT_EQ(parts[0]->area_mm2, 0.0) << "not glued";
    EXPECT_NEAR(parts[0]->fibre_rad, 0.5 * geometry::pi, 1e-9);
    const auto movement = study_movement(s.plan, s.document.job, s.document.shelf, nullptr);
    const double deep = 2.5 * 25.4, w = 17.0 * 25.4;
    EXPECT_NEAR(parts[0]->to_mm - parts[0]->from_mm,
                w - 2.0 * deep - std::abs(std::min(0.0, movement.end_build_up->dry_mm)) - 1.0, 1e-6);
}

TEST(BuildUpStudy, UnderARingOfSegmentsLiesASecondOneStaggered) {
    Document document = ring_table();
    document.job.build_up = job::BuildUp{25.0, 60.0, job::BuildUp::Ends::end_grain};
    const Studied s(std::move(document), false);
    EXPECT_TRUE(s.study.ring);
    EXPECT_THAT(s.study.must, IsEmpty());
    const auto& above = s.plan.edgings.at(0).ring.segments;
    EXPECT_EQ(s.study.parts.size(), above.size());
    const double length = geometry::length_mm(s.plan.outline);
    double area = 0.0;
    for (const BuildUpPiece& p : s.study.parts) {
        area += p.area_mm2;
        for (const auto& a : above) EXPECT_GT(std::abs(std::remainder(p.from_mm - a.from_mm, length)), 29.9);
    }
    EXPECT_NEAR(area, geometry::pi * (450.0 * 450.0 - 390.0 * 390.0), 1.0);
}

TEST(BuildUpStudy, AStripGluedPieceIsBuiltUpStripByStrip) {
    Document document = built_up();
    document.job.pieces[0].strips = 2;
    const Studied s(std::move(document));
    ASSERT_EQ(s.boards->glued_up.size(), 1U);
    std::map<std::size_t, int> strips;
    for (const BuildUpPiece* p : s.of("right end")) ++strips[p->strip];
    EXPECT_TRUE(strips.contains(1) || strips.contains(2)) << "each strip has its own part";
    expect_gapless(s.of("right end"), 2.5 * 25.4, 14.5 * 25.4);
    expect_sources_apart(s);
}

TEST(BuildUpStudy, WordsAreInTheJobsUnitsAndNumberEveryPart) {
    const Studied s(built_up());
    const auto told = words::build_up_text(s.study, s.plan, s.document.job, s.document.shelf);
    std::string text;
    for (const auto& part : told)
        for (const auto* list : {&part.lines, &part.cautions})
            for (const std::string& line : *list) {
                EXPECT_EQ(line.find(" mm"), std::string::npos) << line;
                text += line + '\n';
            }
    for (std::size_t i = 0; i < s.study.parts.size(); ++i)
        EXPECT_THAT(text, HasSubstr(std::to_string(i + 1) + ". under "));
}

TEST(BuildUpStudy, NothingWithoutABuildUp) {
    Document document = built_up();
    document.job.build_up.reset();
    const Plan plan = plan_of(document);
    EXPECT_FALSE(study_build_up(plan, document.job, document.shelf, nullptr,
                                study_movement(plan, document.job, document.shelf, nullptr)));
}

TEST(BuildUpStudy, TooWideABuildUpIsRefused) {
    Document document = built_up();
    document.job.build_up->width_mm = 230.0;
    const Studied s(std::move(document), false);
    EXPECT_THAT(s.study.must, Contains(HasSubstr("make it narrower")));
    EXPECT_THAT(s.study.parts, IsEmpty());
}

}  // namespace
}  // namespace seamwright::plan
