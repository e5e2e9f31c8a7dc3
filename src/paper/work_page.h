#pragma once

#include <cstddef>

#include "canvas.h"

namespace seamwright::paper {

/// A canvas page that holds a whole drawing and nothing else.
struct WorkPage {
    std::size_t page = 0;
    Point origin;  ///< the drawing's coordinates of the page's lower left corner
    double width_mm = 0.0, height_mm = 0.0;
};
WorkPage draw_work_page(Canvas& canvas, const Drawing& drawing);

void draw_all(Canvas& canvas, const Drawing& drawing);

}  // namespace seamwright::paper
