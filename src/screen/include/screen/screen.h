#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "edit/open_job.h"

namespace seamwright::screen {

/// What stands around a job and is not in it.
struct Around {
    std::int64_t id = 0;
    std::int64_t version = 0;
    bool live = false;  ///< leave out what does not change while a handle is dragged: cards, chains, shelf, papers
    /// Live, and named: the seam whose strip is looked at. The others come without theirs, which are a third of the
    /// text.
    std::optional<std::size_t> looks_at;
    std::string undo, redo;
    bool shelf_differs = false;
};

/// `Screen` of web/src/protocol.ts as JSON, one line, without "engine_us" (the server adds what it measured). Every
/// text in the job's units, coordinates to 0.001 mm. Deterministic.
std::string write_screen(const edit::OpenJob& job, const Around& around);

/// `ShopView` of web/src/protocol.ts: the steps of the job in the order in which they are done.
std::string write_shop_view(const edit::OpenJob& job, std::int64_t version);

}  // namespace seamwright::screen
