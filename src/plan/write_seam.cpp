#include "write_seam.h"

#include <string>

namespace seamwright::plan {
namespace {

std::string_view word(seam::Step::Kind kind) {
    using Kind = seam::Step::Kind;
    switch (kind) {
        case Kind::make_master:
            return "make_master";
        case Kind::make_mating:
            return "make_mating";
        case Kind::copy_far:
            return "copy_far";
        case Kind::copy_near:
            return "copy_near";
        case Kind::cut_left:
            return "cut_left";
        case Kind::cut_right:
            return "cut_right";
    }
    return {};
}

std::string_view word(seam::Advice::What what) {
    switch (what) {
        case seam::Advice::What::guide:
            return "guide";
        case seam::Advice::What::cutter:
            return "cutter";
        case seam::Advice::What::bearing:
            return "bearing";
    }
    return {};
}

std::string_view word(seam::ReachProblem::Kind kind) {
    using Kind = seam::ReachProblem::Kind;
    switch (kind) {
        case Kind::guide_in_hollow:
            return "guide_in_hollow";
        case Kind::cutter_in_hollow:
            return "cutter_in_hollow";
        case Kind::template_edge_gone:
            return "template_edge_gone";
        case Kind::barrel_too_long:
            return "barrel_too_long";
        case Kind::cutter_too_short:
            return "cutter_too_short";
        case Kind::reach_too_short:
            return "reach_too_short";
        case Kind::shank_in_guide:
            return "shank_in_guide";
        case Kind::bearing_above_template:
            return "bearing_above_template";
    }
    return {};
}

void write_tightest(job::JsonWriter& json, std::string_view key,
                    const std::optional<curves::Drawn::Tightest>& tightest) {
    if (!tightest) {
        json.nothing(key);
        return;
    }
    json.begin_group(key);
    json.number("radius", tightest->radius_mm);
    json.number("along", tightest->at_mm);
    json.point("at", tightest->at);
    json.end_group();
}

void write_drawn(job::JsonWriter& json, const curves::Drawn& drawn) {
    json.begin_group("drawn");
    json.path("path", drawn.path);
    json.number("bound", drawn.bound_mm);
    json.begin_list("curvature");
    for (const auto& c : drawn.curvature) json.numbers({}, {c.at_mm, c.curvature});
    json.end_list();
    write_tightest(json, "tightest_left", drawn.tightest_left);
    write_tightest(json, "tightest_right", drawn.tightest_right);
    json.numbers("inflections", drawn.inflections_mm);
    json.end_group();
}

void write_moved(job::JsonWriter& json, const curves::MovedStretch& moved) {
    json.number("from", moved.from_mm);
    json.number("to", moved.to_mm);
    json.number("moved", moved.largest_mm);
    json.number("along", moved.at_mm);
    json.point("at", moved.at);
}

void write_eased(job::JsonWriter& json, const EasedPlan& eased) {
    json.begin_group("eased");
    json.flag("unchanged", eased.unchanged);
    json.begin_list("stretches");
    for (const auto& stretch : eased.stretches) {
        json.begin_group();
        write_moved(json, stretch);
        json.end_group();
    }
    json.end_list();
    json.path("as_drawn", eased.as_drawn);
    json.end_group();
}

void write_sprung(job::JsonWriter& json, const curves::SprungStick& stick) {
    json.begin_group("sprung");
    json.number("chord", stick.chord_mm);
    json.number("length", stick.length_mm);
    json.number("rise", stick.rise_mm);
    json.number("end_slope_radians", stick.end_slope_rad);
    json.number("tightest_radius", stick.tightest_radius_mm);
    json.end_group();
}

void write_stick(job::JsonWriter& json, const StickPlan& stick) {
    json.begin_group("stick");
    json.text("species", stick.limit ? stick.limit->species : stick.stick.species);
    json.number("thickness", stick.stick.thickness_mm);
    json.flag("own", stick.own);
    json.number("length", stick.length_mm);
    json.number("radius", stick.radius_mm);
    json.number("along", stick.along_mm);
    json.point("at", stick.at);
    json.number("strain", stick.strain);
    if (stick.limit) {
        json.begin_group("limit");
        json.number("strain_at_rupture", stick.limit->strain_at_rupture);
        json.number("allowed_strain", stick.limit->allowed_strain);
        json.number("scatter", shelf::rupture_scatter);
        json.text("source", stick.limit->source);
        json.flag("from_memory", stick.limit->from_memory);
        json.number("part_of_rupture", stick.part_of_rupture);
        json.number("part_that_breaks", stick.part_that_breaks);
        json.number("greatest_thickness", stick.greatest_thickness_mm);
        json.flag("holds", stick.holds);
        json.end_group();
    } else {
        json.nothing("limit");
    }
    json.end_group();
}

void write_spots(job::JsonWriter& json, std::string_view key, const std::vector<curves::Spot>& spots) {
    json.begin_list(key);
    for (const curves::Spot& spot : spots) {
        json.begin_group();
        json.number("from", spot.from_mm);
        json.number("to", spot.to_mm);
        json.number("along", spot.at_mm);
        json.number("height", spot.height_mm);
        json.number("area", spot.area_mm2);
        json.flag("uncertain", spot.uncertain);
        json.flag("felt", spot.felt);
        json.end_group();
    }
    json.end_list();
}

void write_made(job::JsonWriter& json, const MadePlan& made) {
    json.begin_group("as_made");
    json.text("verdict", made.verdict);
    json.flag("closes", made.closes);
    json.text("template", made.template_on_left ? "left" : "right");
    json.number("length", made.length_mm);
    json.number("longest_bump", made.wave_mm);
    json.number("fair_within", made.fair_mm);
    json.number("highest", made.made.map.highest_mm);
    json.number("lowest", made.made.map.lowest_mm);
    json.number("rms", made.made.map.rms_mm);
    json.begin_list("heights");
    for (const auto& h : made.made.map.heights) json.numbers({}, {h.at_mm, h.height_mm});
    json.end_list();
    write_spots(json, "spots", made.made.map.spots);
    json.begin_list("sanding");
    for (const auto& r : made.made.sanding.removal) json.numbers({}, {r.at_mm, r.depth_mm});
    json.end_list();
    write_spots(json, "sand", made.made.sanding.spots);
    json.number("deepest", made.made.sanding.deepest_mm);
    json.begin_group("closing");
    json.flag("found", made.closing.found);
    json.number("largest_gap", made.closing.largest_gap_mm);
    json.number("largest_gap_along", made.closing.largest_gap_at_mm);
    json.number("mean_gap", made.closing.mean_gap_mm);
    json.end_group();
    json.path("edge", made.edge);
    json.end_group();
}

void write_pair(job::JsonWriter& json, const std::optional<seam::Pair>& pair) {
    if (!pair) {
        json.nothing("pair");
        return;
    }
    json.begin_group("pair");
    json.text("rides", pair->rides == seam::Pair::Rides::guide ? "guide" : "bearing");
    json.count("rider_index", pair->rider);
    json.count("cutter_index", pair->cutter);
    json.number("rider_diameter", pair->B_mm);
    json.number("cutter_diameter", pair->b_mm);
    json.number("nominal_rider_diameter", pair->nominal_B_mm);
    json.number("nominal_cutter_diameter", pair->nominal_b_mm);
    json.number("near_offset", pair->offset_mm());
    json.number("far_offset", pair->far_mm());
    json.end_group();
}

void write_step(job::JsonWriter& json, const seam::Step& step) {
    json.text("kind", word(step.kind));
    write_pair(json, step.pair);
    json.whole("from_template", step.from_template);
    json.whole("makes_template", step.makes_template);
    json.number("rides_at", step.rides_at_mm);
    json.number("edge_at", step.edge_at_mm);
    json.flag("template_on_left", step.template_on_left);
    json.flag("keeps_far", step.keeps_far);
    json.flag("this_side_up", step.this_side_up);
    json.text("says", step.says);
}

void write_chain(job::JsonWriter& json, const seam::Chain& chain) {
    json.begin_group();
    json.text("id", chain.id);
    json.text("master", chain.master_on_left ? "left" : "right");
    json.number("mismatch", chain.mismatch_mm);
    json.number("nominal_mismatch", chain.nominal_mismatch_mm);
    json.flag("exact", chain.exact());
    json.whole("tool_changes", chain.tool_changes);
    json.whole("templates", chain.templates);
    json.flag("prints_mating", chain.prints_mating);
    json.flag("tools_fit", chain.tools_fit);
    json.number("margin", chain.margin_mm);
    json.texts("reasons", chain.reasons);
    json.begin_list("steps");
    for (const seam::Step& step : chain.steps) {
        json.begin_group();
        write_step(json, step);
        json.end_group();
    }
    json.end_list();
    json.end_group();
}

void write_reach_problem(job::JsonWriter& json, const seam::ReachProblem& p) {
    json.begin_group();
    json.text("kind", word(p.kind));
    json.count("step", p.step);
    json.text("says", p.says);
    json.number("wanted", p.wanted_mm);
    json.number("found", p.found_mm);
    json.number("depth", p.depth_mm);
    json.number("along", p.at_mm);
    json.point("at", p.at);
    json.flag("stops_the_work", p.stops_the_work);
    json.end_group();
}

void write_simulation(job::JsonWriter& json, const seam::Simulation& s) {
    json.begin_group("simulation");
    json.flag("carried_out", s.carried_out);
    json.number("largest_gap", s.largest_gap_mm);
    json.number("largest_gap_along", s.largest_gap_at_mm);
    json.number("certified_to", s.certified_to_mm);
    json.number("off_seam", s.off_seam_mm);
    json.number("off_seam_along", s.off_seam_at_mm);
    json.begin_list("gap");
    for (const auto& g : s.gap) json.numbers({}, {g.at_mm, g.gap_mm});
    json.end_list();
    json.path("left_edge", s.left_edge);
    json.path("right_edge", s.right_edge);
    json.number("least_margin", s.least_margin_mm);
    json.begin_list("reach");
    for (const auto& r : s.reach) {
        json.begin_group();
        json.count("step", r.step);
        json.number("least_radius_left", r.least_left_mm);
        json.number("least_radius_right", r.least_right_mm);
        json.number("margin", r.margin_mm);
        json.end_group();
    }
    json.end_list();
    json.begin_list("problems");
    for (const auto& p : s.problems) write_reach_problem(json, p);
    json.end_list();
    json.end_group();
}

void write_passes(job::JsonWriter& json, const std::optional<process::PassPlan>& plan) {
    if (!plan) {
        json.nothing("passes");
        return;
    }
    json.begin_group("passes");
    json.begin_list("each");
    for (const auto& pass : plan->passes) {
        json.begin_group();
        json.number("depth", pass.depth_mm);
        json.number("step", pass.step_mm);
        json.number("projection", pass.projection_mm);
        json.end_group();
    }
    json.end_list();
    json.number("length", plan->length_mm);
    json.number("minutes", plan->minutes);
    json.flag("deeper_than_flute", plan->deeper_than_flute);
    json.end_group();
}

void write_depth(job::JsonWriter& json, const std::optional<CutDepth>& depth) {
    if (!depth) {
        json.nothing("depth");
        return;
    }
    json.begin_group("depth");
    json.text("species", depth->species);
    json.number("density", depth->density_kg_m3);
    if (depth->usual) {
        json.number("usual_step", depth->usual->rules.step_mm);
    } else {
        json.nothing("usual_step");
    }
    json.flag("by_wood", depth->taken());
    if (depth->skim) {
        json.begin_group("skim");
        json.number("side", depth->skim->cut.side_mm);
        json.number("minutes", depth->skim->cut.minutes);
        json.number("rides_with", depth->skim->wanted_mm);
        json.text("rider", depth->skim->rider);
        json.number("leaves", depth->skim->leaves_mm);
        json.end_group();
    } else {
        json.nothing("skim");
    }
    json.begin_list("stages");
    for (std::size_t i = 0; depth->stages && i < depth->stages->stages.size(); ++i) {
        const process::Stage& stage = depth->stages->stages[i];
        json.begin_group();
        json.text("guided", stage.guided == process::GuidedBy::template_edge ? "template"
                            : stage.guided == process::GuidedBy::edge_above  ? "edge_above"
                                                                             : "edge_below");
        json.number("from", stage.from_mm);
        json.number("to", stage.to_mm);
        json.number("projection", stage.projection_mm);
        json.count("passes", stage.passes.size());
        json.number("minutes", stage.minutes);
        json.end_group();
    }
    json.end_list();
    json.end_group();
}

void write_step_plan(job::JsonWriter& json, const StepPlan& plan) {
    json.begin_group();
    json.text("title", plan.title);
    json.texts("lines", plan.lines);
    write_step(json, plan.step);
    write_passes(json, plan.passes);
    write_depth(json, plan.depth);
    if (plan.speed) {
        json.begin_group("speed");
        json.number("rpm", plan.speed->rpm);
        json.number("rim_m_per_s", plan.speed->rim_m_per_s);
        json.text("source", plan.speed->source);
        json.flag("from_memory", plan.speed->from_memory);
        json.end_group();
    } else {
        json.nothing("speed");
    }
    json.texts("cautions", plan.cautions);
    json.end_group();
}

void write_template(job::JsonWriter& json, const TemplatePlan& t) {
    json.begin_group();
    json.text("title", t.title);
    json.text("hand", t.hand);
    json.flag("by_hand", t.master);
    json.flag("body_on_left", t.body_on_left);
    json.text("rides", t.rides);
    json.number("offset", t.offset_mm);
    json.number("edge_at", t.nominal_n_mm);
    json.path("edge", t.edge);
    if (t.mating_edge) {
        json.path("mating_edge", *t.mating_edge);
    } else {
        json.nothing("mating_edge");
    }
    json.path("rough_cut", t.rough_cut);
    json.path("body", t.body);
    json.points("registration", t.registration);
    json.points("fastening", t.fastening);
    json.end_group();
}

void write_advice(job::JsonWriter& json, const seam::Advice& a) {
    json.begin_group();
    json.text("what", word(a.what));
    json.number("diameter", a.diameter_mm);
    json.flag("common_size", a.common_size);
    json.whole("tool_changes", a.tool_changes);
    json.text("with", a.with);
    json.text("chain", a.chain);
    json.end_group();
}

}  // namespace

void write_seam(job::JsonWriter& json, const SeamPlan& seam) {
    json.begin_group();
    json.text("name", seam.name);
    json.text("kind", job::name_of(seam.kind));
    json.text("verdict", seam.verdict);
    json.flag("closes", seam.closes);
    json.number("length", seam.length_mm);
    write_drawn(json, seam.drawn);
    if (seam.eased) write_eased(json, *seam.eased);
    if (seam.sprung) write_sprung(json, *seam.sprung);
    if (seam.stick) write_stick(json, *seam.stick);
    json.begin_list("bumps");
    for (const auto& bump : seam.bumps) {
        json.begin_group();
        json.number("along", bump.at_mm);
        json.point("at", bump.at);
        json.number("curvature", bump.curvature);
        json.flag("high", bump.high);
        json.number("stands_out", bump.stands_out);
        json.end_group();
    }
    json.end_list();
    if (seam.as_made) write_made(json, *seam.as_made);
    json.path("in_wood", seam.in_wood);
    json.flag("any_exact", seam.any_exact);
    json.begin_list("advice");
    for (const auto& a : seam.advice) write_advice(json, a);
    json.end_list();
    if (seam.chosen < seam.chains.size()) {
        json.text("chosen", seam.chains[seam.chosen].id);
    } else {
        json.nothing("chosen");
    }
    json.begin_list("chains");
    for (const auto& chain : seam.chains) write_chain(json, chain);
    json.end_list();
    write_simulation(json, seam.simulation);
    json.begin_list("steps");
    for (const auto& step : seam.steps) write_step_plan(json, step);
    json.end_list();
    json.begin_list("templates");
    for (const auto& t : seam.templates) write_template(json, t);
    json.end_list();
    json.end_group();
}

}  // namespace seamwright::plan
