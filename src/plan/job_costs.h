#pragma once

#include "plan/shop_study.h"

namespace seamwright::plan {

/// Wood, sheet goods, adhesive, finish, abrasives, cutter wear, and the labour of every step, by the job's prices.
process::CostSheet job_costs(const ShopStudy& study, const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                             const ShopInputs& inputs);

}  // namespace seamwright::plan
