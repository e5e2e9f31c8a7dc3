#include "book_files.h"

#include "paper/job_book.h"
#include "paper/papers.h"
#include "plan/body_study.h"
#include "process/icalendar.h"
#include "screen/work_view.h"

namespace seamwright::app {
namespace {

std::string calendar_file(const plan::Plan& plan, const job::Job& job, const plan::ShopStudy& shop) {
    process::CalendarText said;
    said.job_id = plan.inputs_sha256.substr(0, 16);
    said.job_name = plan.name;
    said.written = std::chrono::sys_days(*job.calendar->start);
    std::vector<process::Task> tasks;
    for (const auto& step : shop.steps) tasks.push_back(step.task);
    return process::write_icalendar(tasks, *shop.calendar.schedule, said);
}

std::string one_file(std::string_view name, const paper::JobStudies& all) {
    if (name == screen::calendar_name) return calendar_file(all.plan, all.job, all.shop);
    if (name == screen::book_name) return paper::sheet_pdf(paper::job_book(all));
    if (name == screen::quote_name) return paper::sheet_pdf(paper::quote_pages(all));
    return paper::cut_list_csv(all);
}

}  // namespace

std::vector<OutputFile> book_files(const plan::Plan& plan, const job::Document& document,
                                   const plan::WorkStudies& studies, const paper::BoardPictures& pictures,
                                   std::string_view only) {
    // The glued body takes half a second, and stands in the book alone.
    std::variant<plan::BodyStudy, std::string> body;
    if (only.empty() || only == screen::book_name)
        body = plan::study_body(plan, studies.movement, studies.boards ? &*studies.boards : nullptr);
    else
        body = std::string();
    const paper::JobStudies all{plan,
                                document.job,
                                document.shelf,
                                studies.boards,
                                studies.rough,
                                studies.movement,
                                std::get_if<plan::BodyStudy>(&body),
                                studies.closing,
                                studies.feed,
                                studies.shop,
                                pictures,
                                &studies.outline,
                                studies.build_up ? &*studies.build_up : nullptr};
    std::vector<OutputFile> files;
    for (const screen::WorkFile& file : screen::work_files(studies.shop))
        if (file.lacks.empty() && (only.empty() || only == file.name))
            files.push_back({file.name, one_file(file.name, all)});
    return files;
}

}  // namespace seamwright::app
