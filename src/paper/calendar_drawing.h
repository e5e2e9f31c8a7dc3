#pragma once

#include "plan/calendar_picture.h"
#include "text_pages.h"

namespace seamwright::paper {

/// The calendar drawn, in as many bands of days below each other as it takes. Days without work, and nights, are drawn
/// narrow. Each bar has an id: "bar work", "bar clamped", "bar wait"; what is shaded "closed" or "day off".
void draw_calendar(TextPages& pages, const plan::CalendarPicture& picture);

}  // namespace seamwright::paper
