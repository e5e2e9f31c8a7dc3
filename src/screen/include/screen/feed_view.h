#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

#include "edit/open_job.h"

namespace seamwright::screen {

/// `FeedView` of web/src/protocol.ts: along both sides of a seam the angle between edge and fibres, where fibres lift,
/// and how the router is fed; with the fibres of the boards where the shelf has boards. Asked for on its own, for
/// laying out boards takes longer than a frame.
std::string write_feed(const edit::OpenJob& job, std::size_t seam, std::int64_t version);

}  // namespace seamwright::screen
