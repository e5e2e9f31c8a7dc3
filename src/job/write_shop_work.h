#pragma once

#include "job/job.h"
#include "job/json_writer.h"

namespace seamwright::job {

/// Edges, finish, calendar, prices and what was measured, where the job has them.
void write_shop_work(JsonWriter& w, const Job& job);

}  // namespace seamwright::job
