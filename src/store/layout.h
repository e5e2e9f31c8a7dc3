#pragma once

#include <cstdint>
#include <span>

namespace seamwright::store {

/// Stands in the header of the file (PRAGMA application_id): "Seam".
inline constexpr std::int32_t application_id = 0x5365616D;

/// layouts()[n] makes a file of version n + 1 out of one of version n; version 0 is an empty file.
std::span<const char* const> layouts();

}  // namespace seamwright::store
