#pragma once

#include <string_view>
#include <vector>

#include "edit/open_job.h"
#include "job/json_writer.h"

namespace seamwright::screen {

/// `Handle[]` of web/src/protocol.ts.
void write_handles(job::JsonWriter& json, std::string_view key, const std::vector<edit::Handle>& handles);

}  // namespace seamwright::screen
