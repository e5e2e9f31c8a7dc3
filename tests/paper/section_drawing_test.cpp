#include "section_drawing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <tuple>

#include "plan/plan_jobs.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

/// All that is drawn under a name.
std::vector<Box> boxes(const Drawing& drawing, const std::string& id) {
    std::vector<Box> out;
    for (const DrawnPath& p : drawing.paths)
        if (p.id == id) out.push_back(geometry::bounding_box(p.path));
    return out;
}
double width_of(const Drawing& drawing, const std::string& id) {
    const auto all = boxes(drawing, id);
    EXPECT_EQ(all.size(), 1U) << id;
    return all.empty() ? 0.0 : all[0].width_mm();
}
bool says(const Drawing& drawing, const std::string& text) {
    return std::any_of(drawing.texts.begin(), drawing.texts.end(),
                       [&](const Text& t) { return t.text.find(text) != std::string::npos; });
}

struct Drawn {
    Drawing drawing;
    plan::Section section;
    double n = 1.0;
};
Drawn draw(const job::Document& document, const plan::Plan& plan, const plan::StepPlan& step) {
    Drawn out;
    out.section = plan::section_of(step.step, document.shelf, plan::sizes_of(plan));
    out.n = section_n(out.section, 180.0, 78.0);
    SectionWords words;
    words.style = document.job.style;
    words.cutter = "cutter";
    words.rider = "guide";
    draw_section(out.drawing, out.section, words, step.passes ? &*step.passes : nullptr, 105.0, 100.0, out.n);
    return out;
}

/// B, b and o of the drawing against those the shelf and the formula of the trade give, not against the plan's figures.
TEST(SectionDrawing, ShowsGuideCutterAndOffsetToScale) {
    for (const char* name : {"hall-console", "bench-top", "round-table"}) {
        const job::Document document = plan::testing::example(name);
        const plan::Plan plan = plan::testing::plan_of(document);
        std::size_t routed = 0;
        for (const auto& seam : plan.seams) {
            for (const auto& step : seam.steps) {
                if (!step.step.pair || step.step.pair->rides != seam::Pair::Rides::guide) continue;
                const Drawn d = draw(document, plan, step);
                const double B = document.shelf.guides[step.step.pair->rider].outside.real_mm();
                const double b = document.shelf.cutters[step.step.pair->cutter].cutting.real_mm();
                const double o = step.step.keeps_far ? 0.5 * (B + b) : 0.5 * (B - b);
                EXPECT_NEAR(width_of(d.drawing, "section cutter") * d.n, b, 1e-6);
                Box guide;
                for (const Box& wall : boxes(d.drawing, "section guide")) {
                    guide.add(wall.low);
                    guide.add(wall.high);
                }
                EXPECT_NEAR(guide.width_mm() * d.n, B, 1e-6);
                EXPECT_NEAR(width_of(d.drawing, "size B") * d.n, B, 1e-6);
                EXPECT_NEAR(width_of(d.drawing, "size b") * d.n, b, 1e-6);
                EXPECT_NEAR(width_of(d.drawing, "size o") * d.n, o, 1e-6);
                // The guide touches the template, and the edge that stays touches the groove.
                const auto templates = boxes(d.drawing, "section template");
                ASSERT_EQ(templates.size(), 1U);
                const auto cutter = boxes(d.drawing, "section cutter").at(0);
                const auto edge = boxes(d.drawing, "section edge").at(0);
                const bool on_left = templates[0].low.x < guide.low.x;
                EXPECT_NEAR(on_left ? templates[0].high.x : templates[0].low.x, on_left ? guide.low.x : guide.high.x,
                            1e-6);
                EXPECT_LT(std::min(std::abs(edge.low.x - cutter.low.x), std::abs(edge.low.x - cutter.high.x)), 1e-6);
                // Heights, too.
                const bool wood = !boxes(d.drawing, "section wood").empty();
                EXPECT_NEAR(boxes(d.drawing, "size work").at(0).height_mm() * d.n,
                            wood ? plan.milled_mm : document.job.sheet.thickness_mm, 1e-6);
                EXPECT_NEAR(templates[0].height_mm() * d.n, document.job.sheet.thickness_mm, 1e-6);
                EXPECT_NEAR(cutter.height_mm() * d.n, document.shelf.cutters[step.step.pair->cutter].cutting_length_mm,
                            1e-6);
                ++routed;
            }
        }
        EXPECT_GE(routed, 3U) << name;
    }
}

TEST(SectionDrawing, SaysItsSizesInTheUnitsOfTheJob) {
    const job::Document document = plan::testing::example("bench-top");
    const plan::Plan plan = plan::testing::plan_of(document);
    for (const auto& step : plan.seams[0].steps) {
        if (!step.step.pair) continue;
        const Drawn d = draw(document, plan, step);
        EXPECT_TRUE(says(d.drawing, "B = 1 1/2 in"));
        EXPECT_TRUE(says(d.drawing, "b = 1/2 in"));
        EXPECT_TRUE(says(d.drawing, step.step.keeps_far ? "o = 1 in" : "o = 1/2 in"));
        EXPECT_TRUE(says(d.drawing, "template 1/2 in"));
        EXPECT_TRUE(says(d.drawing, "waste") || says(d.drawing, "spoil board"));
    }
}

TEST(SectionDrawing, EveryPassIsALineAtItsDepth) {
    const job::Document document = plan::testing::example("hall-console");
    const plan::Plan plan = plan::testing::plan_of(document);
    for (const auto& step : plan.seams[0].steps) {
        if (!step.passes) continue;
        const Drawn d = draw(document, plan, step);
        const auto lines = boxes(d.drawing, "section pass");
        ASSERT_EQ(lines.size(), step.passes->passes.size());
        const double top = boxes(d.drawing, "size work").at(0).high.y;
        for (std::size_t i = 0; i < lines.size(); ++i)
            EXPECT_NEAR((top - lines[i].low.y) * d.n, step.passes->passes[i].depth_mm, 1e-6);
    }
}

TEST(SectionDrawing, WoodTemplateAndWasteAreToldApartWithoutColour) {
    job::Document document = plan::testing::example("hall-console");
    // More than the groove takes, so that a strip falls away.
    document.job.limits.reveal_mm = 15.0;
    const plan::Plan plan = plan::testing::plan_of(document);
    const auto drawn_of = [&](seam::Step::Kind kind) {
        const auto& steps = plan.seams[0].steps;
        const auto step = std::find_if(steps.begin(), steps.end(), [&](const auto& s) { return s.step.kind == kind; });
        EXPECT_NE(step, steps.end());
        return draw(document, plan, *step).drawing;
    };
    Drawing both = drawn_of(seam::Step::Kind::cut_left);
    const Drawing copy = drawn_of(seam::Step::Kind::copy_far);
    both.paths.insert(both.paths.end(), copy.paths.begin(), copy.paths.end());
    const auto look = [&](const std::string& id) {
        const auto p =
            std::find_if(both.paths.begin(), both.paths.end(), [&](const DrawnPath& path) { return path.id == id; });
        if (p == both.paths.end()) {
            ADD_FAILURE() << id;
            return std::tuple(0.0, 0.0, std::size_t{0});
        }
        return std::tuple(p->fill.hatch_spacing_mm, p->fill.hatch_angle_rad, p->stroke.dash_mm.size());
    };
    EXPECT_NE(look("section wood"), look("section template"));
    EXPECT_NE(look("section wood"), look("section waste"));
    EXPECT_NE(look("section template"), look("section waste"));
    EXPECT_NE(look("section bench"), look("section wood"));
    EXPECT_NE(look("section made"), look("section template"));
}

TEST(SectionDrawing, ShowsWhatTheSawLeftOutsideTheEdge) {
    const job::Document document = plan::testing::example("hall-console");
    const plan::Plan plan = plan::testing::plan_of(document);
    std::size_t cuts = 0;
    for (const auto& step : plan.seams[0].steps) {
        const Drawn d = draw(document, plan, step);
        const bool cut = step.step.kind == seam::Step::Kind::cut_left || step.step.kind == seam::Step::Kind::cut_right;
        EXPECT_EQ(boxes(d.drawing, "size waste").size(), cut && !step.step.keeps_far ? 1U : 0U);
        if (!cut || step.step.keeps_far) continue;
        ++cuts;
        EXPECT_NEAR(width_of(d.drawing, "size waste") * d.n, document.job.limits.reveal_mm, 1e-6);
        // On the cutter's side of the edge.
        const double edge = boxes(d.drawing, "section edge").at(0).low.x;
        const double cutter = geometry::midpoint(boxes(d.drawing, "section cutter").at(0).low,
                                                 boxes(d.drawing, "section cutter").at(0).high)
                                  .x;
        EXPECT_GT((boxes(d.drawing, "section saw line").at(0).low.x - edge) * (cutter - edge), 0.0);
    }
    EXPECT_EQ(cuts, 2U);
}

}  // namespace
}  // namespace seamwright::paper
