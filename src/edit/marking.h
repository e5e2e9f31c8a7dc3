#pragma once

#include "bench.h"

namespace seamwright::edit {

/// What was drawn on a board through these places: `what` is "grain", a line along its fibres, or a kind of defect,
/// whose outline it is.
std::string mark_board(Bench& bench, const std::string& board, const std::string& what,
                       const std::vector<geometry::Point>& through);

}  // namespace seamwright::edit
