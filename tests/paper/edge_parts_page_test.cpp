#include "paper/edge_parts_page.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "paper/job_book.h"
#include "paper/on_sheet.h"
#include "plan/edge_jobs.h"

namespace seamwright::paper {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using namespace plan::testing;

struct Held {
    job::Document document;
    plan::Plan plan;
    std::optional<plan::BoardsStudy> boards;
    plan::MovementStudy movement;
    std::optional<plan::BuildUpStudy> build_up;

    explicit Held(job::Document of) : document(std::move(of)), plan(plan_of(document)) {
        boards = plan::study_boards(plan, document.job, document.shelf, 5'000'000);
        const plan::BoardsStudy* laid = boards ? &*boards : nullptr;
        movement = plan::study_movement(plan, document.job, document.shelf, laid);
        build_up = plan::study_build_up(plan, document.job, document.shelf, laid, movement);
    }
    std::vector<Drawing> pages() const {
        return edge_parts_pages(plan, movement, build_up ? &*build_up : nullptr, document.job, document.shelf);
    }
};

std::string text_of(const std::vector<Drawing>& pages) {
    std::string text;
    for (const Drawing& page : pages)
        for (const Text& t : page.texts) text += t.text + '\n';
    return text;
}

/// The n of "Scale 1 : n." in a title.
double scale_said(const std::string& text, const std::string& title) {
    const auto at = text.find(title);
    const auto scale = text.find("Scale 1 : ", at);
    return at == std::string::npos || scale == std::string::npos ? 0.0 : std::stod(text.substr(scale + 10));
}

TEST(EdgePartsPage, LiesOnItsSheetInBothUnitsAndOnBothPapers) {
    for (const char* size : {"A4", "Letter"}) {
        for (const units::Unit unit : {units::Unit::millimetre, units::Unit::inch}) {
            for (job::Document document : {ring_table(), built_up()}) {
                document.job.paper.size = size;
                document.job.style.unit = unit;
                for (const Drawing& page : Held(std::move(document)).pages()) test::expect_on_its_sheet(page);
            }
        }
    }
}

TEST(EdgePartsPage, TheRingIsTrueToTheScaleItSays) {
    const Held held(ring_table());
    const auto pages = held.pages();
    ASSERT_FALSE(pages.empty());
    const double scale = scale_said(text_of(pages), "segments, from above");
    ASSERT_GT(scale, 0.0);
    // Round paths of the ring's outer and inner diameter, at that scale, and a shape for each segment.
    double outer = 0.0, inner = HUGE_VAL;
    std::size_t shapes = 0;
    double hatched = 0.0;
    for (const DrawnPath& p : pages[0].paths) {
        if (!p.path.closed) continue;
        const Box box = geometry::bounding_box(p.path);
        if (std::abs(box.width_mm() - box.height_mm()) < 1e-6 && p.fill.hatch_spacing_mm == 0.0 &&
            p.path.segments.front().is_arc() && box.width_mm() > 20.0) {
            outer = std::max(outer, box.width_mm());
            inner = std::min(inner, box.width_mm());
        }
        if (p.fill.hatch_spacing_mm == 1.6) {
            ++shapes;
            hatched += geometry::area_mm2(p.path);
        }
    }
    EXPECT_NEAR(outer, 900.0 / scale, 1e-6);
    EXPECT_NEAR(inner, 780.0 / scale, 1e-3);
    EXPECT_EQ(shapes, held.plan.edgings[0].ring.segments.size());
    EXPECT_NEAR(hatched * scale * scale, held.plan.pieces[held.plan.edgings[0].piece].area_mm2, 1.0);
}

TEST(EdgePartsPage, TablesListEverySegmentAndEveryPart) {
    const Held ring(ring_table());
    const std::string told = text_of(ring.pages());
    for (const auto& s : ring.plan.edgings[0].ring.segments)
        EXPECT_THAT(told, HasSubstr(units::show(s.from_mm, ring.document.job.style) + " to " +
                                    units::show(s.to_mm, ring.document.job.style)));
    const Held under(built_up());
    const std::string parts = text_of(under.pages());
    for (const auto& p : under.build_up->parts)
        EXPECT_THAT(parts, HasSubstr(units::show(p.from_mm, under.document.job.style) + " to " +
                                     units::show(p.to_mm, under.document.job.style)));
    EXPECT_THAT(parts, HasSubstr("walnut 1: "));
    EXPECT_EQ(parts.find(" mm"), std::string::npos);
}

TEST(EdgePartsPage, TheEdgeIsTrueToScaleFromOutside) {
    const Held held(built_up());
    const auto pages = held.pages();
    const std::string text = text_of(pages);
    const double scale = scale_said(text, "Right end, from outside");
    ASSERT_GT(scale, 0.0);
    const auto has_box = [&](double width, double height) {
        return std::any_of(pages.begin(), pages.end(), [&](const Drawing& page) {
            return std::any_of(page.paths.begin(), page.paths.end(), [&](const DrawnPath& p) {
                if (!p.path.closed) return false;
                const Box box = geometry::bounding_box(p.path);
                return std::abs(box.width_mm() - width) < 1e-6 && std::abs(box.height_mm() - height) < 1e-6;
            });
        });
    };
    for (const auto& p : held.build_up->parts)
        if (held.build_up->edges[p.edge].name == "right end") {
            EXPECT_TRUE(has_box((p.to_mm - p.from_mm) / scale, 25.4 / scale));
        }
}

std::string csv_of(const Held& held) {
    const auto rough = plan::study_rough_cut(held.plan, held.document.job);
    const std::vector<std::optional<plan::ClosingStudy>> closing;
    const plan::FeedStudy feed;
    const plan::ShopStudy shop;
    const BoardPictures pictures;
    return cut_list_csv({held.plan, held.document.job, held.document.shelf, held.boards, rough, held.movement, nullptr,
                         closing, feed, shop, pictures, nullptr, held.build_up ? &*held.build_up : nullptr});
}

TEST(EdgePartsPage, TheCutListHasEverySegmentAndEveryPart) {
    Held ring(ring_table());
    const std::size_t count = ring.plan.edgings[0].ring.segments.size();
    for (const bool boards : {true, false}) {
        if (!boards) ring.boards.reset();
        const std::string csv = csv_of(ring);
        for (std::size_t k = 1; k <= count; ++k)
            EXPECT_THAT(csv, HasSubstr("\"ring, segment " + std::to_string(k) + " of " + std::to_string(count) + "\""))
                << boards;
        EXPECT_EQ(csv.find(",oak 1,") != std::string::npos, boards);
    }
    const Held under(built_up());
    const std::string csv = csv_of(under);
    for (std::size_t i = 0; i < under.build_up->parts.size(); ++i) {
        const auto& part = under.build_up->parts[i];
        EXPECT_THAT(csv, HasSubstr("\"build-up " + std::to_string(i + 1) + ", " +
                                   under.build_up->edges[part.edge].name + "\""));
        EXPECT_THAT(csv, HasSubstr(plan::words::build_up_place(part, *under.build_up, under.plan, under.document.job)));
    }
}

TEST(EdgePartsPage, NoneWithoutRingOrBuildUp) {
    const Held held(example("hall-console"));
    ASSERT_FALSE(held.build_up);
    EXPECT_THAT(held.pages(), IsEmpty());
}

}  // namespace
}  // namespace seamwright::paper
