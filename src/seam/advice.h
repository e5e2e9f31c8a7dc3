#pragma once

#include "seam/chain.h"

namespace seamwright::seam {

/// Single purchases that make an exact chain of at most two templates: a few of each kind, best first.
std::vector<Advice> advice_for(const shelf::Shelf& shelf, const Depths& depths);

}  // namespace seamwright::seam
