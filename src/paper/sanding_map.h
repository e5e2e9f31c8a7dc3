#pragma once

#include "paper/drawing.h"
#include "plan/plan.h"

namespace seamwright::paper {

/// Heights are drawn larger than they are by this much: the highest and lowest come to about 30 mm.
double sanding_exaggeration(const plan::MadePlan& made);

}  // namespace seamwright::paper
