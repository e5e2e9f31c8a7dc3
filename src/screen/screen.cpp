#include "screen/screen.h"

#include <fmt/format.h>

#include <algorithm>

#include "cards.h"
#include "drawing.h"
#include "job/json_writer.h"
#include "papers_view.h"
#include "plan/words.h"
#include "problems.h"
#include "seam_view.h"
#include "shelf_view.h"

namespace seamwright::screen {
namespace {

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
    return text;
}

/// One sentence about the whole job.
std::string verdict(const edit::OpenJob& job) {
    const plan::Plan& plan = job.plan();
    const auto errors = std::count_if(job.problems().begin(), job.problems().end(),
                                      [](const job::Problem& p) { return p.weight == job::Problem::Weight::error; });
    if (errors > 0) {
        const auto count = static_cast<std::size_t>(errors);
        return fmt::format("Not ready: {} to put right.", plan::words::times(count, "thing", "things"));
    }
    if (plan.seams.empty()) return "A plain top, without a seam yet.";
    std::vector<std::string> open;
    double largest_mm = 0.0;
    bool by_hand = false;
    for (const auto& seam : plan.seams) {
        if (!seam.closes) open.push_back(seam.name);
        largest_mm = std::max(largest_mm, seam.simulation.largest_gap_mm);
        by_hand = by_hand || (seam.chosen < seam.chains.size() && seam.chains[seam.chosen].prints_mating);
    }
    if (!open.empty()) return fmt::format("{} {} not close yet.", listed(open), open.size() == 1 ? "does" : "do");
    const std::string limit = units::show_thin(plan.limits.gap_mm, plan.style.unit);
    const std::string_view all = plan.seams.size() == 1 ? "The seam closes" : "All seams close";
    if (by_hand) return fmt::format("{}, as well as templates made by hand follow their lines.", all);
    return fmt::format("{}: the largest gap is {}, your limit {}.", all, units::show_thin(largest_mm, plan.style.unit),
                       limit);
}

}  // namespace

std::string write_screen(const edit::OpenJob& job, const Around& around) {
    const plan::Plan& plan = job.plan();
    const Blanks blanks(job);
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.json("id", fmt::format("{}", around.id));
    json.json("version", fmt::format("{}", around.version));
    json.flag("live", around.live);
    json.text("name", plan.name);
    json.text("note", plan.note);
    json.text("unit", plan.style.unit == units::Unit::inch ? "in" : "mm");
    json.text("undo", around.undo);
    json.text("redo", around.redo);
    json.flag("shelf_differs", around.shelf_differs);
    json.text("verdict", verdict(job));
    write_drawing(json, job);
    json.begin_list("seams");
    for (std::size_t i = 0; i < job.document().job.seams.size(); ++i) write_seam_view(json, job, i, around);
    json.end_list();
    write_problems(json, job);
    write_cards(json, blanks, around.live);
    write_shelf_view(json, blanks, around.live);
    write_papers(json, job, around.live);
    json.end_group();
    return json.take();
}

}  // namespace seamwright::screen
