#pragma once

#include <string>
#include <string_view>

namespace seamwright::plan {

/// The family of woods a species looks like, as `Wood` of web/src/protocol.ts; "unknown" for a species that is not in
/// the tables or not told (data/wood_look.csv: common practice, from memory).
std::string_view wood_look(const std::string& species);

/// Colours a family is drawn in where there is no picture, "#rrggbb": the wood, and the lines of its figure. The
/// families' greys run from light to dark in their order, so that a light and a dark wood are told apart without
/// colours; those of "red" and "brown" lie near each other.
struct WoodTone {
    std::string_view ground, line;
};
WoodTone tone_of(std::string_view family);

}  // namespace seamwright::plan
