#pragma once

#include "bench.h"

namespace seamwright::edit {

using geometry::Point;

/// Stands where a wood has not been chosen yet; the reader says that the weight stays open.
using job::no_species;

struct PieceWords {
    geometry::Point at;
    std::optional<std::string> name, species;
    std::optional<double> grain_degrees;
};
/// What the piece at that place is called and made of; makes its entry when the job has none.
std::string describe_piece(Bench& bench, const PieceWords& words);

std::string take_shop_shelf(Bench& bench);

/// A place to name a piece by: in its middle, and round as long as it is still in the piece.
Point named_place(const plan::PiecePlan& piece, const Ruler& ruler);

[[noreturn]] void refuse_no_piece(const plan::Plan& plan);
/// The job's entry for the piece, made where it has none yet.
Json& entry_for(Bench& bench, const plan::PiecePlan& piece);

/// The piece of the plan that a place lies in.
const plan::PiecePlan* piece_at(const plan::Plan& plan, geometry::Point at);

}  // namespace seamwright::edit
