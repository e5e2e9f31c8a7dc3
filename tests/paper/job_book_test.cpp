#include "paper/job_book.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <fstream>
#include <memory>
#include <set>

#include "paper/on_sheet.h"
#include "paper/pdf_lines.h"
#include "plan/studied.h"
#include "plan/words.h"

namespace seamwright::paper {
namespace {

using ::testing::HasSubstr;

/// Everything studied, held together so that JobStudies may refer to it.
struct Held : plan::testing::Studied {
    using Studied::Studied;

    BoardPictures pictures;

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

/// The page, from 1, on which a chapter begins; 0 where none does.
std::size_t page_of(const std::vector<Drawing>& book, const std::string& title) {
    for (std::size_t i = 0; i < book.size(); ++i)
        for (const std::string& begins : book[i].begins)
            if (begins == title) return i + 1;
    return 0;
}

TEST(JobBook, HasAllItsChaptersOnEverySheetItIsPrintedOn) {
    for (const char* name : {"stack-of-boards", "hall-console", "bench-top", "round-table"}) {
        for (const char* size : {"A4", "Letter"}) {
            job::Document document = plan::testing::example(name);
            document.job.paper.size = size;
            const Held held(std::move(document));
            const auto book = job_book(held.studies());
            for (const Drawing& page : book) test::expect_on_its_sheet(page);
            for (const char* chapter :
                 {"Contents", "Cut list and what it takes", "Tests to make", "The wood", "Templates and cuts",
                  "Step by step", "Feeding the router", "Edge, sanding and finish", "Calendar"})
                EXPECT_GT(page_of(book, chapter), 0U) << name << ": " << chapter;
            const std::string text = text_of(book);
            EXPECT_THAT(text, HasSubstr("Largest gap, by feeler gauge, and where:"));
            // Job, revision and number on every page.
            for (std::size_t i = 0; i < book.size(); ++i) {
                const std::string said = text_of({book[i]});
                EXPECT_THAT(said, HasSubstr(fmt::format("{} of {}\n", i + 1, book.size())));
                EXPECT_THAT(said, HasSubstr("revision " + held.plan.inputs_sha256.substr(0, 8)));
                EXPECT_THAT(said, HasSubstr(held.plan.name));
            }
        }
    }
}

/// Rectangles of 4.2 mm, and where they stand.
std::vector<Box> boxes_to_tick(const Drawing& page) {
    std::vector<Box> out;
    for (const DrawnPath& p : page.paths) {
        const Box box = geometry::bounding_box(p.path);
        if (p.path.closed && std::abs(box.width_mm() - 4.2) < 1e-6 && std::abs(box.height_mm() - 4.2) < 1e-6)
            out.push_back(box);
    }
    return out;
}

TEST(JobBook, EveryStepHasABoxBesideItsTitleInTheirOrder) {
    for (const char* name : {"stack-of-boards", "round-table"}) {
        const Held held(plan::testing::example(name));
        const auto book = job_book(held.studies());
        std::size_t page = page_of(book, "Step by step") - 1;
        for (std::size_t i = 0; i < held.shop.steps.size(); ++i) {
            const std::string title = fmt::format("{}. {}", i + 1, held.shop.steps[i].task.name);
            bool found = false;
            for (; page < book.size() && !found; page += found ? 0 : 1) {
                for (const Text& t : book[page].texts) {
                    if (t.text != title || !t.bold) continue;
                    const auto boxes = boxes_to_tick(book[page]);
                    found = std::any_of(boxes.begin(), boxes.end(), [&](const Box& box) {
                        return box.low.y <= t.at.y + 1.0 && t.at.y <= box.high.y && box.high.x < t.at.x;
                    });
                }
                if (found) break;
            }
            ASSERT_TRUE(found) << title;
        }
    }
}

TEST(JobBook, ContentsTellThePagesOnWhichChaptersBegin) {
    const Held held(plan::testing::example("hall-console"));
    const auto book = job_book(held.studies());
    const std::size_t contents = page_of(book, "Contents");
    ASSERT_GT(contents, 0U);
    const Drawing& page = book[contents - 1];
    std::size_t told = 0;
    for (const Text& title : page.texts) {
        for (const Text& number : page.texts) {
            if (number.anchor != Text::Anchor::right || std::abs(number.at.y - title.at.y) > 1e-9 ||
                &number == &title || number.at.x < title.at.x)
                continue;
            for (std::size_t i = 0; i < book.size(); ++i)
                for (const std::string& begins : book[i].begins)
                    if (plan::words::capitalised(begins) == title.text && number.text == fmt::format("{}", i + 1))
                        ++told;
        }
    }
    std::size_t chapters = 0;
    for (const Drawing& drawing : book) chapters += drawing.begins.size();
    // The cover and the contents themselves are not among them.
    EXPECT_EQ(told, chapters - 2);
}

TEST(JobBook, BookmarksLeadToTheChaptersAndPagesAreNumbered) {
    const Held held(plan::testing::example("hall-console"));
    const auto book = job_book(held.studies());
    const test::PdfGuide guide = test::read_guide(sheet_pdf(book));
    ASSERT_EQ(guide.pages, book.size());
    std::size_t next = 0;
    for (std::size_t i = 0; i < book.size(); ++i) {
        for (const std::string& begins : book[i].begins) {
            ASSERT_LT(next, guide.bookmarks.size());
            EXPECT_EQ(guide.bookmarks[next].title, begins);
            EXPECT_EQ(guide.bookmarks[next].page, i);
            ++next;
        }
        EXPECT_EQ(guide.labels[i], fmt::format("{}", i + 1));
    }
    EXPECT_EQ(next, guide.bookmarks.size());
    EXPECT_GE(next, 10U);
}

TEST(JobBook, EveryOperationIsReferredToByThePageOfItsDrawing) {
    for (const char* name : {"hall-console", "round-table"}) {
        const Held held(plan::testing::example(name));
        const auto book = job_book(held.studies());
        const std::string text = text_of(book);
        EXPECT_EQ(text.find("page 00"), std::string::npos);
        std::size_t operations = 0;
        for (const auto& seam : held.plan.seams) {
            for (std::size_t k = 0; k < seam.steps.size(); ++k) {
                const std::string title = fmt::format("{}. {}", k + 1, seam.steps[k].title);
                std::set<std::string> pages;
                for (std::size_t i = 0; i < book.size(); ++i)
                    for (const Text& t : book[i].texts)
                        if (t.text == title) pages.insert(fmt::format("drawing on page {}.", i + 1));
                ASSERT_FALSE(pages.empty()) << title;
                EXPECT_TRUE(std::any_of(pages.begin(), pages.end(), [&](const std::string& page) {
                    return text.find(seam.steps[k].title + ": " + page) != std::string::npos;
                })) << title;
                ++operations;
            }
        }
        // Each has its own cross-section.
        std::size_t sections = 0;
        for (const Drawing& page : book)
            sections += static_cast<std::size_t>(std::count_if(page.paths.begin(), page.paths.end(),
                                                               [](const auto& p) { return p.id == "section edge"; }));
        EXPECT_EQ(sections, operations);
    }
}

TEST(JobBook, PrintsTextThatCanBeSearched) {
    const Held held(plan::testing::example("bench-top"));
    const std::string file = ::testing::TempDir() + "/job-book.pdf";
    std::ofstream(file, std::ios::binary) << sheet_pdf(job_book(held.studies()));
    const std::unique_ptr<FILE, int (*)(FILE*)> pipe(::popen(("pdftotext -layout " + file + " -").c_str(), "r"),
                                                     ::pclose);
    std::string text;
    std::array<char, 4096> chunk{};
    while (const std::size_t n = std::fread(chunk.data(), 1, chunk.size(), pipe.get())) text.append(chunk.data(), n);
    for (const char* said : {"Contents", "Tests to make", "Templates and cuts", "B = 1 1/2 in", "b = 1/2 in",
                             "spoil board", "Calendar", "Mon 2027-01-11"})
        EXPECT_THAT(text, HasSubstr(said));
    for (const auto& step : held.shop.steps) EXPECT_THAT(text, HasSubstr(step.task.name));
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
    // The customer is not told what each step takes, but sees the stages.
    EXPECT_EQ(text.find("Scrape and sand"), std::string::npos);
    EXPECT_THAT(text, HasSubstr("Edge and surface"));
    for (const Drawing& page : quote) test::expect_on_its_sheet(page);
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
