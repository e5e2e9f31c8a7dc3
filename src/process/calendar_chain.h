#pragma once

#include <vector>

#include "calendar_model.h"
#include "process/calendar.h"

namespace seamwright::process::calendar {

/// Who does what, with every task as early as that leaves it; how late each could be; what decided the end.
/// `from` is when the plan begins. Fills tasks, finish, chain, together.
void lay_out(const Model& model, const Found& found, int from, std::chrono::local_days first_day, Schedule& schedule);

}  // namespace seamwright::process::calendar
