#pragma once

#include "bench.h"

namespace seamwright::edit {

/// After a name was changed: whatever calls the thing by its name follows. `steps` is the place of the name.
void follow_name(Bench& bench, const Steps& steps, const Json& old_name);

/// After a tool was taken off the shelf: cutters no longer name a bearing that is gone.
void forget_bearing(Json& tree, const Steps& removed, const Json& gone);

}  // namespace seamwright::edit
