#include "test_cut_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <stdexcept>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "edit/open_job.h"
#include "paper/test_cut_sheet.h"
#include "plan/test_cut_study.h"
#include "refuse.h"
#include "shelf/find_tool.h"
#include "told_text.h"

namespace seamwright::app {
namespace {

/// The tools of the first step that is routed with a guide.
void take_from_plan(const plan::Plan& plan, const shelf::Shelf& shelf, std::string& guide, std::string& cutter) {
    for (const auto& seam : plan.seams) {
        if (seam.chosen >= seam.chains.size()) continue;
        for (const auto& step : seam.chains[seam.chosen].steps) {
            if (!step.pair || step.pair->rides != seam::Pair::Rides::guide) continue;
            if (guide.empty()) guide = shelf.guides.at(step.pair->rider).name;
            if (cutter.empty()) cutter = shelf.cutters.at(step.pair->cutter).name;
            return;
        }
    }
}

template <class Tool>
std::optional<FileRefusal> missing(const std::vector<Tool>& tools, const std::string& name, const char* what) {
    if (shelf::find_tool(tools, name) != nullptr) return std::nullopt;
    std::string known;
    for (const Tool& tool : tools) known += (known.empty() ? "" : ", ") + tool.name;
    return FileRefusal{name.empty() ? fmt::format("No {} is named, and the plan uses none.", what)
                                    : fmt::format("The shelf has no {} named {}.", what, name),
                       fmt::format("Name one with --{}: {}.", what, known.empty() ? "there is none" : known)};
}

Exit write_sheet(const job::Document& document, const plan::Plan& plan, const TestCutWish& wish, std::ostream& out,
                 std::ostream& err) {
    std::string guide = wish.guide, cutter = wish.cutter;
    take_from_plan(plan, document.shelf, guide, cutter);
    if (const auto why = missing(document.shelf.guides, guide, "guide")) return refuse(*why, Exit::bad_input, err);
    if (const auto why = missing(document.shelf.cutters, cutter, "cutter")) return refuse(*why, Exit::bad_input, err);
    std::string bytes;
    try {
        bytes = paper::sheet_pdf(paper::test_cut_sheets(document.shelf, guide, cutter, document.job));
    } catch (const std::invalid_argument& why) {
        return refuse({fmt::format("No test cut can be made with {} and {}: {}.", guide, cutter, why.what()),
                       "Name a cutter that passes through the guide."},
                      Exit::bad_input, err);
    }
    if (const auto why = write_file(wish.sheet, bytes)) return refuse(*why, Exit::cannot_write, err);
    out << wrapped(
        "", printable(fmt::format("Sheet for a test cut with {} and {} written to {}. Print it at full size.", guide,
                                  cutter, wish.sheet)));
    return Exit::good;
}

}  // namespace

Exit test_cut(const std::string& text, const job::Document& document, const plan::Plan& plan, const TestCutWish& wish,
              std::ostream& out, std::ostream& err) {
    if (!wish.sheet.empty()) return write_sheet(document, plan, wish, out, err);
    const shelf::Shelf& shelf = document.shelf;
    if (shelf.test_cuts.empty()) {
        return refuse(
            {"There is no test cut on the shelf of this job.",
             "Print a sheet first with -o SHEET.pdf, cut and measure, and write the readings into the job under "
             "\"test_cuts\" of the shelf (docs/job-file.md)."},
            Exit::bad_input, err);
    }
    std::string told, edits;
    shelf::Shelf after = shelf;
    bool refused = false;
    for (std::size_t i = 0; i < shelf.test_cuts.size(); ++i) {
        const shelf::TestCut& cut = shelf.test_cuts[i];
        const auto study = plan::study_test_cut(shelf, cut, i, document.job.style);
        if (!cut.on.empty()) told += wrapped("", printable(cut.on));
        told += told_text("", plan::words::test_cut_text(study, cut, document.job.style)) + '\n';
        after = plan::learned(std::move(after), cut, study);
        refused = refused || !study.can_be_kept;
        if (study.can_be_kept)
            edits += fmt::format("{}{{\"learn\":\"/shelf/test_cuts/{}\"}}", edits.empty() ? "" : ",", i);
    }
    out << told
        << told_text("", plan::words::relearned_text(plan::relearned(plan, document.job, after), document.job.style));
    if (wish.keep.empty()) return Exit::good;
    if (edits.empty()) {
        return refuse({"None of these test cuts can be taken over.", "Put right what is said above first."},
                      Exit::bad_input, err);
    }
    const auto refuse_first = [&](const edit::Refused& why) {
        return refuse({why.problems.front().found, why.problems.front().remedy}, Exit::bad_input, err);
    };
    const auto opened = edit::OpenJob::open(text);
    if (const auto* why = std::get_if<edit::Refused>(&opened)) return refuse_first(*why);
    const auto edited = std::get<edit::OpenJob>(opened).edited('[' + edits + ']');
    if (const auto* why = std::get_if<edit::Refused>(&edited)) return refuse_first(*why);
    if (const auto why = write_file(wish.keep, std::get<edit::OpenJob::Edited>(edited).job.text()))
        return refuse(*why, Exit::cannot_write, err);
    out << '\n'
        << wrapped("", printable(fmt::format("The job with these sizes on its shelf is written to {}.{}", wish.keep,
                                             refused ? " What could not be taken over is left as it was." : "")));
    return Exit::good;
}

}  // namespace seamwright::app
