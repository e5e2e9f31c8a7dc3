#pragma once

#include "course.h"

namespace seamwright::edit {

/// How a curve can be drawn, by the names the job file has for it.
enum class As { straight, arc, sprung, wave, pins, oval, circle };
std::optional<As> as_of(std::string_view name);
std::string_view name_of(As as);
bool is_closed(As as, bool line_closed);

/// The "curve" group of the job file that follows a line as near as that way of drawing allows. Open lines become
/// straight lines, arcs, sprung sticks, waves and pins, closed ones pins, ovals and circles.
///
/// pins: the fewest that hold the line within 0.5 mm, 3 to 12 of them; arc and stick: through the ends and the middle;
/// wave: as many half waves as the line has bulges, as high as the highest; oval and circle: the one with the same area
/// and second moments.
Json fitted(const geometry::Path& line, As as, const Ruler& ruler);

/// The signed rise of the arc from `from` to `to` through a third place; + to the left.
double rise_through(Point from, Point to, Point through);

/// Curves as the job file writes them.
Json written_sprung(const Ruler& ruler, Point from, Point to, double rise_mm);
Json written_arc(const Ruler& ruler, Point from, Point to, double rise_mm);
Json written_wave(const Ruler& ruler, Point from, Point to, double half_height_mm, double length_mm, double shift);

}  // namespace seamwright::edit
