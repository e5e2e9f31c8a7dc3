#pragma once

#include "edit/open_job.h"
#include "job/json_writer.h"

namespace seamwright::screen {

/// `Papers` of web/src/protocol.ts. Empty lists when `live`, and while errors stand in the way of printing.
void write_papers(job::JsonWriter& json, const edit::OpenJob& job, bool live);

}  // namespace seamwright::screen
