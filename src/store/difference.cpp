#include "difference.h"

#include <algorithm>

namespace seamwright::store {

Difference difference(std::string_view base, std::string_view text) {
    const auto head = std::mismatch(base.begin(), base.end(), text.begin(), text.end()).second - text.begin();
    const auto rest_of_base = base.substr(static_cast<std::size_t>(head));
    const auto rest = text.substr(static_cast<std::size_t>(head));
    const auto tail =
        std::mismatch(rest_of_base.rbegin(), rest_of_base.rend(), rest.rbegin(), rest.rend()).second - rest.rbegin();
    const auto tail_size = static_cast<std::size_t>(tail);
    return {static_cast<std::size_t>(head), tail_size, rest.substr(0, rest.size() - tail_size)};
}

std::optional<std::string> joined(std::string_view base, const Difference& difference) {
    const auto& [head, tail, middle] = difference;
    if (head > base.size() || tail > base.size() - head) return {};
    std::string text;
    text.reserve(head + middle.size() + tail);
    text.append(base.substr(0, head)).append(middle).append(base.substr(base.size() - tail));
    return text;
}

}  // namespace seamwright::store
