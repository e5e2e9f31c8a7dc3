#include "calendar_drawing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "paper/on_sheet.h"
#include "plan/studied.h"

namespace seamwright::paper {
namespace {

TEST(CalendarDrawing, EveryBarIsThereInItsOrderOnItsSheet) {
    for (const char* size : {"A4", "Letter"}) {
        const plan::testing::Studied held(plan::testing::example("hall-console"));
        const auto picture = plan::calendar_picture(held.shop);
        ASSERT_TRUE(picture);
        TextPages pages(find_sheet(size).value(), "Calendar", "");
        draw_calendar(pages, *picture);
        const auto drawn = pages.finish();
        std::size_t work = 0, wanted = 0;
        for (const Drawing& page : drawn) {
            test::expect_on_its_sheet(page);
            for (const DrawnPath& p : page.paths) work += p.id == "bar work" ? 1U : 0U;
        }
        for (const auto& row : picture->rows)
            for (const auto& bar : row.bars) wanted += bar.kind == plan::CalendarPicture::Bar::Kind::work ? 1U : 0U;
        // Work never goes on over midnight here, so no bar is cut by the end of a band.
        EXPECT_EQ(work, wanted);
        std::string text;
        for (const Drawing& page : drawn)
            for (const Text& t : page.texts) {
                text += t.text + '\n';
                EXPECT_GE(t.height_mm, 1.6) << t.text;
            }
        EXPECT_THAT(text, ::testing::HasSubstr("Mon 2027-01-11"));
    }
}

/// Within one row of one band bars keep the order of time and do not lie on each other.
TEST(CalendarDrawing, BarsOfARowDoNotOverlap) {
    const plan::testing::Studied held(plan::testing::example("bench-top"));
    TextPages pages(find_sheet("Letter").value(), "Calendar", "");
    draw_calendar(pages, plan::calendar_picture(held.shop).value());
    for (const Drawing& page : pages.finish()) {
        std::map<long, std::vector<Box>> rows;
        for (const DrawnPath& p : page.paths) {
            if (!p.id.starts_with("bar ")) continue;
            const Box box = geometry::bounding_box(p.path);
            rows[std::lround(100.0 * box.low.y)].push_back(box);
        }
        EXPECT_FALSE(rows.empty());
        for (auto& [y, bars] : rows) {
            std::sort(bars.begin(), bars.end(), [](const Box& a, const Box& b) { return a.low.x < b.low.x; });
            // A bar of minutes is drawn half a millimetre wide, so that it is seen.
            for (std::size_t i = 1; i < bars.size(); ++i) EXPECT_GE(bars[i].low.x, bars[i - 1].high.x - 0.5);
        }
    }
}

}  // namespace
}  // namespace seamwright::paper
