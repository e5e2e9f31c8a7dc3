#pragma once

#include "job/json_writer.h"
#include "plan/plan.h"

namespace seamwright::plan {

void write_seam(job::JsonWriter& json, const SeamPlan& seam);

}  // namespace seamwright::plan
