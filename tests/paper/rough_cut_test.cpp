#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "paper/on_sheet.h"
#include "paper/papers.h"
#include "paper/wood_pages.h"
#include "plan/plan_jobs.h"

namespace seamwright::paper {
namespace {

job::Document stack_of_boards() {
    return plan::testing::example("stack-of-boards");
}

const DrawnPath* find(const Drawing& drawing, const std::string& id) {
    const auto it = std::ranges::find(drawing.paths, id, &DrawnPath::id);
    return it == drawing.paths.end() ? nullptr : &*it;
}

bool says(const Drawing& drawing, const std::string& part) {
    return std::ranges::any_of(drawing.texts, [&](const Text& t) { return t.text.find(part) != std::string::npos; });
}

TEST(RoughCutOnPaper, TemplatesShowScrewsTapeAndIndexMarks) {
    const job::Document document = stack_of_boards();
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    const plan::RoughCutStudy rough = plan::study_rough_cut(plan, document.job);
    std::size_t screws = 0;
    for (const plan::RoughCut& cut : rough.cuts) {
        const plan::SeamPlan& seam = plan.seams[cut.seam];
        const plan::TemplatePlan& t = seam.templates[cut.template_index];
        const Drawing d = template_drawing(plan, seam, t, &rough);
        std::size_t number = 0;
        for (const plan::CutEnd& end : cut.ends) {
            for (const auto& screw : end.screws) {
                const auto* circle = find(d, "screw-" + std::to_string(++number));
                ASSERT_NE(circle, nullptr);
                EXPECT_LT(geometry::distance(circle->path.segments[0].centre, screw.at), 1e-9);
                ++screws;
            }
        }
        EXPECT_TRUE(says(d, "screw here: in waste"));
        EXPECT_TRUE(says(d, "screw: waste, 19"));
        EXPECT_TRUE(says(d, "finished wood, no screws"));
        EXPECT_EQ(find(d, "fastening-1"), nullptr);
        ASSERT_NE(find(d, "tape-1"), nullptr);
        for (std::size_t i = 1; i <= 3; ++i) {
            const auto* mark = find(d, "index-" + std::to_string(i));
            ASSERT_NE(mark, nullptr);
            // From the cut edge into the template: as long as the offset and what is drawn on it.
            EXPECT_NEAR(geometry::length_mm(mark->path), cut.offset_mm + plan::mark_on_template_mm, 1e-6);
        }
    }
    EXPECT_GE(screws, 12U);
}

// Both templates of a seam carry each mark at one station: the lines of a pair lie on one straight line.
TEST(RoughCutOnPaper, IndexMarksOfAPairMeet) {
    const job::Document document = stack_of_boards();
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    const plan::RoughCutStudy rough = plan::study_rough_cut(plan, document.job);
    const auto line_on = [&](const plan::RoughCut& cut, const std::string& id) {
        const plan::SeamPlan& seam = plan.seams[cut.seam];
        return find(template_drawing(plan, seam, seam.templates[cut.template_index], &rough), id)->path.segments[0];
    };
    for (std::size_t i = 0; i + 1 < rough.cuts.size(); i += 2) {
        ASSERT_EQ(rough.cuts[i].seam, rough.cuts[i + 1].seam);
        for (const std::string id : {"index-1", "index-2", "index-3"}) {
            const auto a = line_on(rough.cuts[i], id), b = line_on(rough.cuts[i + 1], id);
            EXPECT_LT(geometry::distance(a.start, b.start), 1e-9);
            const Point u = a.end - a.start, v = b.end - b.start;
            EXPECT_NEAR(geometry::cross(u, v), 0.0, 1e-6);
            EXPECT_LT(geometry::dot(u, v), 0.0);
        }
    }
}

TEST(RoughCutOnPaper, WoodPagesTellEveryPieceAndStayOnTheSheet) {
    const job::Document document = stack_of_boards();
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    const plan::RoughCutStudy rough = plan::study_rough_cut(plan, document.job);
    const auto movement = plan::study_movement(plan, document.job, document.shelf, nullptr);
    const auto pages = wood_pages(plan, std::nullopt, rough, movement, nullptr, document.job, document.shelf, {});
    for (const std::string part : {"Front board: sawn to 1590.0 mm", "Insert: sawn to", "Back board: sawn to",
                                   "screw 1", "past the end", "cutter and guide", "Screws and cutter must never meet"})
        EXPECT_TRUE(std::ranges::any_of(pages, [&](const Drawing& d) { return says(d, part); })) << part;
    for (const Drawing& d : pages) test::expect_on_its_sheet(d);
}

}  // namespace
}  // namespace seamwright::paper
