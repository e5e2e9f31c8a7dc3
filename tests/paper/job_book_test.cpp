#include "paper/job_book.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "paper/on_sheet.h"
#include "plan/plan_jobs.h"

namespace seamwright::paper {
namespace {

using ::testing::HasSubstr;

/// Everything studied, held together so that JobStudies may refer to it.
struct Held {
    job::Document document;
    plan::Plan plan;
    std::optional<plan::BoardsStudy> boards;
    plan::RoughCutStudy rough;
    plan::MovementStudy movement;
    std::vector<std::optional<plan::ClosingStudy>> closing;
    plan::FeedStudy feed;
    plan::ShopStudy shop;
    BoardPictures pictures;

    explicit Held(job::Document of) : document(std::move(of)) {
        plan = plan::make_plan(document.job, document.shelf);
        boards = plan::study_boards(plan, document.job, document.shelf);
        const plan::BoardsStudy* laid = boards ? &*boards : nullptr;
        rough = plan::study_rough_cut(plan, document.job);
        movement = plan::study_movement(plan, document.job, document.shelf, laid);
        plan::StudyWish wish;
        wish.samples = 20;
        wish.advice = false;
        for (std::size_t i = 0; i < plan.seams.size(); ++i)
            closing.push_back(plan::study_closing(plan, i, document.job, document.shelf, wish));
        feed = plan::study_feed(plan, document.shelf, rough, laid);
        shop = plan::study_shop(plan, document.job, document.shelf, {laid, &movement, closing});
    }
    JobStudies studies() const {
        return {plan, document.job, document.shelf, boards, rough, movement, nullptr, closing, feed, shop, pictures};
    }
};

std::string text_of(const std::vector<Drawing>& pages) {
    std::string text;
    for (const Drawing& page : pages)
        for (const Text& t : page.texts) text += t.text + '\n';
    return text;
}

TEST(JobBook, HasAllItsChaptersOnEverySheetItIsPrintedOn) {
    for (const char* name : {"stack-of-boards", "hall-console", "bench-top", "round-table"}) {
        for (const char* size : {"A4", "Letter"}) {
            job::Document document = plan::testing::example(name);
            document.job.paper.size = size;
            const Held held(std::move(document));
            const auto book = job_book(held.studies());
            std::set<std::string> titles;
            for (const Drawing& page : book) {
                test::expect_on_its_sheet(page);
                titles.insert(page.title);
            }
            for (const char* chapter : {"Cut list", "Tests to make", "The wood", "Templates and cuts", "Step by step",
                                        "Feeding the router", "Edge, sanding and finish", "Calendar"})
                EXPECT_TRUE(titles.contains(chapter)) << name << ": " << chapter;
            const std::string text = text_of(book);
            // A box and a title for every step, and its blanks.
            for (const auto& step : held.shop.steps) EXPECT_THAT(text, HasSubstr(step.task.name));
            EXPECT_THAT(text, HasSubstr("Largest gap, by feeler gauge, and where:"));
            EXPECT_THAT(text, HasSubstr("1 of " + std::to_string(book.size())));
            EXPECT_THAT(text, HasSubstr(std::to_string(book.size()) + " of " + std::to_string(book.size())));
        }
    }
}

TEST(JobBook, TheQuoteShowsPicturePriceDayAndTerms) {
    const Held held(plan::testing::example("stack-of-boards"));
    const auto quote = quote_pages(held.studies());
    ASSERT_FALSE(quote.empty());
    EXPECT_EQ(quote[0].patches.size(), 3U);
    const std::string text = text_of(quote);
    EXPECT_THAT(text, HasSubstr("For An invented customer"));
    EXPECT_THAT(text, HasSubstr("Half when ordered, half on delivery."));
    EXPECT_THAT(text, HasSubstr("Earliest delivery: "));
    EXPECT_THAT(text, HasSubstr(process::show(held.shop.costs.sum, "EUR")));
    // The customer is not told what each step takes.
    EXPECT_EQ(text.find("Scrape and sand"), std::string::npos);
}

// RFC 4180, read back by its rules.
std::vector<std::vector<std::string>> read_csv(const std::string& text) {
    std::vector<std::vector<std::string>> rows{{""}};
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        std::string& cell = rows.back().back();
        if (quoted) {
            if (text[i] != '"') {
                cell += text[i];
            } else if (i + 1 < text.size() && text[i + 1] == '"') {
                cell += text[++i];
            } else {
                quoted = false;
            }
        } else if (text[i] == '"') {
            quoted = true;
        } else if (text[i] == ',') {
            rows.back().emplace_back();
        } else if (text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n') {
            ++i;
            rows.push_back({""});
        } else {
            cell += text[i];
        }
    }
    rows.pop_back();
    return rows;
}

TEST(CutList, IsOneLineForEachPartWithItsBoardAndSizes) {
    job::Document document = plan::testing::example("stack-of-boards");
    document.shelf.boards[0].name = "walnut \"1\", near the door";
    const Held held(std::move(document));
    const auto rows = read_csv(cut_list_csv(held.studies()));
    ASSERT_EQ(rows.size(), 1 + held.boards->parts.size());
    for (const auto& row : rows) EXPECT_EQ(row.size(), 13U);
    bool near_the_door = false;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        near_the_door = near_the_door || rows[i][2] == "walnut \"1\", near the door";
        const auto part = std::find_if(held.boards->parts.begin(), held.boards->parts.end(),
                                       [&](const auto& p) { return p.name == rows[i][0]; });
        ASSERT_NE(part, held.boards->parts.end());
        const auto& lie = held.boards->placing.lies[static_cast<std::size_t>(part - held.boards->parts.begin())];
        EXPECT_NEAR(std::stod(rows[i][6]), part->sawn(*lie).width_mm(), 0.051);
        EXPECT_NEAR(std::stod(rows[i][7]), part->sawn(*lie).height_mm(), 0.051);
    }
    EXPECT_TRUE(near_the_door);
}

TEST(CutList, WithoutBoardsTheSizesAreThoseOfTheRoughCut) {
    const Held held(plan::testing::example("bench-top"));
    const auto rows = read_csv(cut_list_csv(held.studies()));
    ASSERT_EQ(rows.size(), 1 + held.plan.pieces.size());
    for (std::size_t i = 1; i < rows.size(); ++i) EXPECT_EQ(rows[i][2], "");
    // In the maker's unit, inches as fractions.
    EXPECT_THAT(rows[1][3], HasSubstr("in"));
}

}  // namespace
}  // namespace seamwright::paper
