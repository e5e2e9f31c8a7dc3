#pragma once

#include <string_view>

#include "job/json_writer.h"
#include "plan/section.h"

namespace seamwright::screen {

/// `Section` of web/src/protocol.ts.
void write_section(job::JsonWriter& json, std::string_view key, const plan::Section& section);

}  // namespace seamwright::screen
