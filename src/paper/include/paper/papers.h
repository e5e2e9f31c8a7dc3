#pragma once

#include <optional>
#include <string>
#include <vector>

#include "job/read.h"
#include "paper/drawing.h"
#include "plan/feed_study.h"
#include "plan/outline_study.h"
#include "plan/plan.h"
#include "plan/rough_cut_study.h"

namespace seamwright::paper {

/// The full-size drawing of one template, which stands in `plan`. With what is known of the rough cut: where screws go
/// and where only tape, and the marks to carry on to the wood; and with the feed the strokes of the router beside the
/// edges that it guides. The strokes stay within what is drawn without them: an empty study draws the legend alone, at
/// the same size.
Drawing template_drawing(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::TemplatePlan& which,
                         const plan::RoughCutStudy* rough = nullptr, const plan::FeedStudy* feed = nullptr);
/// The same of a template of the outline.
Drawing outline_template_drawing(const plan::Plan& plan, const plan::OutlineTemplate& of);
/// The whole top, to a scale that fits one sheet.
Drawing overview_drawing(const plan::Plan& plan, const SheetSize& sheet);

/// The sanding map of a seam with readings (seam.as_made): along the unrolled edge at full size, heights larger, as
/// said on it.
Drawing sanding_map(const plan::Plan& plan, const plan::SeamPlan& seam);

/// A file to be written: name (no folders) and bytes.
struct PaperFile {
    std::string name;
    std::string bytes;
    std::string says;  ///< what it is, for the list the maker sees
};
/// Everything that goes on paper for this plan. With the document it was made of, also how each seam closes (that
/// depends on the maker's tools, clamps and glue), how it is cut to its outline with the templates for that, and on the
/// templates of seams where they are screwed to the rough wood and how the router is fed along them, with the fibres of
/// the boards where the shelf has boards.
std::vector<PaperFile> all_papers(const plan::Plan& plan, const job::Document* document = nullptr);

/// The names of those files, in the same order, without making them.
struct PaperName {
    std::string name;
    std::string says;
};
std::vector<PaperName> paper_names(const plan::Plan& plan, const job::Document* document = nullptr);
/// One of those files by its name; or reference_marks_name, sheets of marks for photographs on the job's paper; or
/// "test-cut-1.pdf", the sheet for the first test cut on the document's shelf, or "disc.pdf", the sheet of a routed
/// disc. nullopt when there is none of that name.
std::optional<PaperFile> one_paper(const plan::Plan& plan, const std::string& name,
                                   const job::Document* document = nullptr);
inline constexpr std::string_view reference_marks_name = "reference-marks.pdf";
inline constexpr std::string_view disc_sheet_name = "disc.pdf";

/// How the job wants its sheets. Throws std::invalid_argument for a sheet that find_sheet does not know, or a bar
/// measured as nothing.
Tiling tiling_for(const job::Paper& paper);

}  // namespace seamwright::paper
