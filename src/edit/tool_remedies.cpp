// Chains and tools: another way of copying, a tool to buy, a template of another thickness.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "remedies.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

using What = seam::Advice::What;
using Kind = seam::ReachProblem::Kind;

/// A diameter must not be rounded: half a thousandth decides whether a chain is exact.
Json exactly(const Ruler& ruler, double mm) {
    Json written = ruler.written(mm);
    if (std::abs(ruler.mm(written, 0.0) - mm) < 1e-9) return written;
    return number_of(ruler.bare == units::Unit::inch ? mm / units::mm_per_inch : mm);
}

std::string size_words(const Ruler& ruler, double mm) {
    if (ruler.style.unit == units::Unit::inch) return ruler.show(mm);
    // "30 mm", not "30.0 mm": a name.
    return fmt::format("{} mm", number_of(std::round(mm * 1e3) / 1e3).dump());
}

std::string free_name(const Json& tree, const std::string& wanted) {
    const Json* shelf = find(tree, {"shelf"});
    const auto taken = [&](const std::string& name) {
        for (const char* kind : {"guides", "bearings", "cutters"}) {
            const Json* list = shelf != nullptr ? find(*shelf, {kind}) : nullptr;
            if (list == nullptr) continue;
            for (const Json& tool : *list)
                if (tool.is_object() && tool.contains("name") && tool["name"] == name) return true;
        }
        return false;
    };
    if (!taken(wanted)) return wanted;
    int number = 2;
    while (taken(fmt::format("{} {}", wanted, number))) ++number;
    return fmt::format("{} {}", wanted, number);
}

struct NewTool {
    const char* kind;  ///< the list it goes into
    Json tool;
    std::string for_cutter;  ///< a bearing: the cutter it is for
};

// Room for the hand that sets the depth, beyond what the cut needs at least.
constexpr double spare_reach_mm = 5.0;

NewTool new_cutter(const State& state, const Ruler& ruler, double diameter_mm) {
    const job::Job& job = state.document.job;
    const double mark_mm = ruler.stride_mm(Stride::rule);
    // A shank as thick as the collets that hand-held routers have (common practice: 8 mm and 1/4, 1/2 in).
    constexpr double thin_shank_mm = 8.0, thick_shank_mm = 12.0;
    const double shank_mm = diameter_mm >= thick_shank_mm ? thick_shank_mm : std::min(diameter_mm, thin_shank_mm);
    const double depth_mm = job.thickness_mm + job.limits.below_wood_mm;
    Json tool = Json::object();
    tool["name"] = free_name(state.tree, size_words(ruler, diameter_mm) + " cutter, sizes to be checked");
    tool["diameter"] = exactly(ruler, diameter_mm);
    tool["cutting_length"] = ruler.written(up_to_multiple(depth_mm, mark_mm));
    tool["shank"] = ruler.written(std::max(shank_mm, 2.0));
    tool["reach"] = ruler.written(up_to_multiple(depth_mm + job.sheet.thickness_mm + spare_reach_mm, mark_mm));
    return {"cutters", std::move(tool), {}};
}

NewTool new_tool(const State& state, const Ruler& ruler, const seam::Advice& advice) {
    const double d = advice.diameter_mm;
    if (advice.what == What::cutter) return new_cutter(state, ruler, d);
    Json tool = Json::object();
    const bool guide = advice.what == What::guide;
    tool["name"] = free_name(state.tree, fmt::format("{} {}{}", size_words(ruler, d), guide ? "guide" : "bearing",
                                                     guide ? ", sizes to be checked" : ""));
    tool["outside"] = exactly(ruler, d);
    if (guide) {
        // Shorter than the template is thick, so that it does not rub on the work (common practice, from memory).
        constexpr double clear_mm = 1.0, least_barrel_mm = 1.0;
        const double barrel_mm = std::max(state.document.job.sheet.thickness_mm - clear_mm, least_barrel_mm);
        const double mark_mm = ruler.finest_mm();
        tool["barrel"] = ruler.written(std::max(std::floor(barrel_mm / mark_mm) * mark_mm, least_barrel_mm));
        return {"guides", std::move(tool), {}};
    }
    NewTool bearing{"bearings", std::move(tool), {}};
    for (const shelf::Cutter& cutter : state.document.shelf.cutters) {
        // The size that matches by itself is three times the cutter (see seam/chain.h: B = 3b).
        constexpr double same_mm = 1e-6;
        if (!cutter.bearings.empty() && std::abs(3.0 * cutter.cutting.real_mm() - d) < same_mm)
            bearing.for_cutter = cutter.name;
    }
    return bearing;
}

std::string put_on_shelf(Bench& bench, const NewTool& tool) {
    Json& tree = bench.change();
    Json& shelf = tree["shelf"];
    if (!shelf.contains(tool.kind)) shelf[tool.kind] = Json::array();
    shelf[tool.kind].push_back(tool.tool);
    if (!tool.for_cutter.empty()) {
        for (Json& cutter : shelf["cutters"])
            if (cutter["name"] == tool.for_cutter) cutter["bearings"].push_back(tool.tool["name"]);
    }
    return fmt::format("{} put on the shelf", tool.tool["name"].get<std::string>());
}

const char* word_of(What what) {
    return what == What::guide ? "guide" : what == What::cutter ? "cutter" : "bearing";
}

std::string tool_id(const seam::Advice& advice) {
    return fmt::format("tool:{}:{}", word_of(advice.what),
                       number_of(std::round(advice.diameter_mm * 1e3) / 1e3).dump());
}

Cure tool_cure(const State& state, const Ruler& ruler, const seam::Advice& advice, std::size_t problem) {
    const std::string says =
        fmt::format("Put a {} of {} on the shelf", word_of(advice.what), size_words(ruler, advice.diameter_mm));
    return {{tool_id(advice), problem, says},
            [tool = new_tool(state, ruler, advice)](Bench& bench) { return put_on_shelf(bench, tool); }};
}

/// Another chain of the seam that its tools and turns allow, and that closes it better.
bool better_there_is(const plan::SeamPlan& seam) {
    const seam::Chain& now = seam.chains[seam.chosen];
    const auto bad = [](const seam::Chain& c) {
        return std::tuple(!c.tools_fit, c.margin_mm && *c.margin_mm < 0.0, std::abs(c.mismatch_mm));
    };
    return std::any_of(seam.chains.begin(), seam.chains.end(),
                       [&](const seam::Chain& c) { return !c.prints_mating && bad(c) < bad(now); });
}

std::optional<Kind> kind_told(const job::Problem& told, const plan::SeamPlan& seam, double& found_mm,
                              std::size_t& step) {
    for (const seam::ReachProblem& p : seam.simulation.problems) {
        if (told.found.find(fmt::format("step {}: {}", p.step + 1, p.says)) == std::string::npos) continue;
        found_mm = p.found_mm;
        step = p.step;
        return p.kind;
    }
    return std::nullopt;
}

}  // namespace

void add_tool_cures(CureList& list, const plan::SeamPlan& seam) {
    if (seam.any_exact) return;
    constexpr std::size_t most = 3;  // the list under the problem is not a catalogue
    for (std::size_t i = 0; i < seam.advice.size() && i < most; ++i)
        list.cures.push_back(tool_cure(list.state, list.ruler, seam.advice[i], list.problem));
}

void add_chain_cures(CureList& list, std::size_t i) {
    const plan::SeamPlan& seam = list.state.plan.seams[i];
    const job::Seam& asked = list.state.document.job.seams[i];
    if (seam.chains.empty() || seam.chosen >= seam.chains.size()) return;
    const Steps steps = Steps{"seams"} / i;
    const std::string pointer = pointer_of(steps);
    double found_mm = 0.0;
    std::size_t step = 0;
    const auto kind = kind_told(list.told(), seam, found_mm, step);
    if (better_there_is(seam)) {
        if (!asked.chain.empty()) {
            list.add_set("unpin:" + pointer, "Let the plan choose the way of copying", steps / "chain", nullptr,
                         fmt::format("Way of copying of {} left to the plan", asked.name));
        } else if (asked.master) {
            list.add_set("unmaster:" + pointer, "Let the plan choose the hand of the master", steps / "master", nullptr,
                         fmt::format("Hand of the master of {} left to the plan", asked.name));
        }
    }
    const auto cutter = [&]() -> const shelf::Cutter* {
        const seam::Chain& chain = seam.chains[seam.chosen];
        if (step >= chain.steps.size() || !chain.steps[step].pair) return nullptr;
        const std::size_t index = chain.steps[step].pair->cutter;
        return index < list.state.document.shelf.cutters.size() ? &list.state.document.shelf.cutters[index] : nullptr;
    };
    if (!kind) {
        add_tool_cures(list, seam);
    } else if (*kind == Kind::barrel_too_long) {
        // Half a millimetre more than the barrel, so that it does not rub (common practice, from memory).
        constexpr double clear_mm = 0.5;
        const double sheet_mm = up_to_multiple(found_mm + clear_mm, list.ruler.stride_mm(Stride::rule));
        constexpr double thickest_mm = 60.0;  // as the job file allows
        if (sheet_mm > list.state.document.job.sheet.thickness_mm && sheet_mm <= thickest_mm) {
            list.add_set("thicker_template", fmt::format("Make the templates {} thick", list.ruler.show(sheet_mm)),
                         {"template", "thickness"}, list.ruler.written(sheet_mm),
                         fmt::format("Thickness of the templates: {}", list.ruler.show(sheet_mm)));
        }
    } else if ((*kind == Kind::cutter_too_short || *kind == Kind::reach_too_short) && cutter() != nullptr) {
        const double d = cutter()->cutting.nominal_mm;
        list.add(fmt::format("longer_cutter:{}", number_of(std::round(d * 1e3) / 1e3).dump()),
                 fmt::format("Put a longer cutter of {} on the shelf", size_words(list.ruler, d)),
                 [tool = new_cutter(list.state, list.ruler, d)](Bench& bench) { return put_on_shelf(bench, tool); });
    }
}

std::vector<ToolAdvice> tool_advice_of(const State& state) {
    std::vector<ToolAdvice> result;
    const Ruler ruler(state.tree);
    for (std::size_t i = 0; i < state.plan.seams.size(); ++i) {
        const plan::SeamPlan& seam = state.plan.seams[i];
        if (seam.any_exact) continue;
        for (const seam::Advice& advice : seam.advice) {
            result.push_back({i,
                              fmt::format("A {} of {}, used with {}, makes edges that match{}", word_of(advice.what),
                                          ruler.show(advice.diameter_mm), advice.with,
                                          advice.common_size ? "" : "; no usual size, it has to be made"),
                              tool_id(advice)});
        }
    }
    return result;
}

std::vector<Cure> tool_cures_of(const State& state) {
    std::vector<Cure> cures;
    const Ruler ruler(state.tree);
    for (const plan::SeamPlan& seam : state.plan.seams) {
        if (seam.any_exact) continue;
        for (const seam::Advice& advice : seam.advice) cures.push_back(tool_cure(state, ruler, advice, 0));
    }
    return cures;
}

}  // namespace seamwright::edit
