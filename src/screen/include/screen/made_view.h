#pragma once

#include <cstdint>
#include <string>

#include "edit/open_job.h"

namespace seamwright::screen {

struct AroundMade {
    std::int64_t version = 0;
    std::string undo;  ///< what would be undone; empty: nothing
    /// Notes can be written and nothing else: the shelf is not the phone's.
    bool notes_only = false;
};

/// `MadeView` of web/src/protocol.ts as JSON, one line: the steps of the work, what was noted at each, what that tells,
/// and what the shop has learnt. Tenths of a second. Deterministic.
std::string write_made(const edit::OpenJob& job, const AroundMade& around);

}  // namespace seamwright::screen
