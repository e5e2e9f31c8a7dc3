#pragma once

#include <string>

#include "geometry/point.h"
#include "units/length.h"

namespace seamwright::plan {

/// "at 320.0 mm from the left, 140.0 mm from the front": a place on the drawing in the maker's units.
inline std::string place_words(geometry::Point at, const units::LengthStyle& style) {
    return "at " + units::show(at.x, style) + " from the left, " + units::show(at.y, style) + " from the front";
}

}  // namespace seamwright::plan
