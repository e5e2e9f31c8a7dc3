#pragma once

#include <cstdint>
#include <vector>

#include "profile.h"

namespace seamwright::stock {

/// Thousandths of a millimetre: sums of them do not round.
using Micrometres = std::int32_t;
constexpr double um_per_mm = 1000.0;
/// Where no wood is known: no shape lies above it or below it on its account. Sums of two still fit.
constexpr Micrometres far_um = 1 << 28;

/// How finely bodies are known: the length of a cell is two to the power of this in thousandths of a millimetre.
enum class Fineness : std::int32_t { coarse = 12, fine = 10 };
constexpr Micrometres cell_um(Fineness fineness) {
    return Micrometres{1} << static_cast<std::int32_t>(fineness);
}

/// What certainly is wood of a shape (or no wood, of a defect): never more than the shape has, so that what finds no
/// room beside it finds none beside the shape. By x from its left end in cells side by side, the last one maybe a part
/// of a cell; by y from its lowest point. Hollows across the board count as wood.
struct Body {
    Fineness fineness = Fineness::coarse;
    Micrometres length = 0;
    Micrometres height = 0;
    double left_mm = 0.0, low_mm = 0.0;  ///< of the shape: its left end and the lowest of the body
    /// At the ends of the cells that lie within the length, and over the whole of each cell.
    std::vector<Micrometres> top, bottom, cell_top, cell_bottom;
};

/// Points along a closed path, joined by chords that keep inside it: on arcs that bulge outwards, beside the others.
std::vector<Point> corners_within(Path closed);

/// `corners` counter-clockwise. Grown by a disc of `grow_mm`.
Body body_of(const std::vector<Point>& corners, double grow_mm, Fineness fineness);

/// What is certainly not board below and above it, over its bounding box grown by `give_mm` all round: no body lies
/// over `below.top` or under `above.bottom`. Both by y from the board's own origin, by x from the box's left end.
struct BoardBodies {
    Body below, above;
};
BoardBodies bodies_of(const shelf::Board& board, double give_mm, Fineness fineness);

}  // namespace seamwright::stock
