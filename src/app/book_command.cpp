#include "book_command.h"

#include <fmt/format.h>

#include <ostream>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "board_pictures.h"
#include "paper/job_book.h"
#include "paper/papers.h"
#include "plan/outline_study.h"
#include "process/icalendar.h"
#include "refuse.h"
#include "told_text.h"

namespace seamwright::app {

Exit tell_book(const plan::Plan& plan, const job::Document& document, const job::FetchFile& fetch,
               const std::string& output, std::ostream& out, std::ostream& err) {
    const job::Job& job = document.job;
    const shelf::Shelf& shelf = document.shelf;
    if (plan.outline.empty()) {
        err << wrapped("! ", "The top has no outline yet: there is no book to write.");
        return Exit::bad_input;
    }
    const auto boards = plan::study_boards(plan, job, shelf);
    const auto movement = plan::study_movement(plan, job, shelf, boards ? &*boards : nullptr);
    const auto rough = plan::study_rough_cut(plan, job);
    std::vector<std::optional<plan::ClosingStudy>> closing;
    plan::StudyWish wish;
    wish.advice = false;
    for (std::size_t i = 0; i < plan.seams.size(); ++i)
        closing.push_back(plan::study_closing(plan, i, job, shelf, wish));
    const auto feed = plan::study_feed(plan, shelf, rough, boards ? &*boards : nullptr);
    const auto outline = plan::study_outline(plan, job, shelf, boards ? &*boards : nullptr);
    const auto shop = plan::study_shop(plan, job, shelf, {boards ? &*boards : nullptr, &movement, closing, &outline});

    std::string text;
    const auto tell = [&](const plan::words::Told& told) { text += told_text("  ", told); };
    for (const auto& edge : feed.edges) tell(plan::words::feed_text(edge, plan, job));
    if (!feed.edges.empty()) tell(plan::words::feed_cautions_text(feed));
    for (const auto& told : plan::words::outline_text(outline, plan, job)) tell(told);
    tell(plan::words::edges_text(shop, job));
    tell(plan::words::sanding_text(shop));
    for (const auto& told : plan::words::finish_text(shop, job)) tell(told);
    for (const auto& told : plan::words::calendar_text(shop)) tell(told);
    tell(plan::words::cost_text(shop, job));

    if (!output.empty()) {
        const auto body = plan::study_body(plan, movement, boards ? &*boards : nullptr);
        const ReadPictures read = read_board_pictures(shelf, fetch);
        for (const std::string& told : read.told) text += '\n' + wrapped("! ", printable(told));
        const paper::JobStudies studies{
            plan,    job,  shelf, boards,        rough,   movement, std::get_if<plan::BodyStudy>(&body),
            closing, feed, shop,  read.pictures, &outline};
        std::vector<OutputFile> files{{"job-book.pdf", paper::sheet_pdf(paper::job_book(studies))},
                                      {"quote.pdf", paper::sheet_pdf(paper::quote_pages(studies))},
                                      {"cut-list.csv", paper::cut_list_csv(studies)}};
        if (shop.dated && shop.calendar.schedule) {
            process::CalendarText said;
            said.job_id = plan.inputs_sha256.substr(0, 16);
            said.job_name = plan.name;
            said.written = std::chrono::sys_days(*job.calendar->start);
            std::vector<process::Task> tasks;
            for (const auto& step : shop.steps) tasks.push_back(step.task);
            files.push_back({"calendar.ics", process::write_icalendar(tasks, *shop.calendar.schedule, said)});
        }
        if (const auto why = write_files(output, files)) return refuse(*why, Exit::cannot_write, err);
        std::string names;
        for (const auto& file : files) names += (names.empty() ? "" : ", ") + file.name;
        text += '\n' + wrapped("", printable(fmt::format("Written to {}: {}.", output, names)));
    }
    out << text;
    return Exit::good;
}

}  // namespace seamwright::app
