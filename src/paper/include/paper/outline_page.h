#pragma once

#include <vector>

#include "paper/drawing.h"
#include "plan/outline_study.h"

namespace seamwright::paper {

/// "Cutting the outline": the top to scale with the cuts numbered in their order, the feed, where it tears, what to
/// measure across; then everything that is told about it. Upright sheets of the job's paper. Of a study with cuts.
std::vector<Drawing> outline_pages(const plan::Plan& plan, const plan::OutlineStudy& study, const job::Job& job);

}  // namespace seamwright::paper
