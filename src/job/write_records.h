#pragma once

#include "job/json_writer.h"
#include "shelf/shelf.h"

namespace seamwright::job {

/// Discs and work that was done, where the shelf has them.
void write_records(JsonWriter& w, const shelf::Shelf& shelf);

}  // namespace seamwright::job
