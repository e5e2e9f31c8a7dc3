#include "app/report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "app/plain_text.h"
#include "plan/words.h"

namespace seamwright::app {
namespace {

using namespace plan::words;
using units::show;

/// Cautions are said in full where they first come up; after that a step points back, so that they are read at all.
class Cautions {
  public:
    std::string text(const plan::StepPlan& step) {
        std::string text;
        bool repeated = false;
        for (const auto& caution : step.cautions) {
            if (!said_.insert(caution).second) {
                repeated = true;
                continue;
            }
            text += wrapped("      ! ", printable(caution));
        }
        if (repeated) text += wrapped("      ! ", text.empty() ? "Cautions as above." : "And the cautions above.");
        return text;
    }

  private:
    std::set<std::string> said_;
};

/// How deep and how fast; empty for work by hand.
std::string routing_text(const plan::StepPlan& step, const units::LengthStyle& style) {
    std::string text;
    for (const std::string& passes : passes_lines(step, style)) text += wrapped("      ", passes);
    if (step.speed && step.speed->rpm > 0.0) {
        text += wrapped("      ", printable(speed_text(*step.speed)));
    }
    return text;
}

std::string steps_text(const plan::SeamPlan& seam, const units::LengthStyle& style, Cautions& cautions) {
    std::string text;
    std::map<std::string, std::size_t> told;  // routing and the step that told it in full
    for (std::size_t i = 0; i < seam.steps.size(); ++i) {
        const plan::StepPlan& step = seam.steps[i];
        text += wrapped(fmt::format("  {:>2}. ", i + 1), printable(step.title));
        for (const auto& line : step.lines) text += wrapped("      ", printable(line));
        if (const std::string routing = routing_text(step, style); !routing.empty()) {
            const auto [first, is_new] = told.emplace(routing, i + 1);
            text += is_new ? routing : wrapped("      ", fmt::format("Passes and speed as in step {}.", first->second));
        }
        text += cautions.text(step);
    }
    return text;
}

std::string seam_text(const plan::SeamPlan& seam, const plan::Plan& plan, Cautions& cautions) {
    const auto& style = plan.style;
    std::string text = wrapped("", printable(fmt::format("Seam \"{}\", {}", seam.name, kind_text(seam.kind))));
    text += wrapped("  ", shape_text(seam, style));
    if (seam.kind != job::SeamKind::edging) text += wrapped("  Fairness: ", fairness_text(seam, style));
    if (seam.sprung) text += wrapped("  Sprung: ", "a stick " + sprung_text(*seam.sprung, style) + ".");
    if (seam.stick) text += wrapped("  Stick: ", printable(stick_text(*seam.stick, style)));
    if (!seam.verdict.empty()) text += wrapped("  ", printable(seam.verdict));
    if (seam.chosen >= seam.chains.size()) return text;
    const seam::Chain& chain = seam.chains[seam.chosen];
    text += wrapped("  Proof: ", proof_text(seam, plan));
    if (const std::string reach = reach_text(seam, style); !reach.empty()) text += wrapped("  Reach: ", reach);
    for (const auto& problem : seam.simulation.problems) {
        const std::string where = problem.at ? fmt::format(" ({})", place_text(*problem.at, style)) : std::string();
        text += wrapped("  Reach: ", printable(fmt::format("step {}: {}{}", problem.step + 1, problem.says, where)));
    }
    if (!seam.any_exact && !seam.advice.empty()) {
        text += wrapped("  ", "No way with the tools on your shelf meets exactly. What would:");
        for (const auto& advice : seam.advice) text += wrapped("    - ", printable(advice_text(advice, style)));
    }
    std::string way = seam.chains.size() == 1 ? "the only one with your tools."
                                              : fmt::format("one of {} with your tools.", seam.chains.size());
    for (const auto& reason : chain.reasons) way += ' ' + reason;
    text += wrapped("  Way of copying: ", printable(way));
    text += wrapped("  ", "plan.json gives its name, for \"chain\" in the job, should you want to keep to it.");
    return text + steps_text(seam, style, cautions);
}

}  // namespace

std::string problem_text(const job::Problem& problem, const units::LengthStyle& style) {
    const bool error = problem.weight == job::Problem::Weight::error;
    std::string head = fmt::format("{} at {}", error ? "Error" : "Warning",
                                   problem.pointer.empty() ? "the job as a whole" : problem.pointer);
    if (problem.at) head += fmt::format(" ({})", place_text(*problem.at, style));
    std::string text = wrapped("", printable(head));
    const auto line = [&](std::string_view label, const std::string& what) {
        if (!what.empty()) text += wrapped(label, printable(what));
    };
    line("  found:   ", problem.found);
    line("  allowed: ", problem.allowed);
    line("  do this: ", problem.remedy);
    return text;
}

std::string problems_text(const std::vector<job::Problem>& problems, const units::LengthStyle& style,
                          std::size_t most) {
    std::string text;
    std::size_t shown = 0;
    for (const auto weight : {job::Problem::Weight::error, job::Problem::Weight::warning}) {
        for (const auto& problem : problems) {
            if (problem.weight != weight || shown == most) continue;
            text += problem_text(problem, style);
            ++shown;
        }
    }
    if (shown < problems.size()) {
        text += fmt::format("and {} more; `seamwright check` lists them all.\n", problems.size() - shown);
    }
    return text;
}

std::string problem_count(const std::vector<job::Problem>& problems) {
    const auto errors = static_cast<std::size_t>(std::count_if(
        problems.begin(), problems.end(), [](const auto& p) { return p.weight == job::Problem::Weight::error; }));
    const std::size_t warnings = problems.size() - errors;
    if (problems.empty()) return "No problems";
    if (warnings == 0) return times(errors, "error", "errors");
    if (errors == 0) return times(warnings, "warning", "warnings");
    return times(errors, "error", "errors") + ", " + times(warnings, "warning", "warnings");
}

std::string findings_text(const plan::Plan& plan) {
    const auto& style = plan.style;
    double weight = 0.0;
    for (const auto& piece : plan.pieces) weight += piece.weight_kg;
    std::string text = wrapped("", printable(plan.name));
    text += wrapped("  ", fmt::format("Top {}, {} thick, {}{}.", size_text(plan.box, style),
                                      show(plan.thickness_mm, style), area_text(plan.area_mm2, style.unit),
                                      weight > 0.0 ? ", about " + weight_text(weight, style.unit) : ""));
    text += '\n' + times(plan.pieces.size(), "piece", "pieces") + '\n';
    std::vector<std::vector<std::string>> rows;
    rows.reserve(plan.pieces.size());
    for (const auto& piece : plan.pieces) {
        rows.push_back({printable(piece.name), printable(piece.species), size_text(piece.box, style),
                        area_text(piece.area_mm2, style.unit),
                        piece.weight_kg > 0.0 ? weight_text(piece.weight_kg, style.unit) : ""});
    }
    text += table("  ", rows);
    for (const auto& piece : plan.pieces)
        if (piece.board) text += wrapped("  Board: ", printable(board_text(piece, style)));
    Cautions cautions;
    for (const auto& seam : plan.seams) text += '\n' + seam_text(seam, plan, cautions);
    if (!plan.seams.empty()) {
        text += '\n' + wrapped("",
                               "Before any cut, read what the makers of the router, the cutter and the guide say; "
                               "it comes before anything here. Try every set-up on scrap first.");
    }
    return text;
}

std::string papers_text(const std::string& folder, const std::vector<paper::PaperFile>& files) {
    std::string text = wrapped("", printable(fmt::format("Written into {}:", folder)));
    text += wrapped("  ", "plan.json") + wrapped("      ", "everything computed, in millimetres");
    for (const auto& file : files) {
        text += wrapped("  ", printable(file.name)) + wrapped("      ", printable(file.says));
    }
    return text + wrapped("",
                          "Print full-size papers at 100 %, never \"fit to page\", and measure the check bars "
                          "before you trust a template.");
}

}  // namespace seamwright::app
