#pragma once

#include <cstdint>

namespace seamwright::plan {

/// What is tried to lay the pieces on boards while the page waits: less than on the command line.
inline constexpr std::uint64_t effort_of_page = 20'000'000;

}  // namespace seamwright::plan
