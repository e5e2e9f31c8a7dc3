#include "chains.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "plan/words.h"
#include "section_view.h"

namespace seamwright::screen {
namespace {

using seam::Chain;
using Kind = seam::Step::Kind;

std::string tools(const shelf::Shelf& shelf, const seam::Pair& pair) {
    const std::string& rider =
        pair.rides == seam::Pair::Rides::guide ? shelf.guides.at(pair.rider).name : shelf.bearings.at(pair.rider).name;
    return fmt::format("{} and {}", rider, shelf.cutters.at(pair.cutter).name);
}

const seam::Pair* pair_of(const Chain& chain, Kind kind) {
    const auto step = std::find_if(chain.steps.begin(), chain.steps.end(),
                                   [&](const seam::Step& s) { return s.kind == kind && s.pair; });
    return step == chain.steps.end() ? nullptr : &*step->pair;
}

std::string copies(const Chain& chain, const shelf::Shelf& shelf) {
    std::string text;
    const seam::Pair* last = nullptr;
    for (const auto& step : chain.steps) {
        if (step.kind != Kind::copy_far && step.kind != Kind::copy_near) continue;
        if (last != nullptr && *last == *step.pair) continue;
        text += (text.empty() ? "" : ", then ") + tools(shelf, *step.pair);
        last = &*step.pair;
    }
    return text;
}

std::string way(const Chain& chain) {
    if (chain.prints_mating) return "Both templates by hand";
    if (chain.templates == 1) return "One template for both pieces";
    if (chain.templates < 3 || chain.steps.size() < 3) return {};
    const seam::Step& last_copy = chain.steps[2];
    if (last_copy.kind == Kind::copy_near) return "The copy copied again";
    return last_copy.from_template == 0 ? "Two copies of the master" : "The mating template from a copy of the master";
}

void write_step(job::JsonWriter& json, const std::string& title, const std::vector<std::string>& lines,
                const std::vector<std::string>& cautions, const std::vector<std::string>& passes,
                const plan::Section& picture) {
    json.begin_group();
    json.text("title", title);
    json.texts("lines", lines);
    json.texts("cautions", cautions);
    json.texts("passes", passes);
    write_section(json, "picture", picture);
    json.end_group();
}

}  // namespace

std::string chain_title(const Chain& chain, const shelf::Shelf& shelf) {
    const seam::Pair* left = pair_of(chain, Kind::cut_left);
    const seam::Pair* right = pair_of(chain, Kind::cut_right);
    if (left == nullptr || right == nullptr) return chain.id;
    const std::string copied = copies(chain, shelf);
    std::string text;
    if (*left == *right && (copied.empty() || copied == tools(shelf, *left))) {
        text = tools(shelf, *left) + (chain.prints_mating ? " for both cuts" : " for everything");
    } else {
        if (!copied.empty()) text = fmt::format("copy with {}; ", copied);
        text += *left == *right
                    ? fmt::format("cut with {}", tools(shelf, *left))
                    : fmt::format("cut left with {}, right with {}", tools(shelf, *left), tools(shelf, *right));
    }
    if (!chain.prints_mating) text += chain.master_on_left ? ", master on the left" : ", master on the right";
    const std::string said = way(chain);
    if (!said.empty()) return fmt::format("{}: {}", said, text);
    return plan::words::capitalised(std::move(text));
}

std::string mismatch_says(const Chain& chain, const units::LengthStyle& style) {
    if (chain.prints_mating) return "The edges match as well as your hand follows the printed lines.";
    if (chain.exact()) return "The sizes of the tools leave no gap.";
    const std::string size = units::show_thin(std::abs(chain.mismatch_mm), style.unit);
    return chain.mismatch_mm > 0.0 ? fmt::format("The sizes of the tools leave a gap of {}.", size)
                                   : fmt::format("The sizes of the tools make the pieces overlap by {}.", size);
}

std::vector<std::string> passes_says(const plan::StepPlan& step, const units::LengthStyle& style) {
    std::vector<std::string> says;
    if (!step.passes || step.passes->passes.empty()) return says;
    const auto& passes = step.passes->passes;
    const bool staged = step.depth && step.depth->staged();
    if (staged) says = plan::words::stage_lines(*step.depth, style);
    for (std::size_t i = 0; i < passes.size() && !staged; ++i) {
        says.push_back(fmt::format("Pass {} of {}: {} deep, cutter {} below the base.", i + 1, passes.size(),
                                   units::show(passes[i].depth_mm, style),
                                   units::show(passes[i].projection_mm, style)));
    }
    says.push_back(fmt::format("About {:.0f} min of cutting, {} each pass.",
                               std::max(1.0, std::ceil(step.cutting_minutes())),
                               units::show(step.passes->length_mm, style)));
    if (step.speed && step.speed->rpm > 0.0) says.push_back(plan::words::speed_text(*step.speed));
    return says;
}

void write_chains(job::JsonWriter& json, const edit::OpenJob& job, std::size_t index) {
    const plan::Plan& plan = job.plan();
    json.begin_list("chains");
    if (index < plan.seams.size()) {
        const plan::SeamPlan& seam = plan.seams[index];
        const shelf::Shelf& shelf = job.document().shelf;
        const std::string& pinned = job.document().job.seams[index].chain;
        const plan::SectionSizes sizes = plan::sizes_of(plan);
        for (std::size_t c = 0; c < seam.chains.size(); ++c) {
            const Chain& chain = seam.chains[c];
            const bool chosen = c == seam.chosen;
            json.begin_group();
            json.text("id", chain.id);
            json.flag("chosen", chosen);
            json.flag("pinned", !pinned.empty() && pinned == chain.id);
            json.text("title", chain_title(chain, shelf));
            json.flag("exact", chain.exact());
            json.text("mismatch", mismatch_says(chain, plan.style));
            json.texts("reasons", chain.reasons);
            json.begin_list("steps");
            for (std::size_t i = 0; i < chain.steps.size(); ++i) {
                const seam::Step& step = chain.steps[i];
                const plan::Section picture = plan::section_of(step, shelf, sizes);
                if (chosen && i < seam.steps.size()) {
                    const plan::StepPlan& told = seam.steps[i];
                    write_step(json, told.title, told.lines, told.cautions, passes_says(told, plan.style), picture);
                } else {
                    write_step(json, plan::words::step_title(step, chain.prints_mating), {step.says}, {}, {}, picture);
                }
            }
            json.end_list();
            json.end_group();
        }
    }
    json.end_list();
}

}  // namespace seamwright::screen
