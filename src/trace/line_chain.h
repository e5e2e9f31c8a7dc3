#pragma once

#include <vector>

#include "line_ridge.h"

namespace seamwright::trace {

/// Points of one line in order, nothing branching off and no corner inside.
struct Chain {
    std::vector<RidgePoint> points;
    bool closed = false;
    double length = 0.0;             ///< in pixels of the level
    double depth = 0.0, part = 0.0;  ///< means of its points

    /// One of its ends: the first point (false) or the last (true).
    Point end(bool last) const { return last ? points.back().at : points.front().at; }
    /// Unit, the way the line would go on past that end.
    Point outward(bool last) const;
};

/// Neighbours are linked where each is the other's best continuation, so that no point has more than two. At a crossing
/// of lines none of them may be linked through: the chains end there. Chains of fewer than `least_chain_points` are
/// dropped.
std::vector<Chain> chains_of(const Level& level, const std::vector<RidgePoint>& points, LineKind kind);

inline constexpr std::size_t least_chain_points = 4;

}  // namespace seamwright::trace
