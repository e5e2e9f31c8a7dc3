#include "paper/wood_pages.h"

#include <gtest/gtest.h>

#include "paper/on_sheet.h"
#include "plan/plan_jobs.h"
#include "trace/colour_picture.h"

namespace seamwright::paper {
namespace {

std::vector<Drawing> pages_of(const job::Document& document, const BoardPictures& pictures) {
    const plan::Plan plan = plan::make_plan(document.job, document.shelf);
    const auto boards = plan::study_boards(plan, document.job, document.shelf);
    const auto movement = plan::study_movement(plan, document.job, document.shelf, boards ? &*boards : nullptr);
    return wood_pages(plan, boards, plan::study_rough_cut(plan, document.job), movement, nullptr, document.job,
                      document.shelf, pictures);
}
std::shared_ptr<const PictureFile> picture(int red) {
    trace::ColourPicture colours;
    colours.width = 400;
    colours.height = 80;
    for (int i = 0; i < colours.width * colours.height; ++i)
        for (const int each : {red, 90, 40}) colours.rgb.push_back(static_cast<std::uint8_t>(each));
    return std::make_shared<PictureFile>(PictureFile{400, 80, trace::write_jpeg(colours, 90)});
}
std::size_t count(const std::string& text, std::string_view what) {
    std::size_t found = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++found;
    return found;
}

TEST(WoodPages, ShowTheFinishedTopFirst) {
    for (const char* name : {"stack-of-boards", "round-table"}) {
        const auto pages = pages_of(plan::testing::example(name), {});
        ASSERT_FALSE(pages.empty());
        for (const Drawing& page : pages) test::expect_on_its_sheet(page);
        ASSERT_EQ(pages[0].patches.size(), 3u) << name;
        std::size_t lines = 0;
        for (const WoodPatch& patch : pages[0].patches) lines += patch.figure.size();
        EXPECT_GT(lines, 60u);
        EXPECT_EQ(sheet_pdf(pages), sheet_pdf(pages_of(plan::testing::example(name), {})));
        EXPECT_THROW(svg(pages[0]), std::invalid_argument);
    }
}

TEST(WoodPages, APictureLiesOnItsBoardAndInTheTopAndIsHeldOnce) {
    job::Document document = plan::testing::example("stack-of-boards");
    for (shelf::Board& board : document.shelf.boards) board.picture = board.name == "walnut 1" ? "one.jpg" : "two.jpg";
    const BoardPictures pictures{{"one.jpg", picture(120)}, {"two.jpg", picture(200)}};
    const auto pages = pages_of(document, pictures);
    std::size_t laid = 0;
    for (const Drawing& page : pages) {
        test::expect_on_its_sheet(page);
        for (const WoodPatch& patch : page.patches) {
            EXPECT_TRUE(patch.picture);
            EXPECT_TRUE(patch.figure.empty());
            ++laid;
        }
    }
    EXPECT_EQ(laid, 6u);  // three pieces of the top, three boards
    const std::string pdf = sheet_pdf(pages);
    EXPECT_EQ(count(pdf, "/DCTDecode"), 2u);
    EXPECT_EQ(pdf, sheet_pdf(pages_of(document, pictures)));
}

}  // namespace
}  // namespace seamwright::paper
