#include "seam_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <variant>

#include "chains.h"
#include "handles.h"
#include "path_data.h"
#include "plan/words.h"
#include "seam_line.h"
#include "strip.h"

namespace seamwright::screen {
namespace {

void write_templates(job::JsonWriter& json, const plan::SeamPlan* seam) {
    json.begin_list("templates");
    if (seam != nullptr) {
        for (const plan::TemplatePlan& t : seam->templates) {
            json.begin_group();
            json.text("title", t.title);
            json.text("hand", t.hand);
            json.flag("master", t.master);
            json.text("edge", path_data(t.edge));
            json.text("body", path_data(t.body));
            json.text("rough_cut", path_data(t.rough_cut));
            json.points("registration", t.registration);
            json.points("fastening", t.fastening);
            json.end_group();
        }
    }
    json.end_list();
}

void write_advice(job::JsonWriter& json, const edit::OpenJob& job, std::size_t index) {
    json.begin_list("advice");
    for (const edit::ToolAdvice& advice : job.tool_advice()) {
        if (advice.seam != index) continue;
        json.begin_group();
        json.text("says", advice.says);
        json.text("remedy", advice.remedy);
        json.end_group();
    }
    json.end_list();
}

/// What the readings along the template say, and the readings themselves to go on from.
void write_made(job::JsonWriter& json, const job::Seam& asked, const plan::SeamPlan* seam) {
    if (!asked.as_made) {
        json.nothing("made");
        return;
    }
    json.begin_group("made");
    json.text("says", seam != nullptr && seam->as_made ? seam->as_made->verdict : std::string());
    json.text("readings", plan::words::times(asked.as_made->readings.size(), "reading", "readings"));
    json.end_group();
}

/// Why there is no plan of this seam: its own first error, else that of the job.
std::string unplanned(const edit::OpenJob& job, std::size_t index) {
    const std::string pointer = fmt::format("/seams/{}", index);
    for (const job::Problem& problem : job.problems()) {
        if (job::is_within(problem, pointer) && problem.weight == job::Problem::Weight::error)
            return fmt::format("Not planned yet: {}.", problem.found);
    }
    return "Not planned yet: first put right what is wrong elsewhere in this job.";
}

}  // namespace

std::string_view curve_kind(const edit::OpenJob& job, std::size_t index) {
    const job::Seam& seam = job.document().job.seams.at(index);
    if (seam.kind == job::SeamKind::edging) return "edging";
    const std::string curve = fmt::format("/seams/{}/curve", index);
    if (std::holds_alternative<curves::Straight>(seam.curve)) return "straight";
    if (std::holds_alternative<curves::Arc>(seam.curve)) return "arc";
    if (std::holds_alternative<curves::Sprung>(seam.curve)) return "sprung";
    if (std::holds_alternative<curves::Wave>(seam.curve)) return "wave";
    if (std::holds_alternative<curves::Pins>(seam.curve)) return "pins";
    if (std::holds_alternative<curves::Oval>(seam.curve))
        return job.written_at(curve + "/circle/diameter") ? "circle" : "oval";
    if (std::holds_alternative<curves::Traced>(seam.curve)) return "traced";
    if (job.written_at(curve + "/svg_path/d")) return "svg_path";
    return job.written_at(curve + "/points/csv") ? "points" : "lines_and_arcs";
}

void write_seam_view(job::JsonWriter& json, const edit::OpenJob& job, std::size_t index, const Around& around) {
    const job::Seam& asked = job.document().job.seams.at(index);
    const SeamLine line = seam_line(job, index);
    const plan::SeamPlan* seam = line.plan;
    json.begin_group();
    json.count("index", index);
    json.text("pointer", fmt::format("/seams/{}", index));
    json.text("name", asked.name);
    json.text("kind", job::name_of(asked.kind));
    json.text("as", curve_kind(job, index));
    json.text("d", path_data(line.in_wood));
    json.text("whole", path_data(line.whole));
    const bool moved = seam != nullptr && seam->eased && !seam->eased->unchanged;
    json.text("as_drawn", moved ? path_data(seam->eased->as_drawn) : std::string());
    write_handles(json, "handles", job.seam_handles(index));
    json.flag("closes", seam != nullptr && seam->closes);
    json.flag("planned", seam != nullptr && !seam->chains.empty());
    json.text("verdict", seam != nullptr ? seam->verdict : unplanned(job, index));
    write_made(json, asked, seam);
    write_templates(json, seam);
    json.text("left_edge", seam != nullptr ? path_data(seam->simulation.left_edge) : std::string());
    json.text("right_edge", seam != nullptr ? path_data(seam->simulation.right_edge) : std::string());
    if (around.live) {
        json.begin_list("chains");
        json.end_list();
        json.begin_list("advice");
        json.end_list();
    } else {
        write_chains(json, job, index);
        write_advice(json, job, index);
    }
    if (around.live && around.looks_at && *around.looks_at != index) {
        json.nothing("strip");
    } else {
        write_strip(json, job, index);
    }
    json.end_group();
}

}  // namespace seamwright::screen
