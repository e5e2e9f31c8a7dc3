#include "closing_command.h"

#include <fmt/format.h>

#include <ostream>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "paper/closing_page.h"
#include "paper/papers.h"
#include "plan/closing_study.h"
#include "refuse.h"
#include "told_text.h"

namespace seamwright::app {
Exit tell_closing(const plan::Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const ClosingWish& wish,
                  std::ostream& out, std::ostream& err) {
    plan::StudyWish study_wish;
    study_wish.samples = wish.samples;
    std::vector<std::optional<plan::ClosingStudy>> studies;
    for (std::size_t i = 0; i < plan.seams.size(); ++i) {
        const bool asked = wish.seam.empty() || plan.seams[i].name == wish.seam;
        studies.push_back(asked ? plan::study_closing(plan, i, job, shelf, study_wish) : std::nullopt);
    }
    std::string text, known;
    std::vector<paper::Drawing> pages;
    for (std::size_t i = 0; i < plan.seams.size(); ++i) {
        const plan::SeamPlan& seam = plan.seams[i];
        known += (known.empty() ? "" : ", ") + seam.name;
        if (!wish.seam.empty() && seam.name != wish.seam) continue;
        if (!text.empty()) text += '\n';
        text += wrapped("", printable(fmt::format("Seam \"{}\"", seam.name)));
        if (!studies[i]) {
            text += wrapped("  ", printable(seam.verdict));
            continue;
        }
        text += wrapped("  ", printable(plan::words::closing_verdict(*studies[i], seam, plan)));
        for (const auto& told : plan::words::closing_text(*studies[i], seam, plan, job)) text += told_text("  ", told);
        if (!wish.output.empty()) {
            for (auto& page : paper::closing_pages(plan, seam, *studies[i], job)) pages.push_back(std::move(page));
        }
    }
    if (text.empty()) {
        return refuse(plan.seams.empty() ? FileRefusal{"The job has no seams.", "Draw one first."}
                                         : FileRefusal{fmt::format("The job has no seam named {}.", wish.seam),
                                                       fmt::format("Its seams: {}.", known)},
                      Exit::bad_input, err);
    }
    if (wish.seam.empty()) {
        const auto order = plan::words::glue_ups_text(plan::glue_ups(plan, studies, job), plan);
        if (!order.lines.empty()) text += '\n' + told_text("  ", order);
    }
    text += '\n' + wrapped("",
                           "Sizes of errors that you did not set are common practice, from memory. What the makers of "
                           "glue, clamps and router say comes before anything here.");
    if (!wish.output.empty() && !pages.empty()) {
        if (const auto why = write_file(wish.output, paper::sheet_pdf(pages)))
            return refuse(*why, Exit::cannot_write, err);
        text += '\n' + wrapped("", printable(fmt::format("Written to {}.", wish.output)));
    }
    out << text;
    return Exit::good;
}

}  // namespace seamwright::app
