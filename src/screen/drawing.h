#pragma once

#include "edit/open_job.h"
#include "job/json_writer.h"

namespace seamwright::screen {

/// `Drawing` of web/src/protocol.ts. Where the outline cannot be drawn, its box still holds what the job says about
/// its size, so that the page has something to show the problem on.
void write_drawing(job::JsonWriter& json, const edit::OpenJob& job);

}  // namespace seamwright::screen
