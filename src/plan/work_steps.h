#pragma once

#include "plan/shop_study.h"

namespace seamwright::plan {

/// All steps in the order of the work, with their minutes by common practice and what each has to wait for.
std::vector<WorkStep> work_steps(const ShopStudy& study, const Plan& plan, const job::Job& job,
                                 const shelf::Shelf& shelf, const ShopInputs& inputs);

}  // namespace seamwright::plan
