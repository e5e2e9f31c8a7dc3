#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace seamwright::store {

/// A text told by another one, the base: its first `head` bytes, then `middle`, then its last `tail` bytes.
struct Difference {
    std::size_t head = 0, tail = 0;
    std::string_view middle;  ///< into the text that was compared
};

/// Longest common beginning, then longest common end of what is left.
Difference difference(std::string_view base, std::string_view text);

/// nullopt: the base is too short for this difference, so it is another one.
std::optional<std::string> joined(std::string_view base, const Difference& difference);

}  // namespace seamwright::store
