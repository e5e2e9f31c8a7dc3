#include "process/cut_stages.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string_view>

#include "seam/tool_table.h"

namespace seamwright::process {
namespace {

constexpr double light_kg_m3 = 500.0, heavy_kg_m3 = 700.0;
constexpr double thin_shank_mm = 6.0, thick_shank_mm = 12.0;  // of the rows; the latter also for 1/2 in
constexpr double stiff_in_diameters = 4.0;
constexpr double first_share = 0.6, last_share = 0.4, last_most_mm = 2.0;
constexpr double most_skim_side_mm = 1.0;
constexpr double rounding_mm = 1e-9;

struct PassRow {
    double low_mm = 0.0, high_mm = 0.0;
    bool from_memory = false;
};

PassRow row_of(std::string_view topic_item) {
    const shelf::Table& table = seam::router_table();
    for (const std::size_t row : table.rows_where("topic", "pass depth")) {
        if (!table.cell(row, "item").starts_with(topic_item)) continue;
        const double low = table.number(row, "value_low").value();
        return {low, table.number(row, "value_high").value_or(low), table.cell(row, "provenance") == "memory"};
    }
    throw std::logic_error("data/router.csv lacks a row \"pass depth\": " + std::string(topic_item));
}

struct PassRows {
    PassRow any = row_of("conservative rule");
    PassRow half_diameter = row_of("rule of thumb: half the cutter diameter");
    PassRow thin_shank = row_of("hardwood, straight bit, 6 mm shank");
    PassRow thick_shank = row_of("hardwood, straight bit, 12 mm");
};

const PassRows& rows() {
    static const PassRows read;
    return read;
}

bool above_nothing(double value) {
    return value > 0.0 && std::isfinite(value);
}

double step_for(const PassFor& wanted) {
    const double diameter = wanted.cutter_diameter_mm;
    const PassRow &thin = rows().thin_shank, &thick = rows().thick_shank;
    // The row for thick shanks is for cutters from 12 mm.
    const double of_thick = std::min(1.0, diameter / thick_shank_mm);
    const double how_thick = std::clamp((wanted.shank_mm - thin_shank_mm) / (thick_shank_mm - thin_shank_mm), 0.0, 1.0);
    const double high_mm = std::lerp(thin.high_mm, thick.high_mm, how_thick);
    const double low_mm = std::lerp(thin.low_mm, std::max(thin.low_mm, thick.low_mm * of_thick), how_thick);
    const double light = std::min(rows().half_diameter.low_mm * diameter, high_mm);
    const double heavy = std::min(light, low_mm);
    const double how_heavy = (wanted.density_kg_m3 - light_kg_m3) / (heavy_kg_m3 - light_kg_m3);
    double step = std::lerp(light, heavy, std::clamp(how_heavy, 0.0, 1.0));
    step *= std::min(1.0, heavy_kg_m3 / wanted.density_kg_m3);
    return step * std::min(1.0, stiff_in_diameters * diameter / wanted.cutting_length_mm);
}

void require_sound(const StageSetup& s) {
    if (!above_nothing(s.thickness_mm) || !above_nothing(s.cutting_length_mm) || !above_nothing(s.reach_mm) ||
        !above_nothing(s.bearing_mm) || !above_nothing(s.feed_mm_per_min))
        throw std::invalid_argument("plan_stages: thickness, cutter, bearing and feed must be above 0");
    if (!(s.template_mm >= 0.0) || !(s.overlap_mm >= 0.0) || !(s.edge_length_mm >= 0.0) || !(s.rules.below_mm >= 0.0))
        throw std::invalid_argument("plan_stages: template, overlap and lengths must not be negative");
}

PassPlan passes_to(double depth_mm, double above_mm, const StageSetup& s, PassRules rules) {
    rules.below_mm = 0.0;
    return plan_passes(depth_mm, above_mm, s.cutting_length_mm, s.edge_length_mm, s.feed_mm_per_min, rules);
}

double minutes_of(const Stage& stage, const StageSetup& s) {
    return static_cast<double>(stage.passes.size()) * s.edge_length_mm / s.feed_mm_per_min;
}

Stage by_template(double to_mm, const StageSetup& s) {
    Stage stage;
    stage.to_mm = to_mm;
    stage.projection_mm = s.template_mm + to_mm;
    stage.passes = passes_to(to_mm, s.template_mm, s, s.rules).passes;
    stage.minutes = minutes_of(stage, s);
    return stage;
}

Stage from_above(double done_mm, double total_mm, const StageSetup& s) {
    Stage stage;
    stage.guided = GuidedBy::edge_above;
    stage.from_mm = done_mm - s.overlap_mm;
    stage.to_mm = total_mm;
    stage.projection_mm = total_mm;
    stage.flutes_needed_mm = total_mm - stage.from_mm;
    const double first_mm = s.cutting_length_mm + s.bearing_mm;
    stage.passes.push_back({first_mm, first_mm - done_mm, first_mm});
    const double rest_mm = total_mm - first_mm;
    if (rest_mm > rounding_mm) {
        PassRules rules = s.rules;
        rules.first_mm = rules.step_mm;
        for (Pass pass : passes_to(rest_mm, first_mm, s, rules).passes) {
            pass.depth_mm += first_mm;
            stage.passes.push_back(pass);
        }
    }
    stage.minutes = minutes_of(stage, s);
    return stage;
}

Stage from_other_face(double done_mm, const StageSetup& s) {
    Stage stage;
    stage.guided = GuidedBy::edge_below;
    stage.from_mm = done_mm - s.overlap_mm;
    stage.to_mm = s.thickness_mm;
    stage.flutes_needed_mm = stage.to_mm - stage.from_mm;
    stage.projection_mm = stage.flutes_needed_mm + s.bearing_mm;
    stage.passes.push_back({stage.flutes_needed_mm, stage.flutes_needed_mm, stage.projection_mm});
    stage.minutes = minutes_of(stage, s);
    return stage;
}

/// The least that would do: from the other face, or in one stage where that asks for less.
void tell_what_lacks(StagePlan& plan, double total_mm, const StageSetup& s) {
    const double least_done = s.overlap_mm + s.bearing_mm;
    const double two_stages = std::max(0.5 * (s.thickness_mm + s.overlap_mm), least_done);
    const double flutes = std::max(s.cutting_length_mm, std::min(total_mm, two_stages));
    plan.flutes_short_mm = flutes - s.cutting_length_mm;
    double reach = s.template_mm + total_mm;
    if (flutes < total_mm) {
        const double done = std::max(s.thickness_mm + s.overlap_mm - flutes, least_done);
        reach = std::max(s.template_mm + done, s.thickness_mm - done + least_done);
    }
    plan.reach_short_mm = std::max(0.0, reach - s.reach_mm);
}

}  // namespace

PassAdvice pass_rules_for(const PassFor& wanted, double below_mm) {
    if (!above_nothing(wanted.density_kg_m3) || !above_nothing(wanted.cutter_diameter_mm) ||
        !above_nothing(wanted.shank_mm) || !above_nothing(wanted.cutting_length_mm))
        throw std::invalid_argument("pass_rules_for: density and the cutter's sizes must be above 0");
    if (!(below_mm >= 0.0)) throw std::invalid_argument("pass_rules_for: depth below the wood must not be negative");
    const double step = step_for(wanted);
    PassAdvice advice;
    advice.rules.step_mm = step;
    advice.rules.first_mm = std::min(first_share * step, rows().any.low_mm);
    advice.rules.last_mm = std::min(last_share * step, last_most_mm);
    advice.rules.below_mm = below_mm;
    advice.source = "rules of thumb by wood, shank and diameter (data/router.csv, pass depth)";
    advice.from_memory = rows().thin_shank.from_memory || rows().thick_shank.from_memory;
    return advice;
}

double chip_mm(double feed_mm_per_min, double rpm, int flutes) {
    if (!above_nothing(feed_mm_per_min) || !above_nothing(rpm) || flutes < 1)
        throw std::invalid_argument("chip_mm: feed, speed and flutes must be above 0");
    return feed_mm_per_min / (rpm * flutes);
}

FinalSkim final_skim(double side_mm, double depth_mm, double cutting_length_mm, double edge_length_mm,
                     double feed_mm_per_min) {
    if (!(side_mm > 0.0 && side_mm <= most_skim_side_mm))
        throw std::invalid_argument("final_skim: a side cut above 0 and at most 1 mm is needed");
    if (!above_nothing(depth_mm) || !above_nothing(cutting_length_mm) || !above_nothing(feed_mm_per_min) ||
        !(edge_length_mm >= 0.0))
        throw std::invalid_argument("final_skim: depth, cutting length and feed must be above 0");
    FinalSkim skim;
    skim.side_mm = side_mm;
    skim.depth_mm = depth_mm;
    skim.minutes = edge_length_mm / feed_mm_per_min;
    skim.guide_larger_by_mm = 2.0 * side_mm;
    skim.flutes_reach = depth_mm <= cutting_length_mm;
    return skim;
}

StagePlan plan_stages(const StageSetup& setup) {
    require_sound(setup);
    const double total = setup.thickness_mm + setup.rules.below_mm;
    const double flutes = setup.cutting_length_mm;
    const double done = std::min({total, flutes, setup.reach_mm - setup.template_mm});
    StagePlan plan;
    if (done >= total) {
        plan.stages.push_back(by_template(total, setup));
    } else if (done >= setup.overlap_mm + setup.bearing_mm) {
        const bool above =
            total >= flutes + setup.bearing_mm && total - done + setup.overlap_mm <= flutes && total <= setup.reach_mm;
        const double other = setup.thickness_mm - done + setup.overlap_mm;
        const bool below = other <= flutes + rounding_mm && other + setup.bearing_mm <= setup.reach_mm + rounding_mm;
        if (above || below) plan.stages.push_back(by_template(done, setup));
        if (above)
            plan.stages.push_back(from_above(done, total, setup));
        else if (below)
            plan.stages.push_back(from_other_face(done, setup));
    }
    plan.possible = !plan.stages.empty();
    if (!plan.possible) tell_what_lacks(plan, total, setup);
    for (const Stage& stage : plan.stages) plan.minutes += stage.minutes;
    return plan;
}

}  // namespace seamwright::process
