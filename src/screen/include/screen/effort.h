#pragma once

#include <cstdint>

namespace seamwright::screen {

/// The page waits for the layout of the boards: less is tried than on the command line.
inline constexpr std::uint64_t effort_of_page = 20'000'000;

}  // namespace seamwright::screen
