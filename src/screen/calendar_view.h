#pragma once

#include "job/job.h"
#include "job/json_writer.h"
#include "plan/shop_study.h"

namespace seamwright::screen {

/// `CalendarView` of web/src/protocol.ts, under "calendar": days across, steps down; null without a schedule.
void write_calendar(job::JsonWriter& json, const plan::ShopStudy& shop, const job::Job& job);

}  // namespace seamwright::screen
