#include "paper/test_cut_sheet.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <stdexcept>

#include "paper/on_sheet.h"
#include "paper/papers.h"
#include "plan/plan_jobs.h"
#include "seam/test_cut.h"

namespace seamwright::paper {
namespace {

using ::testing::HasSubstr;

TEST(TestCutSheet, StaysOnItsSheetWithEveryPairAndHasAllItsPlaces) {
    for (const char* name : {"hall-console", "bench-top"}) {
        auto document = plan::testing::example(name);
        for (const char* size : {"A4", "Letter"}) {
            document.job.paper.size = size;
            for (const auto& guide : document.shelf.guides) {
                for (const auto& cutter : document.shelf.cutters) {
                    if (cutter.cutting.nominal_mm >= guide.outside.nominal_mm) {
                        EXPECT_THROW(test_cut_sheets(document.shelf, guide.name, cutter.name, document.job),
                                     std::invalid_argument);
                        continue;
                    }
                    SCOPED_TRACE(guide.name + ", " + cutter.name + ", " + size);
                    const auto sheets = test_cut_sheets(document.shelf, guide.name, cutter.name, document.job);
                    std::multiset<std::string> texts;
                    for (const Drawing& sheet : sheets) {
                        test::expect_on_its_sheet(sheet);
                        for (const Text& t : sheet.texts) texts.insert(t.text);
                    }
                    // Each place once in the picture and once in the table.
                    for (std::size_t i = 1; i <= seam::places_to_measure().size(); ++i)
                        EXPECT_EQ(texts.count(std::to_string(i)), 2U) << i;
                    EXPECT_LE(sheets.size(), 4U);
                }
            }
        }
    }
}

TEST(TestCutSheet, DrawsTheSlotWhereMarkedToolsWouldCutIt) {
    const auto document = plan::testing::example("hall-console");
    const auto sheets = test_cut_sheets(document.shelf, "30 mm guide", "10 mm straight cutter", document.job);
    // The strip of the slot: b wide, (B − b)/2 off the edge of the template.
    std::size_t strips = 0;
    for (const DrawnPath& path : sheets.front().paths) {
        if (!path.path.closed || path.path.segments.size() != 4 || path.fill.colour != "#e4e4e4") continue;
        const Box box = geometry::bounding_box(path.path);
        if (box.height_mm() > 30.0) continue;
        ++strips;
        EXPECT_NEAR(box.height_mm(), 10.0, 1e-9);
    }
    EXPECT_EQ(strips, 2U);
}

TEST(TestCutSheet, IsAPaperOfTheJob) {
    auto document = plan::testing::example("hall-console");
    shelf::TestCut cut;
    cut.guide = "30 mm guide";
    cut.cutter = "10 mm straight cutter";
    document.shelf.test_cuts = {cut, cut};
    document.shelf.test_cuts[1].guide = "sold";
    const auto plan = plan::make_plan(document.job, document.shelf);
    const auto one = one_paper(plan, "test-cut-1.pdf", &document);
    ASSERT_TRUE(one);
    EXPECT_EQ(one->bytes.substr(0, 5), "%PDF-");
    EXPECT_EQ(one->bytes, one_paper(plan, "test-cut-1.pdf", &document)->bytes);
    EXPECT_FALSE(one_paper(plan, "test-cut-2.pdf", &document));
    EXPECT_FALSE(one_paper(plan, "test-cut-3.pdf", &document));
    EXPECT_FALSE(one_paper(plan, "test-cut-1.pdf"));
}

}  // namespace
}  // namespace seamwright::paper
