#pragma once

#include <cstdint>
#include <optional>

#include "calendar_model.h"

namespace seamwright::process::calendar {

/// Whether counting alone shows that not all can be done by `finish`: times there are too few of, or shared things that
/// would have to do more than they can between two moments.
bool shown_impossible(const Model& model, int finish, std::uint64_t& effort);

/// The earliest finish that `shown_impossible` does not rule out, not before `low`; `high` is possible.
int load_bound(const Model& model, int low, int high, std::uint64_t& effort);

/// Places one task after the other at its earliest, in the order of what has to start first and in many like it; better
/// orders are kept. The same every time. Stops at a finish of `enough`.
Found place_in_order(const Model& model, int enough, std::uint64_t until_effort, std::uint64_t& effort);

/// Tries every order in which tasks may share what there is; `best` becomes better where there is better. True: all
/// were tried, so `best` is the best (or there is no way, where it is none).
bool try_every_order(const Model& model, Found& best, int low, std::uint64_t until_effort, std::uint64_t& effort);

}  // namespace seamwright::process::calendar
