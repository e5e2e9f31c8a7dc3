#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "paper/drawing.h"

namespace seamwright::paper {

/// A page of a canvas shown through a window on another page: paper place = scale · place + shift, mm.
struct Shown {
    std::size_t page = 0;
    Correction scale;
    Point shift;
    Box window;  ///< on the paper
};

/// One page of the finished file.
struct BoundPage {
    std::size_t page = 0;  ///< of the canvas
    double width_mm = 0.0, height_mm = 0.0;
    Correction scale;  ///< of the page's own contents; the page size is given as it comes out
    std::optional<Shown> shown;
    std::string label;                   ///< what readers show instead of the page number
    std::vector<std::string> bookmarks;  ///< entries of the outline that lead here
};

/// A page no longer than 14,400 pt needs no user unit (PDF 32000-1:2008, annex C.2).
int user_unit(double width_mm, double height_mm);

/// Brings canvas pages back to size, shows drawings through windows, and adds outline, page labels and title. Pages of
/// the canvas that are not bound are dropped. No dates; the file's id follows from its contents.
std::string bind(const std::string& canvas_bytes, const std::vector<BoundPage>& pages, const std::string& title);

}  // namespace seamwright::paper
