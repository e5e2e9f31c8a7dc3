#include "plan/cut_depth.h"

#include <algorithm>
#include <cmath>

namespace seamwright::plan {
namespace {

// What a larger guide leaves can be skimmed within these (data/router.csv, "last pass, side allowance", from memory).
constexpr double least_skim_mm = 0.3, most_skim_left_mm = 1.0;
constexpr double same_size_mm = 0.02;

/// Of the riders, the one that leaves nearest to what is asked; `fits` says which may be taken.
template <class Tool, class Fits>
void choose_rider(CutDepth::Skim& skim, const std::vector<Tool>& tools, double sign, const Fits& fits) {
    for (const Tool& tool : tools) {
        const double outside_mm = tool.outside.real_mm();
        const double leaves_mm = 0.5 * sign * (outside_mm - skim.rides_mm);
        if (leaves_mm < least_skim_mm - same_size_mm || leaves_mm > most_skim_left_mm + same_size_mm) continue;
        if (!fits(tool)) continue;
        const double off = std::abs(leaves_mm - skim.cut.side_mm);
        if (!skim.rider.empty() && off >= std::abs(skim.leaves_mm - skim.cut.side_mm)) continue;
        skim.rider = tool.name;
        skim.rider_mm = outside_mm;
        skim.leaves_mm = leaves_mm;
    }
}

CutDepth::Skim skim_of(const job::Job& job, const shelf::Shelf& shelf, const seam::Step& step, double edge_mm) {
    const shelf::Cutter& cutter = shelf.cutters[step.pair->cutter];
    CutDepth::Skim skim;
    skim.cut = process::final_skim(job.limits.skim_mm, job.thickness_mm + job.limits.below_wood_mm,
                                   cutter.cutting_length_mm, edge_mm, job.limits.feed_mm_per_min);
    skim.guide = step.pair->rides == seam::Pair::Rides::guide;
    skim.rides_mm = step.pair->B_mm;
    // A larger guide holds the cutter farther from the template: that leaves wood on the template's side of the groove,
    // and takes some beyond it.
    const double sign = step.keeps_far ? -1.0 : 1.0;
    skim.wanted_mm = skim.rides_mm + sign * skim.cut.guide_larger_by_mm;
    if (skim.guide) {
        choose_rider(skim, shelf.guides, sign, [&](const shelf::Guide& guide) {
            return guide.bore_or_default_mm() >=
                   std::max(step.pair->b_mm, cutter.shank_mm) + 2.0 * shelf::chip_room_mm - same_size_mm;
        });
    } else {
        choose_rider(skim, shelf.bearings, sign, [&](const shelf::Bearing& bearing) {
            return std::find(cutter.bearings.begin(), cutter.bearings.end(), bearing.name) != cutter.bearings.end();
        });
    }
    return skim;
}

}  // namespace

process::PassRules rules_of(const job::Limits& limits) {
    return {limits.first_pass_mm, limits.pass_mm, limits.last_pass_mm, limits.below_wood_mm};
}

process::PassRules rules_of(const CutDepth& depth, const job::Limits& limits) {
    return depth.taken() ? depth.usual->rules : rules_of(limits);
}

CutDepth cut_depth(const job::Job& job, const shelf::Shelf& shelf, const seam::Step& step, const std::string& species,
                   double edge_mm) {
    const job::Limits& limits = job.limits;
    const shelf::Cutter& cutter = shelf.cutters[step.pair->cutter];
    CutDepth depth;
    depth.species = species;
    depth.asked = limits.passes_by_wood;
    depth.step_mm = limits.pass_mm;
    depth.cutter_mm = step.pair->b_mm;
    depth.flutes_mm = cutter.cutting_length_mm;
    depth.reach_mm = cutter.reach_or_default_mm();
    if (const shelf::Species* wood = shelf::find_species(species)) {
        depth.density_kg_m3 = wood->density_kg_m3;
        depth.usual = process::pass_rules_for(
            {wood->density_kg_m3, depth.cutter_mm, cutter.shank_mm, cutter.cutting_length_mm}, limits.below_wood_mm);
        // A tenth more is nothing a depth stop could be set to.
        constexpr double noticeable = 1.1;
        depth.too_deep = !depth.asked && limits.pass_mm > noticeable * depth.usual->rules.step_mm;
    }
    if (limits.skim_mm > 0.0) depth.skim = skim_of(job, shelf, step, edge_mm);
    if (job.thickness_mm + limits.below_wood_mm > depth.flutes_mm + same_size_mm) {
        process::StageSetup setup;
        setup.thickness_mm = job.thickness_mm;
        setup.template_mm = job.sheet.thickness_mm;
        setup.cutting_length_mm = depth.flutes_mm;
        setup.reach_mm = depth.reach_mm;
        setup.edge_length_mm = edge_mm;
        setup.feed_mm_per_min = limits.feed_mm_per_min;
        setup.rules = rules_of(depth, limits);
        depth.stages = process::plan_stages(setup);
        for (const shelf::Bearing& bearing : shelf.bearings)
            if (depth.flush_bearing.empty() && std::abs(bearing.outside.real_mm() - depth.cutter_mm) <= same_size_mm)
                depth.flush_bearing = bearing.name;
    }
    return depth;
}

}  // namespace seamwright::plan
