#pragma once

#include <vector>

#include "paper/drawing.h"
#include "plan/closing_study.h"

namespace seamwright::paper {

/// "How this seam closes", on as many upright sheets of the job's paper as it takes: the pieces with the push and the
/// clamps to scale, what stays open and the pressure along the unrolled seam, and everything that is told about it,
/// with cautions and places to write what was found.
std::vector<Drawing> closing_pages(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::ClosingStudy& study,
                                   const job::Job& job);

}  // namespace seamwright::paper
