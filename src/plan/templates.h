#pragma once

#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// The full-size templates of the chain that was carried out, in the order of making.
///
/// Rough cuts are parallels of the wanted edge, the seam itself, at the maker's reveal into the waste. They are left
/// out where a template never lies on the wood it shapes: templates that are only copied, and cuts made from the waste
/// side.
std::vector<TemplatePlan> plan_templates(const job::Job& job, const shelf::Shelf& shelf, const std::string& seam_name,
                                         const Path& in_wood, const seam::Chain& chain,
                                         const seam::Simulation& simulation, const Path& outline);

/// "30 mm guide, 10 mm cutter": the names on the shelf.
std::string rider_words(const shelf::Shelf& shelf, const seam::Pair& pair);

/// The blank behind an edge, closed and counter-clockwise; empty for a plate within its closed edge.
Path template_body(const Path& edge, bool body_on_left, double body_mm);

}  // namespace seamwright::plan
