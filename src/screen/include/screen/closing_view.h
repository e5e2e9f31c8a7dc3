#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

#include "edit/open_job.h"

namespace seamwright::screen {

/// `ClosingView` of web/src/protocol.ts: whether a seam closes with real tools and hands, and how it is pushed
/// together, clamped and glued. Takes some milliseconds more than a screen, so it is asked for on its own.
std::string write_closing(const edit::OpenJob& job, std::size_t seam, std::int64_t version);

}  // namespace seamwright::screen
