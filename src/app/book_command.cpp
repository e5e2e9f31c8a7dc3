#include "book_command.h"

#include <fmt/format.h>

#include <ostream>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "board_pictures.h"
#include "book_files.h"
#include "plan/work_studies.h"
#include "refuse.h"
#include "told_text.h"

namespace seamwright::app {

Exit tell_book(const plan::Plan& plan, const job::Document& document, const job::FetchFile& fetch,
               const std::string& output, std::ostream& out, std::ostream& err) {
    const job::Job& job = document.job;
    if (plan.outline.empty()) {
        err << wrapped("! ", "The top has no outline yet: there is no book to write.");
        return Exit::bad_input;
    }
    const plan::WorkStudies studies = plan::study_work(plan, job, document.shelf);
    const plan::FeedStudy& feed = studies.feed;
    const plan::ShopStudy& shop = studies.shop;

    std::string text;
    const auto tell = [&](const plan::words::Told& told) { text += told_text("  ", told); };
    for (const auto& edge : feed.edges) tell(plan::words::feed_text(edge, plan, job));
    if (!feed.edges.empty()) tell(plan::words::feed_cautions_text(feed, document.shelf, job.style));
    for (const auto& told : plan::words::surface_text(studies, plan, job, document.shelf)) tell(told);
    for (const auto& told : plan::words::finish_text(shop, job)) tell(told);
    for (const auto& told : plan::words::calendar_text(shop)) tell(told);
    tell(plan::words::cost_text(shop, job));

    if (!output.empty()) {
        const ReadPictures read = read_board_pictures(document.shelf, fetch);
        for (const std::string& told : read.told) text += '\n' + wrapped("! ", printable(told));
        const std::vector<OutputFile> files = book_files(plan, document, studies, read.pictures);
        if (const auto why = write_files(output, files)) return refuse(*why, Exit::cannot_write, err);
        std::string names;
        for (const auto& file : files) names += (names.empty() ? "" : ", ") + file.name;
        text += '\n' + wrapped("", printable(fmt::format("Written to {}: {}.", output, names)));
    }
    out << text;
    return Exit::good;
}

}  // namespace seamwright::app
