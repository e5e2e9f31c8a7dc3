#include "paper/closing_page.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "paper/on_sheet.h"
#include "paper/papers.h"
#include "plan/plan_jobs.h"

namespace seamwright::paper {
namespace {

using ::testing::HasSubstr;

std::vector<Drawing> pages_of(const job::Document& document, std::size_t seam) {
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    const auto study = plan::study_closing(plan, seam, document.job, document.shelf);
    EXPECT_TRUE(study);
    return closing_pages(plan, plan.seams.at(seam), *study, document.job);
}
std::string all_text(const std::vector<Drawing>& pages) {
    std::string text;
    for (const Drawing& page : pages)
        for (const Text& t : page.texts) text += t.text + ' ';
    return text;
}

class ClosingPages : public ::testing::TestWithParam<std::string> {};

TEST_P(ClosingPages, StayOnTheirSheetAndTellEverything) {
    const job::Document document = plan::testing::example(GetParam());
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    for (std::size_t i = 0; i < plan.seams.size(); ++i) {
        const auto pages = pages_of(document, i);
        ASSERT_FALSE(pages.empty());
        for (const Drawing& page : pages) {
            EXPECT_GT(page.texts.size(), 3u);
            test::expect_on_its_sheet(page);
        }
        const std::string text = all_text(pages);
        for (const char* title : {"As planned", "Bringing the pieces together", "With real tools and hands", "Gluing",
                                  "Grain at the seam", "What you found"})
            EXPECT_THAT(text, HasSubstr(title)) << plan.seams[i].name;
        EXPECT_EQ(sheet_pdf(pages), sheet_pdf(pages_of(document, i)));
    }
}
INSTANTIATE_TEST_SUITE_P(Examples, ClosingPages, ::testing::ValuesIn(plan::testing::example_names()));

TEST(Papers, WithTheDocumentTellHowEachSeamCloses) {
    const job::Document document = plan::testing::example("hall-console");
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    const auto listed = paper_names(plan, &document);
    std::size_t closing = 0;
    for (const auto& name : listed) closing += name.name.ends_with("-how-it-closes.pdf") ? 1U : 0U;
    EXPECT_EQ(closing, plan.seams.size());
    const auto one = one_paper(plan, "back-seam-how-it-closes.pdf", &document);
    ASSERT_TRUE(one);
    EXPECT_EQ(one->bytes.substr(0, 5), "%PDF-");
    EXPECT_FALSE(one_paper(plan, "back-seam-how-it-closes.pdf"));
    const auto marks = one_paper(plan, std::string(reference_marks_name));
    ASSERT_TRUE(marks);
    EXPECT_EQ(marks->bytes.substr(0, 5), "%PDF-");
}

}  // namespace
}  // namespace seamwright::paper
