#pragma once

#include "job/json_writer.h"
#include "plan/finished_look.h"

namespace seamwright::screen {

/// `FinishedView` of web/src/protocol.ts, under "finished".
void write_finished(job::JsonWriter& json, const plan::FinishedLook& look);

}  // namespace seamwright::screen
