#pragma once

#include <string_view>

#include "job/json_writer.h"
#include "plan/closing_study.h"

namespace seamwright::screen {

/// `ToldPart` of web/src/protocol.ts.
void write_told(job::JsonWriter& json, std::string_view key, const plan::words::Told& told);

}  // namespace seamwright::screen
