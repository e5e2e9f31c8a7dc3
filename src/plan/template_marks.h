#pragma once

#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// Marks off the seam: on the body of the template, for an open seam beyond both ends of the wood, for a closed one
/// at the quarters of the edge.
std::vector<Point> registration_marks(const TemplatePlan& t, const job::TemplateSheet& sheet, const Path& outline);

/// Places to fasten the template: on its body over the wood, out of the cutter's way.
std::vector<Point> fastening_points(const TemplatePlan& t, const job::TemplateSheet& sheet, const Path& outline);

}  // namespace seamwright::plan
