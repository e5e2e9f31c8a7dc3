#pragma once

#include <optional>
#include <span>
#include <variant>

#include "line_stroke.h"

namespace seamwright::trace {

/// A place the maker chose, taken at the nearest line.
struct Chosen {
    std::size_t chain = 0, point = 0;
    double off = 0.0;  ///< from the place to the line, in pixels of the picture
};
/// Absent where no line is within `reach_px` of the place.
std::optional<Chosen> nearest_line(const Level& level, const std::vector<Chain>& chains, Point px, double reach_px);

/// Why there is none.
struct NoWay {
    std::size_t leg = 0;  ///< the way to the place after this one is missing
    Point stopped_px;     ///< the nearest to that place that was reached
};

/// The easiest way along lines through all places in order: short, straight on at crossings, over few gaps, and on
/// lines as strong as those at the places.
std::variant<Stroke, NoWay> way_through(const Level& level, const std::vector<Chain>& chains,
                                        std::span<const Chosen> places, LineKind kind);

}  // namespace seamwright::trace
