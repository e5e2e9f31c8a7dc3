#pragma once

#include <optional>
#include <string_view>

#include "app/server_listener.h"

namespace seamwright::app {

/// A file of the page by its path; "/" is the page itself and "/shop" the view for the workshop. Only names in the
/// table of embedded files: no file system stands behind it. nullopt: none of that name.
std::optional<Answer> page_answer(const Asked& asked);

}  // namespace seamwright::app
