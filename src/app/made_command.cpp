#include "made_command.h"

#include <fmt/format.h>

#include <ostream>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "edit/open_job.h"
#include "plan/made_study.h"
#include "plan/work_studies.h"
#include "refuse.h"
#include "told_text.h"

namespace seamwright::app {

Exit tell_made(const std::string& text, const job::Document& document, const plan::Plan& plan, const std::string& keep,
               std::ostream& out, std::ostream& err) {
    const job::Job& job = document.job;
    if (plan.outline.empty()) {
        return refuse(
            {"The top has no outline yet: there are no steps to note anything at.", "Draw its outline first."},
            Exit::bad_input, err);
    }
    const auto studies = plan::study_work(plan, job, document.shelf);
    const auto study = plan::study_made(plan, job, document.shelf, studies.shop, studies.closing);
    std::string told = wrapped("", printable(plan::words::made_progress_text(study) + '.')) + '\n';
    for (const auto& part : plan::words::made_text(study, job, studies.shop)) told += told_text("", part) + '\n';
    if (const auto rates = plan::words::rates_text(studies.shop.rates, job); !rates.lines.empty())
        told += told_text("", rates) + '\n';
    for (const auto& guide : studies.shop.rates.guides)
        if (guide.offered) told += wrapped("", printable(plan::words::guide_offer_text(guide, job) + ".")) + '\n';
    if (job.made.empty()) {
        std::string steps;
        for (const auto& step : studies.shop.steps) steps += (steps.empty() ? "" : ", ") + step.task.id;
        told +=
            wrapped("", printable("Nothing is noted yet. Write it into the job under \"made\", or on the page beside "
                                  "the router. Its steps: " +
                                  steps + '.'));
    }
    if (keep.empty()) {
        out << told;
        return Exit::good;
    }
    const auto refuse_first = [&](const edit::Refused& why) {
        return refuse({why.problems.front().found, why.problems.front().remedy}, Exit::bad_input, err);
    };
    const auto opened = edit::OpenJob::open(text);
    if (const auto* why = std::get_if<edit::Refused>(&opened)) return refuse_first(*why);
    const auto edited = std::get<edit::OpenJob>(opened).edited(R"([{"keep_record":true}])");
    if (const auto* why = std::get_if<edit::Refused>(&edited)) return refuse_first(*why);
    const auto& done = std::get<edit::OpenJob::Edited>(edited);
    if (const auto why = write_file(keep, done.job.text())) return refuse(*why, Exit::cannot_write, err);
    out << told << wrapped("", printable(fmt::format("{}; the job is written to {}.", done.says, keep)));
    return Exit::good;
}

}  // namespace seamwright::app
