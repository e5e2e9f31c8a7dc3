#pragma once

#include <vector>

#include "geometry/path.h"
#include "seam/simulate.h"

namespace seamwright::seam {

// Pushing two cut edges together: the right piece is moved as it is, by a small shift and turn, against the left one.

/// A shift after a turn about `about`.
struct RigidMotion {
    Point about;
    double turn_rad = 0.0;  ///< + counter-clockwise
    Point shift;

    Point moved(Point p) const;
    Path moved(const Path& path) const;
};

struct Closing {
    RigidMotion motion;      ///< of the right piece
    std::vector<GapAt> gap;  ///< what remains, in order along the left edge; at_mm is measured there
    double largest_gap_mm = 0.0;
    double largest_gap_at_mm = 0.0;
    double mean_gap_mm = 0.0;   ///< by length: what glue has to fill
    double least_gap_mm = 0.0;  ///< >= −1e-6: the pieces are not let into each other
    std::vector<double>
        touches_mm;      ///< along the left edge, where they touch (within 1 µm, or a twentieth of the largest gap)
    bool found = false;  ///< false: the edges are no pair (see close_seam)
};

/// The shift and turn that make the largest remaining gap smallest, without letting the pieces into each other:
///
///     min t   so that   0 <= e_i + n_i · (v + φ J (p_i − c)) <= t   at every place i
///
/// (a linear programme in v, φ, t), carried out anew on the moved edges until they fit to a nanometre. Of several
/// motions that are as good, the smallest. `left` and `right` run the same way, the left piece on the left of both;
/// they may overlap or stand apart by up to a tenth of their length. `along_mm` is how finely they are compared.
/// Closed edges (an inlay in its opening) are compared all round.
/// `found` is false where one is empty, they run against each other, or they lie too far apart.
/// Throws std::invalid_argument for along_mm <= 0.
Closing close_seam(const Path& left, const Path& right, double along_mm = 2.0);

/// Straight ways of bringing the right piece against the left one.
struct Assembly {
    bool possible = false;                ///< by a straight push in the plane of the top
    double from_rad = 0.0, to_rad = 0.0;  ///< directions in which the right piece may travel, counter-clockwise from-to
    double best_rad = 0.0;                ///< the middle of them: along the mean normal of the seam
    double normals_span_rad = 0.0;        ///< how far the seam's normals turn from end to end of their range
    /// Where no direction serves: stretches that hook behind the best direction, and by how much they would have to be
    /// turned out of the way.
    struct Hook {
        double from_mm = 0.0, to_mm = 0.0;
        double by_rad = 0.0;
        Point at;  ///< where it hooks most
    };
    std::vector<Hook> hooks;
};

/// The right piece slides home along d exactly when n·d <= 0 everywhere, n being the normal from the left piece to the
/// right one: d lies between the largest normal + 90° and the smallest + 270°. `jam_rad` (>= 0) is kept free on both
/// sides: within the angle of friction the pieces jam instead of sliding. A closed seam is never possible.
Assembly assembly(const Path& seam, double jam_rad = 0.0);

/// The smallest change of a seam that lets it slide home by a straight push.
struct Freeing {
    double push_rad = 0.0;  ///< along which the right piece then travels
    double by_mm = 0.0;     ///< farthest that a place has to move, along the seam as seen across the push
    struct Stretch {
        double from_mm = 0.0, to_mm = 0.0;  ///< along the seam
        double by_mm = 0.0;                 ///< farthest that one of its places moves
        Point at;                           ///< that place
        Point move;                         ///< and how it moves
    };
    std::vector<Stretch> stretches;
};

/// Seen across the push, an open seam must run on and never back. Where it runs back from x₁ to a later x₂ < x₁, one
/// of the two has to move by half of x₁ − x₂ or more; moving every place midway between the farthest place before it
/// and the nearest one after it (isotonic regression for the largest change) moves none by more than that. Of all
/// directions the one that needs least, to a tenth of a degree. `by_mm` is 0 and there are no stretches for a seam that
/// is free. Throws std::invalid_argument for a closed seam or an empty one.
Freeing smallest_freeing(const Path& seam);

/// Best remaining gap, as part of a uniform mismatch e, over a seam whose normals span 2Δ <= 180°: 1 − cos Δ, reached
/// by pushing along the mean normal (derived; a linear programme agrees to eight digits).
double uniform_mismatch_part(double normals_span_rad);

}  // namespace seamwright::seam
