#pragma once

#include "edit/open_job.h"
#include "job/json_writer.h"

namespace seamwright::screen {

/// `Problem[]` of web/src/protocol.ts, errors first.
void write_problems(job::JsonWriter& json, const edit::OpenJob& job);

}  // namespace seamwright::screen
