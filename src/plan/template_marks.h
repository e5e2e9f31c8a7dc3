#pragma once

#include <vector>

#include "plan/plan.h"

namespace seamwright::plan {

/// Marks off the seam: on the body of the template, for an open seam beyond both ends of the wood, for a closed one
/// at the quarters of the edge.
std::vector<Point> registration_marks(const TemplatePlan& t, const job::TemplateSheet& sheet, const Path& outline);

/// Places to hold the template with tape or clamps: on its body, out of the cutter's way. The wood under them is
/// finished wood; where screws may go is told in rough_cut_study.h.
std::vector<Point> fastening_points(const TemplatePlan& t, const job::TemplateSheet& sheet, const Path& outline);

}  // namespace seamwright::plan
