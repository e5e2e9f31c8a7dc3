#pragma once

#include <string>
#include <vector>

#include "job/job.h"
#include "paper/drawing.h"
#include "shelf/shelf.h"

namespace seamwright::paper {

/// What a test cut is made from and read on: the two coupons at full size with the cuts, how the router is held and the
/// numbered places to measure; then how to go about it, cautions, and a table to write the readings into. Upright
/// sheets of the job's paper. Throws std::invalid_argument for tools that are not on the shelf, or that do not go
/// together (the cutter is not narrower than the guide).
std::vector<Drawing> test_cut_sheets(const shelf::Shelf& shelf, const std::string& guide, const std::string& cutter,
                                     const job::Job& job);

}  // namespace seamwright::paper
