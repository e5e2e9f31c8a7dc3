#pragma once

#include "field.h"

namespace seamwright::screen {

/// `ShelfView` of web/src/protocol.ts; empty lists when `live`.
void write_shelf_view(job::JsonWriter& json, const Blanks& blanks, bool live);

}  // namespace seamwright::screen
