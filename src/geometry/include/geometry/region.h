#pragma once

#include <string>
#include <variant>
#include <vector>

#include "geometry/path.h"

namespace seamwright::geometry {

/// A part of the plane: inside `outer` (counter-clockwise), outside every hole (clockwise).
struct Region {
    Path outer;
    std::vector<Path> holes;

    friend bool operator==(const Region&, const Region&) = default;
};

double area_mm2(const Region& region);
bool contains(const Region& region, Point p);
/// A point well inside the region: as far from its edge as a coarse search finds, mostly within a tenth of the best; of
/// places about as deep, one near the middle. Always the same for the same region. For labels.
Point label_point(const Region& region);

/// Why a curve cannot split a region, and where.
struct SplitProblem {
    enum class Kind {
        misses,             ///< an open curve never enters the region
        ends_inside,        ///< an open curve starts or ends inside instead of crossing the edge
        crosses_edge_more,  ///< enters and leaves more than once
        touches_edge,       ///< runs along or only touches the edge of the region
        crosses_itself,
        crosses_other,  ///< meets another curve
        not_inside      ///< a closed curve that does not lie wholly inside
    };
    Kind kind = Kind::misses;
    std::size_t curve = 0;  ///< index of the offending curve
    std::size_t other = 0;  ///< crosses_other: index of the other
    Point at;
};

struct SplitPiece {
    Region region;
    /// For each curve that bounds this piece: its index, and whether the piece lies on its left.
    struct Bound {
        std::size_t curve = 0;
        bool on_left = false;
    };
    std::vector<Bound> bounds;
};

struct Split {
    std::vector<SplitPiece> pieces;
    /// Each open curve's stretch within the region, from edge to edge; closed curves unchanged.
    std::vector<Path> trimmed;
};

/// Cuts a region along curves that do not meet each other. Open curves must cross the edge of the region twice;
/// they may reach past it (the excess is ignored) or end exactly on it. Closed curves must lie inside, either way
/// round, also inside each other. Crossing through a corner of the edge is a crossing; touching it is refused.
///
/// Every trimmed curve stands bit for bit in the edge of both its neighbours, forwards in the one on its left. The
/// outlines of pieces are exact parts of the region's edge and of the curves; no arc becomes chords.
///
/// Order of pieces: the one that holds the start of the outline first, then the others as a walk along the outline from
/// its start reaches them, then the inside of each closed curve in the order of the curves.
///
/// Problems: at most one of each kind for a curve (ends_inside: one for each end; crosses_other: one for each pair, on
/// the later curve), at the first such place along it, in the order of the curves. Meeting a hole of the region counts
/// as crosses_edge_more or touches_edge. `misses` names the place of the curve nearest to the edge.
std::variant<Split, std::vector<SplitProblem>> split(const Region& region, const std::vector<Path>& curves);

}  // namespace seamwright::geometry
