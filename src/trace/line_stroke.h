#pragma once

#include <cstddef>
#include <vector>

#include "line_chain.h"

namespace seamwright::trace {

/// A stretch of a chain, from one of its points to another, both included; backwards where from > to.
struct Stretch {
    std::size_t chain = 0;
    std::size_t from = 0, to = 0;
};

/// A line as a whole: chains one after another, gaps between them.
struct Stroke {
    std::vector<Stretch> stretches;
    bool closed = false;
    double length = 0.0;             ///< in pixels of the picture
    double depth = 0.0, part = 0.0;  ///< means over the length
    /// How much it stands out, by its length and its contrast.
    double standing = 0.0;
};

/// The widest gap that is bridged, in pixels of the level: a few widths of the lines seen there.
inline constexpr double widest_gap = 12.0;

/// Chains joined end to end where one goes straight on into the other. Each end is joined once, the best pairs first.
/// What stands out most comes first.
std::vector<Stroke> strokes_of(const Level& level, const std::vector<Chain>& chains, LineKind kind);

/// Its points in pixels of the picture.
std::vector<Point> points_of(const Level& level, const std::vector<Chain>& chains, const Stroke& stroke);

/// Fills in length, depth, part and standing from the stretches.
void measure(const Level& level, const std::vector<Chain>& chains, Stroke& stroke);

}  // namespace seamwright::trace
