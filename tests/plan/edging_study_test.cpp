#include "plan/edging_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "plan/boards_study.h"
#include "plan/edge_jobs.h"
#include "plan/feed_study.h"
#include "plan/shop_study.h"

namespace seamwright::plan {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using namespace plan::testing;

constexpr double degree = 1.0 / geometry::degrees_per_radian;

const SegmentedEdging& ring_of(const Plan& plan) {
    EXPECT_EQ(plan.edgings.size(), 1U);
    return plan.edgings.at(0);
}

double end_angles(const process::EdgingPlan& ring) {
    double sum = 0.0;
    for (const auto& s : ring.segments) sum += s.start_rad + s.end_rad;
    return sum;
}

// Geometry of the circle (chord 2 r sin(φ/2), rise r (1 − cos(φ/2)), any pocket book of the trade): a ring of 900 mm
// outside in eight has chords of 344.42 mm that rise 34.25 mm, ends 22.5° off square.
TEST(EdgingStudy, ChordRiseAndAnglesOfARoundTop) {
    Document document = ring_table();
    document.job.seams[0].segments->number = 8;
    document.job.seams[0].segments->board_width_mm = 130.0;
    const Plan plan = plan_of(document);
    const SegmentedEdging& edging = ring_of(plan);
    ASSERT_EQ(edging.ring.segments.size(), 8U);
    EXPECT_TRUE(edging.ring.even);
    for (const auto& s : edging.ring.segments) {
        EXPECT_NEAR(s.chord_mm, 900.0 * std::sin(22.5 * degree), 1e-6);
        EXPECT_NEAR(s.chord_mm, 344.415, 1e-3);
        EXPECT_NEAR(s.start_rad, 22.5 * degree, 1e-9);
        EXPECT_NEAR(s.end_rad, 22.5 * degree, 1e-9);
        // The ring's inner radius is 390: 60 + 390 (1 − cos 22.5°) and a margin to either side.
        EXPECT_NEAR(s.board_width_mm, 60.0 + 390.0 * (1.0 - std::cos(22.5 * degree)) + 2.0 * 6.0, 1e-6);
    }
    EXPECT_NEAR(end_angles(edging.ring) / degree, 360.0, 1e-9);
}

TEST(EdgingStudy, SegmentsCoverTheRingAndKeepClearOfItsSeams) {
    const Plan plan = plan_of(ring_table());
    const SegmentedEdging& edging = ring_of(plan);
    EXPECT_THAT(errors(plan), IsEmpty());
    double area = 0.0;
    for (const auto& s : edging.ring.segments) {
        const Path outline = segment_outline(s);
        EXPECT_LT(geometry::largest_break_mm(outline), 1e-6);
        area += geometry::area_mm2(outline);
    }
    EXPECT_NEAR(area, plan.pieces[edging.piece].area_mm2, 1e-3);
    ASSERT_EQ(edging.meetings.size(), 2U) << "one seam, two ends";
    // The seam's ends lie on the ring's inner edge, square inward from where the ring counts them.
    const auto running = geometry::running_length_mm(edging.outer);
    for (const auto& m : edging.meetings) {
        const Point at = geometry::point_at(edging.outer, geometry::station_at(edging.outer, running, m.at_mm));
        const Path& seam = plan.seams[m.seam].in_wood;
        EXPECT_NEAR(std::min(geometry::distance(at, seam.start()), geometry::distance(at, seam.end())), 60.0, 1e-6);
        for (const auto& s : edging.ring.segments) {
            const double apart = std::abs(std::remainder(s.from_mm - m.at_mm, running.back()));
            EXPECT_GE(apart, edging.wish.clear_mm - 1e-6);
        }
    }
}

TEST(EdgingStudy, OvalsAndBowedSidesCloseToo) {
    for (const job::Outline& outline :
         {job::Outline(job::OvalOutline{1400.0, 800.0}),
          job::Outline(job::RectangleOutline{1200.0, 700.0, job::BowedEdge{60.0}, {}, job::BowedEdge{60.0}, {}, {}})}) {
        Document document = small();
        document.job.outline = outline;
        document.job.seams = {edging("ring", 50.0)};
        document.job.seams[0].segments = job::Segments{120.0, std::nullopt, 0};
        const Plan plan = plan_of(document);
        const SegmentedEdging& ring = ring_of(plan);
        ASSERT_FALSE(ring.ring.segments.empty());
        EXPECT_NEAR(end_angles(ring.ring) / degree, 360.0, 1e-6);
        double area = 0.0;
        for (const auto& s : ring.ring.segments) {
            area += geometry::area_mm2(segment_outline(s));
            EXPECT_LE(s.board_width_mm, 120.0 + 1e-6);
        }
        EXPECT_NEAR(area, plan.pieces[ring.piece].area_mm2, 0.5);
    }
}

TEST(EdgingStudy, ASecondRingKeepsItsJointsOffThoseOfTheFirst) {
    Document document = ring_table();
    document.job.seams.push_back(edging("outer seam", 25.0));
    document.job.seams.back().segments = job::Segments{90.0, std::nullopt, 0};
    const Plan plan = plan_of(document);
    ASSERT_EQ(plan.edgings.size(), 2U);
    const SegmentedEdging &inside = plan.edgings[0], &outside = plan.edgings[1];
    EXPECT_NEAR(inside.width_mm, 35.0, 1e-9);
    EXPECT_NEAR(outside.width_mm, 25.0, 1e-9);
    ASSERT_EQ(outside.meetings.size(), inside.ring.segments.size());
    const double length = geometry::length_mm(outside.outer);
    for (const auto& m : outside.meetings) {
        EXPECT_TRUE(m.joint);
        for (const auto& s : outside.ring.segments)
            EXPECT_GE(std::abs(std::remainder(s.from_mm - m.at_mm, length)), outside.wish.clear_mm - 1e-6);
    }
}

TEST(EdgingStudy, SaysWhatBoardWouldDo) {
    Document document = ring_table();
    document.job.seams[0].segments->board_width_mm = 70.0;
    const Plan narrow = plan_of(document);
    EXPECT_THAT(narrow.edgings.at(0).ring.segments, IsEmpty());
    const auto found = at_pointer(narrow, "/seams/0/segments/board_width");
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].weight, job::Problem::Weight::error);
    EXPECT_THAT(found[0].found, HasSubstr("70.0 mm"));
    // The remedy holds, and is no more than it takes.
    const auto from = found[0].remedy.find("at least ");
    ASSERT_NE(from, std::string::npos) << found[0].remedy;
    const double wide = std::stod(found[0].remedy.substr(from + 9));
    document.job.seams[0].segments->board_width_mm = wide;
    EXPECT_FALSE(plan_of(document).edgings.at(0).ring.segments.empty());
    document.job.seams[0].segments->board_width_mm = wide - 2.0;
    EXPECT_TRUE(plan_of(document).edgings.at(0).ring.segments.empty());
}

TEST(EdgingStudy, SaysWhichNumberWouldDo) {
    Document document = ring_table();
    document.job.seams[0].segments = job::Segments{85.0, std::nullopt, 8};
    const Plan few = plan_of(document);
    const auto found = at_pointer(few, "/seams/0/segments/number");
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].weight, job::Problem::Weight::error);
    document.job.seams[0].segments->number = std::stoi(found[0].allowed);
    EXPECT_FALSE(plan_of(document).edgings.at(0).ring.segments.empty()) << found[0].allowed;
}

TEST(EdgingStudy, WarnsOfShortGrainAndLaysTheRingAllTheSame) {
    Document document = ring_table();
    document.job.seams[0].segments = job::Segments{300.0, std::nullopt, 6};
    const Plan plan = plan_of(document);
    EXPECT_EQ(plan.edgings.at(0).ring.segments.size(), 6U);
    const auto found = at_pointer(plan, "/seams/0/segments/number");
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].weight, job::Problem::Weight::warning);
    EXPECT_THAT(found[0].found, HasSubstr("30.0°"));
    EXPECT_THAT(found[0].remedy, HasSubstr("take 8 segments"));
}

TEST(EdgingStudy, SaysHowLongABoardHasToBe) {
    Document document = ring_table();
    document.job.seams[0].segments = job::Segments{110.0, 45.0, 0};
    const auto found = at_pointer(plan_of(document), "/seams/0/segments/board_length");
    ASSERT_EQ(found.size(), 1U);
    EXPECT_THAT(found[0].remedy, HasSubstr("at least"));
}

TEST(EdgingStudy, EverySegmentIsSawnFromABoardAsItsBlank) {
    const Document document = ring_table();
    const Plan plan = plan_of(document);
    const auto study = study_boards(plan, document.job, document.shelf, 5'000'000);
    ASSERT_TRUE(study);
    const SegmentedEdging& edging = ring_of(plan);
    EXPECT_EQ(strips_of(*study, edging.piece), edging.ring.segments.size());
    std::size_t seen = 0;
    for (std::size_t i = 0; i < study->parts.size(); ++i) {
        const SawnPart& part = study->parts[i];
        if (part.piece != edging.piece) continue;
        const auto& s = edging.ring.segments[seen++];
        EXPECT_EQ(part.strip, seen);
        EXPECT_EQ(part.fibre_rad, s.fibre_rad);
        ASSERT_TRUE(study->placing.lies[i]);
        const auto box = part.sawn(*study->placing.lies[i]);
        EXPECT_NEAR(box.width_mm(), s.board_length_mm, 1e-6);
        EXPECT_NEAR(box.height_mm(), s.board_width_mm, 1e-6);
        EXPECT_EQ(document.shelf.boards[study->placing.lies[i]->board].species, "Oak, white");
    }
    EXPECT_EQ(seen, edging.ring.segments.size());
    // Offcuts lie where they are said to lie, on their board and off what is sawn from it.
    for (const Offcut& o : study->offcuts) {
        EXPECT_LE(o.at.x + o.length_mm, document.shelf.boards[o.board].length_mm + 1e-6);
        for (std::size_t i = 0; i < study->parts.size(); ++i) {
            const auto& lie = study->placing.lies[i];
            if (!lie || lie->board != o.board) continue;
            const auto box = study->parts[i].sawn(*lie);
            const bool apart = box.high.x <= o.at.x || box.low.x >= o.at.x + o.length_mm || box.high.y <= o.at.y ||
                               box.low.y >= o.at.y + o.width_mm;
            EXPECT_TRUE(apart);
        }
    }
}

TEST(EdgingStudy, ASegmentLaidByTheMakerStaysWhereItLies) {
    Document document = ring_table();
    document.job.pieces[0].strips = 8;  // as the page writes it with a strip that is laid
    document.job.pieces[0].laid_strips = {{3, {"oak 1", {1500.0, 120.0}, false, false}}};
    const Plan plan = plan_of(document);
    const auto study = study_boards(plan, document.job, document.shelf, 5'000'000);
    ASSERT_TRUE(study);
    EXPECT_THAT(study->faults, IsEmpty());
    for (std::size_t i = 0; i < study->parts.size(); ++i) {
        const SawnPart& part = study->parts[i];
        if (part.piece != ring_of(plan).piece || part.strip != 3) continue;
        EXPECT_TRUE(part.by_hand);
        const auto box = geometry::bounding_box(study->placing.lies[i]->placed(part.shape));
        const Point middle = geometry::midpoint(box.low, box.high);
        EXPECT_NEAR(middle.x, 1500.0, 1e-6);
        EXPECT_NEAR(middle.y, 120.0, 1e-6);
    }
    const auto alone = sawn_part(plan, document.job, document.shelf, ring_of(plan).piece, 3, 8);
    ASSERT_TRUE(alone);
    EXPECT_EQ(alone->name, "ring, segment 3 of 8");
}

TEST(EdgingStudy, FibresAlongTheCutAreThoseOfEachSegment) {
    const Document document = ring_table();
    const Plan plan = plan_of(document);
    const SegmentedEdging& edging = ring_of(plan);
    for (const auto& s : edging.ring.segments) {
        const auto running = geometry::running_length_mm(s.inner);
        const Point middle = geometry::point_at(s.inner, geometry::station_at(s.inner, running, 0.5 * running.back()));
        EXPECT_EQ(fibres_at(plan, edging.piece, middle), s.fibre_rad);
    }
    // Nowhere on the ring do fibres meet the cut more steeply than they run out, so nothing is end grain there; were
    // the ring one piece, a good part of it would be.
    const auto feed = study_feed(plan, document.shelf, study_rough_cut(plan, document.job), nullptr);
    const auto on_ring = std::find_if(feed.edges.begin(), feed.edges.end(),
                                      [&](const RoutedEdge& e) { return e.piece == edging.piece; });
    ASSERT_NE(on_ring, feed.edges.end());
    const double inner_run_out = 25.0 * degree;
    for (const auto& stretch : on_ring->feed.stretches) EXPECT_LT(std::abs(stretch.worst_phi_rad), inner_run_out);
}

TEST(EdgingStudy, TellsHowMuchTheFieldMovesAgainstTheRing) {
    Document document = ring_table();
    for (job::Piece& piece : document.job.pieces) piece.moisture_percent = 8.0;
    document.job.climate.driest = job::Air{21.0, false, 30.0};
    document.job.climate.dampest = job::Air{21.0, false, 65.0};
    const Plan plan = plan_of(document);
    const MovementStudy movement = study_movement(plan, document.job, document.shelf, nullptr);
    const RingMovement moves = ring_movement(ring_of(plan), plan, movement);
    ASSERT_TRUE(moves.known);
    // Wood Handbook, FPL-GTR-282, table 13-5: black cherry, tangential, 0.00248 for each point of moisture. The field
    // is 780 mm across and both its boards are flat-sawn, so it moves 780 · 0.00248 from the driest to the dampest.
    const double points = movement.damp_percent - movement.dry_percent;
    EXPECT_NEAR(moves.across_mm, 780.0, 1e-6);
    EXPECT_NEAR(moves.turn_rad, 0.5 * geometry::pi, 1e-9) << "across the fibres";
    EXPECT_NEAR(moves.damp_mm - moves.dry_mm, 780.0 * 0.00248 * points, 0.01);
    // 0.00126 radially: quarter-sawn it would move about half.
    EXPECT_NEAR(moves.quarter_part, 0.00126 / 0.00248, 1e-6);
    const auto found = at_pointer(plan, "/seams/0");
    const auto warned = std::find_if(found.begin(), found.end(), [](const job::Problem& p) {
        return p.found.find("solid ring around solid wood") != std::string::npos;
    });
    ASSERT_NE(warned, found.end());
    EXPECT_THAT(warned->found, HasSubstr(units::show(moves.damp_mm - moves.dry_mm, document.job.style)));
    EXPECT_THAT(warned->remedy, HasSubstr("core that does not move"));
}

TEST(EdgingStudy, NothingIsSaidOfAFieldThatDoesNotMove) {
    Document document = ring_table();
    document.job.climate.driest = document.job.climate.dampest = job::Air{21.0, false, 45.0};
    for (job::Piece& piece : document.job.pieces) piece.moisture_percent.reset();
    document.job.climate.shop = job::Air{21.0, false, 45.0};
    for (const auto& p : plan_of(document).problems)
        EXPECT_EQ(p.found.find("solid ring"), std::string::npos) << p.found;
}

// Joints 60 mm long, both ends 22.5° off square: as the width grows by 1 % each end turns by
// 22.5° − atan(tan 22.5° / 1.01) = 0.2009°, and a joint of two opens by twice that over 60 mm: 0.4207 mm.
TEST(EdgingStudy, JointsOfTheRingWantToOpen) {
    Document document = ring_table();
    document.job.seams[0].segments = job::Segments{130.0, std::nullopt, 8};
    const Plan plan = plan_of(document);
    MovementStudy movement = study_movement(plan, document.job, document.shelf, nullptr);
    movement.pieces[ring_of(plan).piece].dry_part = 0.0;
    movement.pieces[ring_of(plan).piece].damp_part = 0.01;
    EXPECT_NEAR(ring_movement(ring_of(plan), plan, movement).joint_mm, 0.4207, 1e-4);
}

TEST(EdgingStudy, TheWorkGluesTheRingBeforeItsEdgeIsRouted) {
    const Document document = ring_table();
    const Plan plan = plan_of(document);
    const auto movement = study_movement(plan, document.job, document.shelf, nullptr);
    std::vector<std::optional<ClosingStudy>> closing(plan.seams.size());
    const ShopStudy shop = study_shop(plan, document.job, document.shelf, {nullptr, &movement, closing});
    const auto named = [&](const std::string& id) {
        return std::find_if(shop.steps.begin(), shop.steps.end(), [&](const WorkStep& s) { return s.task.id == id; });
    };
    const auto ring = named("ring-1"), saw = named("rough-saw");
    ASSERT_NE(ring, shop.steps.end());
    EXPECT_EQ(ring->task.name, "Saw and glue the segments of ring");
    EXPECT_LT(ring, saw);
    EXPECT_TRUE(std::any_of(saw->task.needs.begin(), saw->task.needs.end(),
                            [](const process::Need& n) { return n.task == "ring-1"; }));
    EXPECT_FALSE(ring->cautions.empty());
    // Wood of the blanks, not of the ring, and glue for its joints.
    double blanks = 0.0;
    for (const auto& s : plan.edgings[0].ring.segments) blanks += s.board_width_mm * s.board_length_mm;
    EXPECT_GT(blanks, plan.pieces[plan.edgings[0].piece].area_mm2);
    const auto line = [&](const std::string& what) {
        return std::find_if(shop.costs.lines.begin(), shop.costs.lines.end(),
                            [&](const process::CostLine& l) { return l.what == what; });
    };
    const auto wood = line("ring, Oak, white");
    ASSERT_NE(wood, shop.costs.lines.end());
    // 28 mm and 6 for planing, a quarter more for waste: thousandths of a cubic metre.
    EXPECT_NEAR(static_cast<double>(wood->thousandths) * 1e-3, 1.25 * blanks * 34.0 * 1e-9, 6e-4);
    EXPECT_NE(line("Glue for the joints of rings"), shop.costs.lines.end());
}

TEST(EdgingStudy, WordsAreInTheJobsUnits) {
    Document document = ring_table();
    document.job.style.unit = units::Unit::inch;
    const Plan plan = plan_of(document);
    const auto movement = study_movement(plan, document.job, document.shelf, nullptr);
    const auto told = words::edging_text(ring_of(plan), plan, document.job, movement);
    ASSERT_EQ(told.size(), 3U);
    for (const auto& part : told) {
        for (const auto* list : {&part.lines, &part.cautions})
            for (const std::string& line : *list) EXPECT_EQ(line.find(" mm"), std::string::npos) << line;
    }
}

}  // namespace
}  // namespace seamwright::plan
