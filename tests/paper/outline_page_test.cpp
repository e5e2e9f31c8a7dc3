#include "paper/outline_page.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "geometry/path_index.h"
#include "paper/on_sheet.h"
#include "paper/papers.h"
#include "pdf_lines.h"
#include "plan/plan_jobs.h"

namespace seamwright::paper {
namespace {

using ::testing::HasSubstr;

std::string text_of(const std::vector<Drawing>& pages) {
    std::string text;
    for (const Drawing& page : pages)
        for (const Text& t : page.texts) text += t.text + '\n';
    return text;
}

std::vector<job::Document> documents() {
    std::vector<job::Document> out;
    for (const auto& name : plan::testing::example_names()) out.push_back(plan::testing::example(name));
    job::Document bowed = plan::testing::two_pieces();
    job::RectangleOutline shape{1000.0, 400.0, {}, {}, {}, {}, {15.0, 15.0, 0.0, 40.0}};
    shape.front = job::BowedEdge{30.0};
    shape.back = job::DrawnEdge{{{700.0, 415.0}, {300.0, 395.0}}};
    bowed.job.outline = shape;
    out.push_back(bowed);
    job::Document oval = plan::testing::small();
    oval.job.outline = job::OvalOutline{1000.0, 400.0};
    out.push_back(oval);
    return out;
}

TEST(OutlinePage, StaysOnItsSheetAndTellsEveryCut) {
    for (job::Document& document : documents()) {
        for (const char* size : {"A4", "Letter"}) {
            document.job.paper.size = size;
            const plan::Plan plan = plan::make_plan(document.job, document.shelf);
            const plan::OutlineStudy study = plan::study_outline(plan, document.job, document.shelf);
            const auto pages = outline_pages(plan, study, document.job);
            for (const Drawing& page : pages) test::expect_on_its_sheet(page);
            const std::string text = text_of(pages);
            EXPECT_THAT(text, HasSubstr("Cutting the top to its outline"));
            for (std::size_t i = 0; i < study.cuts.size(); ++i)
                EXPECT_THAT(text, HasSubstr('\n' + std::to_string(i + 1) + '\n')) << "its number in the picture";
            EXPECT_THAT(text, HasSubstr("What was measured"));
        }
    }
}

const DrawnPath* find(const Drawing& d, const std::string& id) {
    const auto it = std::ranges::find(d.paths, id, &DrawnPath::id);
    return it == d.paths.end() ? nullptr : &*it;
}

TEST(OutlineTemplates, AreDrawnAtFullSizeWithLineEdgeAndMarks) {
    for (const job::Document& document : documents()) {
        const plan::Plan plan = plan::make_plan(document.job, document.shelf);
        const plan::OutlineStudy study = plan::study_outline(plan, document.job, document.shelf);
        for (const plan::OutlineTemplate& t : study.templates) {
            const Drawing d = outline_template_drawing(plan, t);
            SCOPED_TRACE(d.title);
            ASSERT_NE(find(d, "template-edge"), nullptr);
            EXPECT_EQ(find(d, "template-edge")->path, t.sheet.edge);
            EXPECT_EQ(find(d, "finished-line")->path, t.sheet.seam_line);
            std::string text;
            for (const Text& line : d.texts) text += line.text + '\n';
            EXPECT_THAT(text, HasSubstr(t.sheet.title));
            EXPECT_THAT(text, HasSubstr(t.sheet.rides));
            EXPECT_THAT(text, HasSubstr("The waste is outside the line."));
            EXPECT_THAT(text, HasSubstr("tape or clamp here: finished wood, no screws"));
            for (const std::string& says : t.says) EXPECT_THAT(text, HasSubstr(says));
        }
    }
}

// Read back from the printed file: on paper the run-outs of a side's template are as long as the job says and lie as
// far apart as on the template, to a micrometre.
TEST(OutlineTemplates, ArePrintedToTrueScale) {
    const job::Document document = plan::testing::example("hall-console");
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    const plan::OutlineStudy study = plan::study_outline(plan, document.job, document.shelf);
    const auto& t = *std::ranges::find_if(study.templates,
                                          [](const auto& of) { return of.sheet.title == "Outline, back template"; });
    const auto pages = test::read_pages(roll_pdf({outline_template_drawing(plan, t)}, {}));
    ASSERT_EQ(pages.size(), 1U);
    const auto& first = t.sheet.edge.segments.front();
    const auto& last = t.sheet.edge.segments.back();
    ASSERT_TRUE(first.is_line());
    ASSERT_NEAR(geometry::length_mm(first), 60.0, 1e-9);
    // Each is drawn as a band and as a line.
    const auto on_paper = [&](const geometry::Segment& s) {
        std::vector<test::PdfLine> found;
        const Point d = s.end - s.start;
        for (const auto& line : pages[0].lines)
            if (std::hypot(line.b.x - line.a.x - d.x, line.b.y - line.a.y - d.y) < 1e-3) found.push_back(line);
        return found;
    };
    const auto starts = on_paper(first), ends = on_paper(last);
    ASSERT_GE(starts.size(), 2U);
    ASSERT_GE(ends.size(), 2U);
    const Point apart = last.end - first.start;
    bool same = false;
    for (const auto& a : starts)
        for (const auto& b : ends) same = same || std::hypot(b.b.x - a.a.x - apart.x, b.b.y - a.a.y - apart.y) < 1e-3;
    EXPECT_TRUE(same);
}

TEST(OutlinePapers, AreAmongThePapersOnlyWithTheDocument) {
    const job::Document document = plan::testing::example("round-table");
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    std::vector<std::string> names;
    for (const auto& name : paper_names(plan, &document)) names.push_back(name.name);
    for (const char* name : {"outline-how-it-is-cut.pdf", "outline-half-template-sheets.pdf",
                             "outline-half-template-roll.pdf", "outline-half-template.svg"}) {
        EXPECT_THAT(names, ::testing::Contains(name));
        const auto one = one_paper(plan, name, &document);
        ASSERT_TRUE(one) << name;
        EXPECT_EQ(one->bytes, one_paper(plan, name, &document)->bytes);
        EXPECT_FALSE(one_paper(plan, name));
    }
}

}  // namespace
}  // namespace seamwright::paper
