#pragma once

#include "edit/open_job.h"
#include "job/json_writer.h"

namespace seamwright::screen {

/// `Strip` of web/src/protocol.ts, or null where nothing could be carried out.
void write_strip(job::JsonWriter& json, const edit::OpenJob& job, std::size_t seam);

}  // namespace seamwright::screen
