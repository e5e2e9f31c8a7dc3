#pragma once

#include "bench.h"

namespace seamwright::edit {

/// Makes a seam open, an inlay or an edging; what that kind cannot have is taken out, and what it needs is put in, near
/// where the seam was.
void change_kind(Bench& bench, const Steps& seam, const Json& kind);

}  // namespace seamwright::edit
