#include "paper/job_book.h"

#include <fmt/format.h>

#include <iterator>
#include <set>
#include <stdexcept>
#include <utility>

#include "book_sections.h"
#include "paper/closing_page.h"
#include "paper/edge_parts_page.h"
#include "paper/outline_page.h"
#include "paper/test_cut_sheet.h"
#include "paper/wood_pages.h"
#include "text_size.h"

namespace seamwright::paper {
namespace {

void append(std::vector<Drawing>& book, std::vector<Drawing> chapter) {
    std::move(chapter.begin(), chapter.end(), std::back_inserter(book));
}

/// Chapters that refer to no other, drawn once.
struct Finished {
    std::vector<Drawing> wood;
    std::vector<Drawing> closing;
    std::vector<Drawing> outline;
    std::vector<Drawing> edge_parts;
    std::vector<Drawing> test_cuts;
};

/// The sheets to rout and measure by, one for each guide and cutter that work together.
std::vector<Drawing> test_cuts_of(const JobStudies& s) {
    std::set<std::pair<std::size_t, std::size_t>> told;
    std::vector<Drawing> out;
    for (const plan::SeamPlan& seam : s.plan.seams) {
        for (const plan::StepPlan& step : seam.steps) {
            if (!step.step.pair || step.step.pair->rides != seam::Pair::Rides::guide) continue;
            const seam::Pair& pair = *step.step.pair;
            if (!told.insert({pair.rider, pair.cutter}).second) continue;
            auto sheets = test_cut_sheets(s.shelf, s.shelf.guides.at(pair.rider).name,
                                          s.shelf.cutters.at(pair.cutter).name, s.job);
            for (Drawing& sheet : sheets) {
                sheet.title = "Sheets for the test cuts";
                sheet.begins.clear();
                // The number that the book counts through comes last.
                sheet.texts.push_back(TextPages::number_of(*sheet.laid_out_on, "0"));
                out.push_back(std::move(sheet));
            }
        }
    }
    return out;
}

Finished finished_chapters(const JobStudies& s) {
    Finished out;
    out.wood = wood_pages(s.plan, s.boards, s.rough, s.movement, s.body, s.job, s.shelf, s.pictures, false);
    for (std::size_t i = 0; i < s.plan.seams.size(); ++i) {
        if (!s.closing[i]) continue;
        auto chapter = closing_pages(s.plan, s.plan.seams[i], *s.closing[i], s.job);
        chapter.front().places.push_back(place::closing(i));
        append(out.closing, std::move(chapter));
    }
    out.test_cuts = test_cuts_of(s);
    out.edge_parts = edge_parts_pages(s.plan, s.movement, s.build_up, s.job, s.shelf);
    if (!out.edge_parts.empty()) out.edge_parts.front().places.emplace_back(place::edge_parts);
    if (s.outline != nullptr && !s.outline->cuts.empty()) {
        out.outline = outline_pages(s.plan, *s.outline, s.job);
        out.outline.front().places.emplace_back(place::outline);
    }
    return out;
}

std::vector<Drawing> lay_out(const JobStudies& s, const Finished& finished, const BookPages& where) {
    TextPages front(sheet_of(s), s.plan.name, "The book of this job");
    write_cover(front, s, where);
    write_contents(front, s, where);
    write_cut_list(front, s, where);
    write_tests(front, s, where);
    front.notes();
    std::vector<Drawing> book = front.finish();
    append(book, finished.wood);
    append(book, finished.edge_parts);

    TextPages work(sheet_of(s), "Step by step", "In the order of the work: tick, and write down what you measured.");
    write_steps(work, s, where);
    work.notes();
    if (!s.plan.seams.empty()) write_chains(work, s, where);
    if (!s.feed.edges.empty()) write_feed(work, s, where);
    work.notes();
    append(book, work.finish());
    append(book, finished.closing);
    append(book, finished.outline);

    TextPages back(sheet_of(s), "Edge, sanding and finish", "What the steps of the surface are reckoned from.");
    write_surface(back, s, where);
    write_calendar(back, s, where);
    back.notes();
    append(book, back.finish());
    append(book, finished.test_cuts);
    return book;
}

/// Job and revision over every page, and its number under it. Chapters number their own pages; the book counts through.
void running_lines(std::vector<Drawing>& book, const JobStudies& s) {
    constexpr double height_mm = 2.4, up_mm = 8.0;
    const std::string revision = "revision " + s.plan.revision();
    for (std::size_t i = 0; i < book.size(); ++i) {
        Drawing& page = book[i];
        const SheetSize& sheet = *page.laid_out_on;
        Text& number = page.texts.back();
        number.text = fmt::format("{} of {}", i + 1, book.size());
        page.label = fmt::format("{}", i + 1);
        const double left = TextPages::margin_mm, right = sheet.width_mm - TextPages::margin_mm;
        const double y = sheet.height_mm - up_mm;
        page.texts.push_back({{right, y}, revision, height_mm, 0.0, Text::Anchor::right, false});
        Text name{{left, y}, s.plan.name, height_mm, 0.0, Text::Anchor::left, false};
        const double room = right - left - text_length_mm(page.texts.back()) - 5.0;
        if (const double length = text_length_mm(name); length > room) name.height_mm *= room / length;
        page.texts.push_back(std::move(name));
    }
}

}  // namespace

std::vector<Drawing> job_book(const JobStudies& s) {
    const Finished finished = finished_chapters(s);
    BookPages where;
    // Each time fewer numbers change their length; one that went back and forth would be a fault of ours.
    constexpr int most_tries = 8;
    for (int tries = 0; tries < most_tries; ++tries) {
        std::vector<Drawing> book = lay_out(s, finished, where);
        BookPages found(book);
        if (!(found == where)) {
            where = std::move(found);
            continue;
        }
        if (!where.wanting().empty())
            throw std::logic_error("job_book: nothing stands at \"" + *where.wanting().begin() + '"');
        running_lines(book, s);
        return book;
    }
    throw std::logic_error("job_book: the pages do not come to rest");
}

}  // namespace seamwright::paper
