#pragma once

#include <string>
#include <vector>

#include "canvas.h"
#include "paper/drawing.h"

namespace seamwright::paper {

inline constexpr double metric_bar_mm = 100.0;
inline constexpr double inch_bar_mm = 4.0 * 25.4;

/// Two bars side by side, 100 mm with a tick each 10 mm and 4 in with a tick each 1/2 in, from `start` along +x or +y.
/// `stretch` is the printer correction along the bar. `name` is "x" or "y": what the maker calls the bar in the job.
void draw_check_bars(Canvas& canvas, Point start, bool upwards, double stretch, const std::string& name);
/// How far the bars' ticks and figures reach to either side of `start`.
inline constexpr double bars_half_width_mm = 6.2;

/// "Printer correction on: x × 1.0020, y × 0.9990. The bars are corrected too." Empty when it is off.
std::string correction_note(const Correction& correction);

/// A diamond with a cross in it, its middle exactly on `at`.
void draw_joining_mark(Canvas& canvas, Point at, Correction stretch);

/// The grey of things that help to join but are not part of the work.
inline constexpr double help_grey = 0.45;
inline constexpr double quiet_grey = 0.35;

}  // namespace seamwright::paper
