#include "problems.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "unrolled.h"

namespace seamwright::screen {
namespace {

using job::Problem;

struct Along {
    std::size_t seam = 0;
    Stretch stretch;
};

/// A problem that the simulation of a seam found has the place of one of its reach problems, or of the worst gap.
std::optional<Along> along(const Problem& problem, const plan::Plan& plan) {
    if (!problem.at) return std::nullopt;
    for (std::size_t i = 0; i < plan.seams.size(); ++i) {
        const plan::SeamPlan& seam = plan.seams[i];
        if (problem.pointer != fmt::format("/seams/{}", i) || seam.in_wood.empty()) continue;
        const auto& found = seam.simulation.problems;
        const auto reach = std::find_if(found.begin(), found.end(), [&](const auto& p) { return p.at == problem.at; });
        const Unrolled unrolled(seam);
        if (reach != found.end()) {
            const auto stretch = unrolled.tight(*reach);
            return stretch ? std::optional(Along{i, *stretch}) : std::nullopt;
        }
        const double at_mm = seam.simulation.largest_gap_at_mm;
        return Along{i, {at_mm, at_mm}};
    }
    return std::nullopt;
}

void write_problem(job::JsonWriter& json, const edit::OpenJob& job, std::size_t index,
                   const std::vector<edit::Remedy>& remedies) {
    const Problem& problem = job.problems()[index];
    json.begin_group();
    json.text("weight", problem.weight == Problem::Weight::error ? "error" : "warning");
    json.text("pointer", problem.pointer);
    json.text("found", problem.found);
    json.text("allowed", problem.allowed);
    json.text("remedy", problem.remedy);
    if (problem.at) json.point("at", *problem.at);
    if (const auto where = along(problem, job.plan())) {
        json.begin_group("along");
        json.count("seam", where->seam);
        json.number("from", where->stretch.from_mm);
        json.number("to", where->stretch.to_mm);
        json.end_group();
    }
    const bool any = std::any_of(remedies.begin(), remedies.end(), [&](const auto& r) { return r.problem == index; });
    if (any) {
        json.begin_list("press");
        for (const edit::Remedy& remedy : remedies) {
            if (remedy.problem != index) continue;
            json.begin_group();
            json.text("id", remedy.id);
            json.text("says", remedy.says);
            json.end_group();
        }
        json.end_list();
    }
    json.end_group();
}

}  // namespace

void write_problems(job::JsonWriter& json, const edit::OpenJob& job) {
    const auto remedies = job.remedies();
    json.begin_list("problems");
    for (const auto weight : {Problem::Weight::error, Problem::Weight::warning}) {
        for (std::size_t i = 0; i < job.problems().size(); ++i) {
            if (job.problems()[i].weight == weight) write_problem(json, job, i, remedies);
        }
    }
    json.end_list();
}

}  // namespace seamwright::screen
