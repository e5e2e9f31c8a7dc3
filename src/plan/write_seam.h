#pragma once

#include "json_writer.h"
#include "plan/plan.h"

namespace seamwright::plan {

void write_seam(JsonWriter& json, const SeamPlan& seam);

}  // namespace seamwright::plan
