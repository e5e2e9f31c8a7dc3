#pragma once

#include "bench.h"

namespace seamwright::edit {

/// Puts what the job has noted of its work on the shelf, with what the plan had told of it, for other jobs to learn
/// from; and first what the shop's shelf has that this job's does not. The same step of the same job on the same day
/// is kept once. Throws Refusal when there is nothing to keep.
std::string keep_record(Bench& bench);

}  // namespace seamwright::edit
