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
/// A point well inside the region: as far from its edge as a coarse search finds. For labels.
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
/// they may reach past it (the excess is ignored). Closed curves must lie inside.
std::variant<Split, std::vector<SplitProblem>> split(const Region& region, const std::vector<Path>& curves);

}  // namespace seamwright::geometry
