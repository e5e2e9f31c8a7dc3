#include <fmt/format.h>

#include "book_sections.h"
#include "plan/words.h"

namespace seamwright::paper {

using plan::words::Told;

std::vector<Drawing> chain_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Templates and cuts", s.plan.name);
    for (const plan::SeamPlan& seam : s.plan.seams) {
        Told about{plan::words::capitalised(seam.name), {seam.verdict}, {}};
        for (const plan::TemplatePlan& t : seam.templates)
            about.lines.push_back(
                fmt::format("{}: {}.", plan::words::capitalised(t.title),
                            t.master ? "made by hand from its paper" : "copied, its paper is for checking"));
        pages.part(about);
        std::size_t number = 0;
        for (const plan::StepPlan& step : seam.steps) {
            Told told{fmt::format("{}. {}", ++number, step.title), step.lines, {}};
            if (step.passes)
                if (std::string passes = plan::words::passes_text(*step.passes, s.job.style); !passes.empty())
                    told.lines.push_back(std::move(passes));
            if (step.speed)
                told.lines.push_back(fmt::format("No faster than {:.0f} turns a minute: {:.0f} m/s at the rim{}.",
                                                 step.speed->rpm, step.speed->rim_m_per_s,
                                                 step.speed->from_memory ? " (from memory)" : ""));
            pages.part(told);
        }
    }
    return pages.finish();
}

}  // namespace seamwright::paper
