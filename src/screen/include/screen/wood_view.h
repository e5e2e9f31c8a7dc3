#pragma once

#include <cstdint>
#include <functional>
#include <string>

#include "edit/open_job.h"

namespace seamwright::screen {

/// `WoodView` of web/src/protocol.ts: which piece comes from which board, drawn, and how the top moves over the year.
/// Takes longer than a screen, so it is asked for on its own. `has_picture`: whether the picture of a board that goes
/// by this name can be shown.
std::string write_wood(const edit::OpenJob& job, std::int64_t version,
                       const std::function<bool(const std::string& picture)>& has_picture);

}  // namespace seamwright::screen
