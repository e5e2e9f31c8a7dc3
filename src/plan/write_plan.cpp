#include <cmath>

#include "embedded/plan_schema.h"
#include "job/json_writer.h"
#include "plan/plan.h"
#include "write_seam.h"

namespace seamwright::plan {
namespace {

void write_piece(job::JsonWriter& json, const PiecePlan& piece) {
    json.begin_group();
    json.text("name", piece.name);
    json.flag("named", piece.named);
    json.text("species", piece.species);
    json.number("grain_radians", piece.grain_rad);
    json.number("area_mm2", piece.area_mm2);
    json.number("weight_kg", piece.weight_kg);
    if (piece.board) {
        json.begin_group("board");
        json.number("width", piece.board->width_mm);
        json.number("margin", piece.board->margin_mm);
        json.number("takes", piece.board->takes_mm);
        json.flag("fits", piece.board->fits);
        if (std::isfinite(piece.board->times_as_high)) json.number("times_as_high", piece.board->times_as_high);
        json.end_group();
    }
    json.box("box", piece.box);
    json.point("label_at", piece.label_at);
    json.region("region", piece.region);
    json.end_group();
}

void write_problem(job::JsonWriter& json, const job::Problem& p) {
    json.begin_group();
    json.text("weight", p.weight == job::Problem::Weight::error ? "error" : "warning");
    json.text("pointer", p.pointer);
    json.text("found", p.found);
    json.text("allowed", p.allowed);
    json.text("remedy", p.remedy);
    json.point("at", p.at);
    json.end_group();
}

void write_settings(job::JsonWriter& json, const Plan& plan) {
    json.begin_group("show");
    json.text("unit", plan.style.unit == units::Unit::inch ? "in" : "mm");
    json.whole("fractions", plan.style.denominator);
    json.whole("decimals", plan.style.decimals);
    json.flag("feet", plan.style.feet);
    json.end_group();

    json.begin_group("template");
    json.number("thickness", plan.sheet.thickness_mm);
    json.number("run_out", plan.sheet.run_out_mm);
    json.number("body", plan.sheet.body_mm);
    json.end_group();

    json.begin_group("limits");
    json.number("gap", plan.limits.gap_mm);
    json.number("first_pass", plan.limits.first_pass_mm);
    json.number("pass", plan.limits.pass_mm);
    json.number("last_pass", plan.limits.last_pass_mm);
    json.number("below_wood", plan.limits.below_wood_mm);
    json.number("feed_per_minute", plan.limits.feed_mm_per_min);
    json.number("reveal", plan.limits.reveal_mm);
    json.end_group();

    json.begin_group("paper");
    json.text("size", plan.paper.size);
    json.number("overlap", plan.paper.overlap_mm);
    json.number("margin", plan.paper.margin_mm);
    json.number("measured_x", plan.paper.correction.measured_x_mm);
    json.number("measured_y", plan.paper.correction.measured_y_mm);
    json.end_group();
}

}  // namespace

std::string write_plan(const Plan& plan) {
    job::JsonWriter json;
    json.begin_group();
    json.whole("seamwright_plan", 1);
    json.text("program_version", program_version);
    json.text("inputs_sha256", plan.inputs_sha256);
    json.text("name", plan.name);
    json.text("note", plan.note);
    json.text("lengths_in", "mm");
    write_settings(json, plan);

    json.begin_group("top");
    json.number("thickness", plan.thickness_mm);
    json.number("milled_thickness", plan.milled_mm);
    json.number("area_mm2", plan.area_mm2);
    if (plan.box.empty()) {
        json.nothing("box");
    } else {
        json.box("box", plan.box);
    }
    json.path("outline", plan.outline);
    json.end_group();

    json.begin_list("pieces");
    for (const auto& piece : plan.pieces) write_piece(json, piece);
    json.end_list();
    json.begin_list("seams");
    for (const auto& seam : plan.seams) write_seam(json, seam);
    json.end_list();
    json.begin_list("problems");
    for (const auto& problem : plan.problems) write_problem(json, problem);
    json.end_list();
    json.end_group();
    return json.take();
}

std::string_view plan_schema() {
    return embedded::plan_schema();
}

}  // namespace seamwright::plan
