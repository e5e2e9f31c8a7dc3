#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "paper/drawing.h"

namespace seamwright::paper {

/// The strip kept at the left and at the bottom of every sheet for the check bars and the sheet's name.
inline constexpr double frame_strip_mm = 15.0;

/// One sheet of a large drawing. Boxes are in the drawing's own coordinates.
struct Tile {
    std::size_t row = 0;     ///< from the top
    std::size_t column = 0;  ///< from the left
    std::string name;        ///< "B3": row letter, column number
    Box window;              ///< what the sheet shows
    Box cell;                ///< what is left after trimming at the joint lines; the cells cover the drawing once
    bool used = false;       ///< false: nothing is drawn there, the sheet is left out
};

struct TileGrid {
    bool landscape = false;
    double sheet_width_mm = 0.0, sheet_height_mm = 0.0;  ///< as the sheet lies
    Correction across;                                   ///< x along the sheet's width as it lies, y along its height
    Box window_on_sheet;                                 ///< where the window lies on the sheet
    double pitch_x_mm = 0.0, pitch_y_mm = 0.0;           ///< from joint line to joint line
    std::size_t rows = 0, columns = 0;
    std::vector<Tile> tiles;  ///< rows from the top, each from the left: tiles[row * columns + column]

    const Tile& at(std::size_t row, std::size_t column) const { return tiles[row * columns + column]; }
    std::size_t used() const;
};

/// How a drawing is laid over sheets. Errors as for tiled_pdf.
TileGrid tile_grid(const Drawing& drawing, const Tiling& tiling);

/// "A" .. "Z", "AA", "AB", ...
std::string row_name(std::size_t row);

}  // namespace seamwright::paper
