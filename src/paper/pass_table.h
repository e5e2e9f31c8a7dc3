#pragma once

#include "plan/plan.h"
#include "text_pages.h"

namespace seamwright::paper {

/// The passes of a step that cuts wood, a row for each with a box to tick; nothing for other steps.
void pass_table(TextPages& pages, const plan::StepPlan& step, const units::LengthStyle& style);

}  // namespace seamwright::paper
