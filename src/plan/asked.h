#pragma once

#include "plan/plan.h"

namespace seamwright::plan {

/// What the job says of a piece; nullptr where it does not name it.
inline const job::Piece* asked_of(const job::Job& job, const PiecePlan& piece) {
    for (const job::Piece& asked : job.pieces)
        if (asked.name == piece.name) return &asked;
    return nullptr;
}

}  // namespace seamwright::plan
