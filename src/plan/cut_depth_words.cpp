#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/cut_depth.h"
#include "plan/words.h"

namespace seamwright::plan::words {
namespace {

using process::GuidedBy;
using units::show;

std::string minutes_text(double minutes) {
    return fmt::format("about {:.0f} min", std::max(1.0, std::ceil(minutes)));
}

std::string wood_text(const CutDepth& depth) {
    return fmt::format("{}, {:.0f} kg/m³", depth.species, depth.density_kg_m3);
}

std::string source_text(const CutDepth& depth) {
    return fmt::format("{}{}", depth.usual->source, depth.usual->from_memory ? ", in part from memory" : "");
}

void add_steps(std::vector<std::string>& lines, const CutDepth& depth, const units::LengthStyle& style) {
    if (depth.taken()) {
        lines.push_back(
            fmt::format("The steps go by the wood and the cutter: {}, a cutter of {}: at most {} a step ({}). What the "
                        "maker of the "
                        "cutter says comes first.",
                        wood_text(depth), show(depth.cutter_mm, style), show(depth.usual->rules.step_mm, style),
                        source_text(depth)));
    } else if (depth.asked) {
        lines.push_back(fmt::format("How heavy {} is, is not in the tables: the steps are those of the job.",
                                    depth.species.empty() ? "this wood" : depth.species));
    } else if (depth.too_deep) {
        lines.push_back(fmt::format(
            "Your steps, at most {}, are deeper than the rules of thumb give for this wood and cutter: {} ({}, a "
            "cutter of {}; {}). Take them only if the cutter's maker allows it.",
            show(depth.step_mm, style), show(depth.usual->rules.step_mm, style), wood_text(depth),
            show(depth.cutter_mm, style), source_text(depth)));
    }
}

void add_skim(std::vector<std::string>& lines, const CutDepth::Skim& skim, double flutes_mm,
              const units::LengthStyle& style) {
    const std::string what = skim.guide ? "guide" : "bearing";
    const std::string size = show(skim.wanted_mm, style);
    if (!skim.rider.empty()) {
        lines.push_back(fmt::format(
            "Take these passes with the {}: it leaves {}{}.", skim.rider, show(skim.leaves_mm, style),
            std::abs(skim.leaves_mm - skim.cut.side_mm) > 0.05
                ? fmt::format(" (a {} of {} would leave the {} you ask for)", what, size, show(skim.cut.side_mm, style))
                : std::string()));
    } else {
        lines.push_back(fmt::format(
            "To leave {} for a last skim these passes want a {} of {} outside, {} {} than that of the cut; there is "
            "none on the shelf. Tape on the template's edge, evenly laid and as thick, does the same.",
            show(skim.cut.side_mm, style), what, size, show(std::abs(skim.wanted_mm - skim.rides_mm), style),
            skim.wanted_mm > skim.rides_mm ? "larger" : "smaller"));
    }
    std::string last = fmt::format("Last of all the skim: with the {} of this cut, once along at the full depth of {}",
                                   what, show(skim.cut.depth_mm, style));
    last += skim.cut.flutes_reach ? "."
                                  : fmt::format("; the flutes clean only the lower {} of it.", show(flutes_mm, style));
    lines.push_back(fmt::format("{} {} more.", last, capitalised(minutes_text(skim.cut.minutes))));
}

}  // namespace

std::vector<std::string> stage_lines(const CutDepth& depth, const units::LengthStyle& style) {
    std::vector<std::string> lines;
    if (!depth.stages) return lines;
    std::size_t number = 0;
    for (const process::Stage& stage : depth.stages->stages) {
        std::string line = fmt::format("Stage {}, ", ++number);
        switch (stage.guided) {
            case GuidedBy::template_edge:
                line += "on the template";
                break;
            case GuidedBy::edge_above:
                line += "the template taken off, a bearing above the flutes on the edge just cut";
                break;
            case GuidedBy::edge_below:
                line += "the piece turned over, a bearing at the tip of the cutter on the edge just cut";
                break;
        }
        line += fmt::format(": from {} to {} below the face, in {}", show(stage.from_mm, style),
                            show(stage.to_mm, style), times(stage.passes.size(), "pass", "passes"));
        lines.push_back(line + fmt::format("; the cutter {} out below the base in the deepest; {}.",
                                           show(stage.projection_mm, style), minutes_text(stage.minutes)));
    }
    return lines;
}

std::vector<std::string> depth_lines(const CutDepth& depth, const units::LengthStyle& style) {
    std::vector<std::string> lines;
    add_steps(lines, depth, style);
    if (depth.skim) add_skim(lines, *depth.skim, depth.flutes_mm, style);
    if (depth.staged()) {
        const bool above = depth.stages->stages.back().guided == GuidedBy::edge_above;
        lines.push_back(fmt::format(
            "The cut is deeper than the flutes are long ({}): it is cut in two stages. The second needs a cutter of "
            "the same {} with a bearing just as wide {}, {}.",
            show(depth.flutes_mm, style), show(depth.cutter_mm, style), above ? "above its flutes" : "at its tip",
            depth.flush_bearing.empty() ? std::string("which is not on the shelf")
                                        : fmt::format("such as the {}", depth.flush_bearing)));
        if (!above)
            lines.push_back(
                "From the other face the bearing runs at the tip, at one depth: saw close, so that little is taken off "
                "sideways.");
    } else if (depth.stages && !depth.stages->possible) {
        std::string lacks;
        if (depth.stages->flutes_short_mm > 0.0)
            lacks = fmt::format("flutes {} longer", show(depth.stages->flutes_short_mm, style));
        if (depth.stages->reach_short_mm > 0.0)
            lacks +=
                fmt::format("{}{} more reach", lacks.empty() ? "" : " and ", show(depth.stages->reach_short_mm, style));
        lines.push_back(fmt::format("Not even in two stages does this cutter clean the whole edge: it would need {}.",
                                    lacks.empty() ? "longer flutes" : lacks));
    }
    return lines;
}

}  // namespace seamwright::plan::words
