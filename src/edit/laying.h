#pragma once

#include "bench.h"

namespace seamwright::edit {

/// A part of the top laid on a board by hand.
struct Laying {
    geometry::Point piece;              ///< a place of the top in the piece
    std::size_t strip = 0, of = 0;      ///< of a piece that is glued up: which of how many; 0: the whole piece
    std::string board;                  ///< by its name on the shelf
    geometry::Point at;                 ///< of the board, where the middle of the part's box comes to lie
    bool turned = false, over = false;  ///< end for end, face down
};
/// What stands a little over the edge of its board is moved back onto it.
std::string lay_part(Bench& bench, const Laying& laying);

/// The board of that name; refuses one that is not there.
std::size_t number_of_board(const shelf::Shelf& shelf, const std::string& name);

/// Lets the plan choose again where it lies.
std::string free_part(Bench& bench, geometry::Point piece, std::size_t strip);

}  // namespace seamwright::edit
