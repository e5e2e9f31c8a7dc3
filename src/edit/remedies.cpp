#include "remedies.h"

#include <fmt/format.h>

#include <algorithm>

#include "draw.h"
#include "easing.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {

void CureList::add(std::string id, std::string says, std::function<std::string(Bench&)> carry_out) {
    // One press, even where two problems ask for it at the same place.
    const bool there = std::any_of(cures.begin(), cures.end(), [&](const Cure& cure) {
        return cure.remedy.id == id && cure.remedy.problem == problem;
    });
    if (!there) cures.push_back({{std::move(id), problem, std::move(says)}, std::move(carry_out)});
}

void CureList::add_set(std::string id, std::string says, const Steps& steps, Json value, std::string done) {
    add(std::move(id), std::move(says), [steps, value = std::move(value), done = std::move(done)](Bench& bench) {
        if (value.is_null()) {
            Json& parent = *find(bench.change(), first_steps(steps, steps.size() - 1));
            parent.erase(steps.back());
        } else {
            put(bench.change(), steps, value);
        }
        return done;
    });
}

namespace {

void add_seam_cures(CureList& list, const Steps& steps, std::size_t seam) {
    const bool error = list.told().weight == job::Problem::Weight::error;
    if (steps.size() == 2) {
        if (error && list.state.plan.seams.empty()) add_course_cures(list, seam);
        add_easing_cures(list, seam);
        if (seam < list.state.plan.seams.size()) add_chain_cures(list, seam);
        return;
    }
    const std::string& last = steps.back();
    const std::string pointer = pointer_of(first_steps(steps, 2));
    const std::string name = seam_name(list.state.tree, steps);
    if (last == "curve") add_curve_cures(list, seam);
    if (last == "eased") {
        list.add_set("unease:" + pointer, "Cut it as it is drawn", steps, nullptr,
                     fmt::format("{} is cut as it is drawn", capitalised(name)));
    }
    if (last == "width") add_edging_cures(list, seam);
    if (last == "chain" || last == "master") {
        list.add_set("unpin:" + pointer, "Let the plan choose the way of copying", first_steps(steps, 2) / "chain",
                     nullptr, fmt::format("Way of copying of {} left to the plan", name));
    }
    if (last == "master") {
        list.add_set("unmaster:" + pointer, "Make the master on the hand that this way of copying has", steps, nullptr,
                     fmt::format("Hand of the master of {} left to the plan", name));
    }
}

void add_cures(CureList& list) {
    const auto steps = steps_of(list.told().pointer);
    if (!steps || steps->empty()) return;
    const std::string& first = steps->front();
    // Problems of a list as a whole have no index.
    constexpr std::size_t none = static_cast<std::size_t>(-1);
    const std::size_t index = steps->size() > 1 ? index_of((*steps)[1]).value_or(none) : none;
    const auto& job = list.state.document.job;
    if (first == "seams" && index < job.seams.size()) add_seam_cures(list, *steps, index);
    if (first == "seams" && steps->size() == 1 && job.seams.empty() && !list.state.plan.outline.empty()) {
        list.add("first_seam", "Lay a seam across the middle",
                 [](Bench& bench) { return draw_seam(bench, "pins", {}, Aim{}); });
    }
    if (first == "pieces" && steps->size() == 1) add_nameless_piece_cures(list);
    if (first == "pieces" && index < job.pieces.size()) {
        if (steps->back() == "species") add_species_cures(list, index);
        if (steps->back() == "at") add_piece_cures(list, index);
    }
    if (steps->back() == "thickness" && steps->size() > 1 && (*steps)[steps->size() - 2] == "stick")
        add_stick_cures(list, *steps);
    if (first == "shelf" && steps->back() == "measured") {
        const std::string tool = owner_words(list.state.tree, *steps);
        list.add_set("unmeasure:" + pointer_of(first_steps(*steps, 3)), "Work with the marked size", *steps, nullptr,
                     fmt::format("Measured size of {} taken away", tool));
    }
    if (first == "top") add_outline_cures(list);
    if (first == "limits" && steps->back() == "pass") {
        const double usual_mm = job::Limits{}.pass_mm;
        if (job.limits.pass_mm < usual_mm) {
            list.add_set("usual_pass", fmt::format("Make each pass {} deep", list.ruler.show(usual_mm)), *steps,
                         list.ruler.written(usual_mm), fmt::format("Depth of a pass: {}", list.ruler.show(usual_mm)));
        }
    }
}

}  // namespace

std::vector<Cure> cures_of(const State& state) {
    std::vector<Cure> cures;
    CureList list{state, Ruler(state.tree), cures, 0};
    for (std::size_t i = 0; i < state.problems.size(); ++i) {
        list.problem = i;
        add_cures(list);
    }
    return cures;
}

std::string carry_out_remedy(Bench& bench, const std::string& id) {
    const State state = bench.snapshot();
    std::vector<Cure> cures = cures_of(state);
    std::vector<Cure> tools = tool_cures_of(state);
    std::move(tools.begin(), tools.end(), std::back_inserter(cures));
    const auto cure = std::find_if(cures.begin(), cures.end(), [&](const Cure& one) { return one.remedy.id == id; });
    if (cure == cures.end()) {
        refuse("", fmt::format("the remedy \"{}\", which no problem asks for", std::string_view(id).substr(0, 80)),
               "a remedy of a problem that the job has now",
               "load the page anew; the job may have been changed elsewhere");
    }
    return cure->carry_out(bench);
}

}  // namespace seamwright::edit
