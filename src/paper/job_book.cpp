#include "paper/job_book.h"

#include <fmt/format.h>

#include <iterator>

#include "book_sections.h"
#include "paper/closing_page.h"
#include "paper/wood_pages.h"

namespace seamwright::paper {
namespace {

void append(std::vector<Drawing>& book, std::vector<Drawing> chapter) {
    std::move(chapter.begin(), chapter.end(), std::back_inserter(book));
}

}  // namespace

std::vector<Drawing> job_book(const JobStudies& s) {
    std::vector<Drawing> book = cover_pages(s);
    append(book, cut_list_pages(s));
    append(book, test_pages(s));
    append(book, wood_pages(s.plan, s.boards, s.rough, s.movement, s.body, s.job, s.shelf, s.pictures));
    if (!s.plan.seams.empty()) append(book, chain_pages(s));
    append(book, step_pages(s));
    if (!s.feed.edges.empty()) append(book, feed_pages(s));
    for (std::size_t i = 0; i < s.plan.seams.size(); ++i)
        if (s.closing[i]) append(book, closing_pages(s.plan, s.plan.seams[i], *s.closing[i], s.job));
    append(book, surface_pages(s));
    append(book, calendar_pages(s));
    // Chapters number their own pages; the book counts through.
    for (std::size_t i = 0; i < book.size(); ++i) {
        if (book[i].texts.empty()) continue;
        Text& number = book[i].texts.back();
        if (number.anchor == Text::Anchor::right) number.text = fmt::format("{} of {}", i + 1, book.size());
    }
    return book;
}

}  // namespace seamwright::paper
