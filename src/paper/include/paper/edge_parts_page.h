#pragma once

#include <vector>

#include "paper/drawing.h"
#include "plan/build_up_study.h"
#include "plan/edging_study.h"

namespace seamwright::paper {

/// Rings of segments and the build-up, on as many upright sheets of the job's paper as it takes: each ring to scale
/// with its numbered segments, joints and the seams that meet it, one segment on its board, a table of all; the
/// build-up from above and each edge from outside, its parts under the pieces they belong to, and a table with places.
/// Empty where the job has neither. `build_up`: nullptr for none. The sheets are numbered among themselves.
std::vector<Drawing> edge_parts_pages(const plan::Plan& plan, const plan::MovementStudy& movement,
                                      const plan::BuildUpStudy* build_up, const job::Job& job,
                                      const shelf::Shelf& shelf);

}  // namespace seamwright::paper
