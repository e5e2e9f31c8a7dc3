#pragma once

#include <string>

#include "paper/drawing.h"

namespace seamwright::paper {

/// Sheets of reference marks for photographs (trace/marks.h, trace/view.h), two strips of three marks on each, at full
/// size, with check bars; on the first page what to do with them. The sheet lies on its side.
struct MarkSheets {
    int strips = 8;   ///< 2 .. trace::most_strips
    SheetSize sheet;  ///< A4 or Letter; larger ones hold the same two strips
    Correction correction;
};
/// Throws std::invalid_argument for strips out of range, a sheet too small, or a correction out of range.
std::string marks_pdf(const MarkSheets& sheets);

/// Where the marks of a sheet lie on it, for checking: the middle of mark 3 n + k of the sheet's strip, and the side of
/// its black square. mm from the lower left corner of the sheet as it lies, before any correction.
Point mark_on_sheet(const SheetSize& sheet, int strip, int mark_of_strip);

}  // namespace seamwright::paper
