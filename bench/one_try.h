#pragma once

#include <functional>

namespace seamwright::bench {

/// Peers that take longer than this are left out.
inline constexpr double longest_try_s = 5.0;

/// Does the work once in a process of its own and says whether it came back in time. A peer that hangs, throws or runs
/// out of memory does not stop the others.
bool finishes_in_time(const std::function<void()>& work);

}  // namespace seamwright::bench
