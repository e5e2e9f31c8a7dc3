#pragma once

#include <string>

#include "paper/drawing.h"

namespace seamwright::paper {

DrawnPath drawn(const Path& path, const Stroke& stroke, const std::string& id = {});
DrawnPath straight(Point a, Point b, const Stroke& stroke, const std::string& id = {});
/// A filled arrow head whose tip is on `tip`.
DrawnPath arrow_head(Point tip, double heading_rad, double length_mm, const std::string& id = {});
/// Patch-sized white ground, so that what is written on it is not crossed by a hatch.
DrawnPath ground(const Path& outline);

inline constexpr double registration_half_mm = 7.0;
inline constexpr double fastening_radius_mm = 3.0;
/// A circle with a long upright cross: for registering the two templates of a pair.
void add_registration(Drawing& drawing, Point at, const std::string& id);
/// A small circle with a slanting cross inside it: a place for a screw; where nothing is known of the wood, for
/// whatever holds.
void add_fastening(Drawing& drawing, Point at, const std::string& id);
inline constexpr double tape_long_mm = 12.0, tape_wide_mm = 5.0;
/// A small strip: a place for double-sided tape or a clamp.
void add_tape(Drawing& drawing, Point at, const std::string& id);

/// "North seam, left" → "north-seam-left": small letters, digits and dashes, safe as a file name anywhere; letters
/// with an accent lose it where Latin-1 knows them, anything else becomes a dash. Never empty.
std::string slug(const std::string& name);

}  // namespace seamwright::paper
