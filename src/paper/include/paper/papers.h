#pragma once

#include <string>
#include <vector>

#include "paper/drawing.h"
#include "plan/plan.h"

namespace seamwright::paper {

/// The full-size drawing of one template.
Drawing template_drawing(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::TemplatePlan& which);
/// The whole top, to a scale that fits one sheet.
Drawing overview_drawing(const plan::Plan& plan, const SheetSize& sheet);

/// A file to be written: name (no folders) and bytes.
struct PaperFile {
    std::string name;
    std::string bytes;
    std::string says;  ///< what it is, for the list the maker sees
};
/// Everything that goes on paper for this plan.
std::vector<PaperFile> all_papers(const plan::Plan& plan);

}  // namespace seamwright::paper
