#pragma once

#include <cstdint>

#include "calendar_model.h"

namespace seamwright::process::calendar {

/// The earliest finish, not before `low`, that counting alone does not rule out: times there are too few of, or shared
/// things that would have to do more than they can between two moments. `high` is possible.
int load_bound(const Model& model, int low, int high, std::uint64_t& effort);

/// Places one task after the other at its earliest, in the order of what has to start first and in many like it; better
/// orders are kept. The same every time. Stops at a finish of `enough`.
Found place_in_order(const Model& model, int enough, std::uint64_t until_effort, std::uint64_t& effort);

/// Tries every order in which tasks may share what there is; `best` becomes better where there is better. True: all
/// were tried, so `best` is the best (or there is no way, where it is none).
bool try_every_order(const Model& model, Found& best, int low, std::uint64_t until_effort, std::uint64_t& effort);

}  // namespace seamwright::process::calendar
