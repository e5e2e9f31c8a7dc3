#pragma once

#include <vector>

#include "geometry/path.h"
#include "shelf/board.h"

namespace seamwright::stock {

using geometry::Path;
using geometry::Point;

/// How far something reaches across the board over a stretch along it. Empty: low > high.
struct Reach {
    double low = 1.0, high = 0.0;
    bool empty() const { return low > high; }
    void take(double y) {
        if (empty()) {
            low = high = y;
        } else if (y < low) {
            low = y;
        } else if (y > high) {
            high = y;
        }
    }
};

/// A stretch along the board, and what of a shape lies over it.
struct Slab {
    double from = 0.0, to = 0.0;
    Reach grown;     ///< with the wood left around it
    Reach finished;  ///< the finished wood alone
};

/// A shape as slabs, side by side from its left end to its right end. Every place of the shape lies in some slab.
struct Profile {
    std::vector<Slab> slabs;
    double length_mm() const { return slabs.empty() ? 0.0 : slabs.back().to - slabs.front().from; }
    double low() const;
    double high() const;
    double finished_from() const;
    double finished_to() const;
    bool same_as(const Profile& other) const;
};

/// A slab's length: fine enough for a seam that turns, coarse enough for hundreds of tries.
constexpr double usual_slab_mm = 4.0;

/// `grow_mm` is added all round what is `sawn`, which holds the finished shape.
Profile profile_of(const Path& shape, const Path& sawn, double grow_mm, double most_slab_mm = usual_slab_mm);

/// Where the wood of a board lies over a stretch: between `low` and `high`.
struct BoardWidth {
    double from = 0.0, to = 0.0;
    double low = 0.0, high = 0.0;
};
/// Narrowed to what is wood over the whole of each stretch, then `give_mm` added all round.
std::vector<BoardWidth> widths_of(const shelf::Board& board, double give_mm);

/// Points along a closed path, chords at most 0.05 mm off it.
std::vector<Point> corners_of(const Path& closed);

}  // namespace seamwright::stock
