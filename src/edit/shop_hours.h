#pragma once

#include <string_view>

#include "tree.h"

namespace seamwright::edit {

/// The hours of one weekday: "/calendar/hours/monday".
bool is_weekday(const Steps& steps);

/// What a maker types for one day as the document holds it: "8–12, 13:00–17:00" is ["08:00-12:00", "13:00-17:00"],
/// "closed" and nothing are []. What is no time is kept as it was typed, for the reader to refuse.
Json typed_hours(std::string_view text);

/// Where the calendar says no hours yet, writes out the usual week, so that a day can be changed by itself. Nothing
/// where there is no calendar.
void begin_week(Json& tree);

}  // namespace seamwright::edit
