#pragma once

#include "job/job.h"
#include "paper/drawing.h"

namespace seamwright::paper {

/// A disc at full size to paste on the wood, marked every 10° from the direction of its fibres, counter-clockwise; how
/// to rout it, held fast on a carrier; and a table to write down what is seen on its rim. On sheets of the job's size.
/// Not of a species: which wood it was is written on it.
std::vector<Drawing> disc_sheets(const job::Job& job);

/// The disc's radius. Goli et al. (Materials 2018, 11, 2575) routed round workpieces; 150 mm across is our choice: it
/// fits a sheet, and 10° of its rim are 13 mm.
inline constexpr double disc_radius_mm = 75.0;

}  // namespace seamwright::paper
