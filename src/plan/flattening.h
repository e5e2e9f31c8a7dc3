#pragma once

#include "plan/shop_study.h"

namespace seamwright::plan {

/// How the glued top is got flat, with the widest straight cutter on the shelf. `boards`: nullptr where not known.
FlatteningStudy study_flattening(const Plan& plan, const shelf::Shelf& shelf, const BoardsStudy* boards);

}  // namespace seamwright::plan
