#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "geometry/path.h"

namespace seamwright::seam {

using geometry::Path;
using geometry::Point;

// Pushing two edges together that differ by so little from the seam between them that every motion is small: the gap is
// then a number at each place of the seam, and moving the right piece adds to it
//
//     g_i = e_i + n_i · (v + φ J (p_i − c)),   J a quarter turn to the left.
//
// Quick enough to be asked thousands of times. For edges that were really cut, close_seam (closing.h) is exact.

/// A place of a seam.
struct SeamPlace {
    double at_mm = 0.0;  ///< length along the seam
    Point at;
    Point normal;  ///< unit vector from the left piece to the right one
};

/// Evenly spaced places of a seam, both ends of an open one and its middle included, no farther apart than `apart_mm`
/// unless that would be more than `most`, and up to 40 more where the seam turns over. apart_mm > 0, most >= 8, else
/// std::invalid_argument.
std::vector<SeamPlace> places_along(const Path& seam, double apart_mm = 10.0, std::size_t most = 160);

/// How two pieces lie once they are pushed together.
struct SmallClosing {
    bool found = false;
    double largest_gap_mm = 0.0;  ///< what remains, at best
    /// > 0: no motion keeps the pieces out of each other; this much has to come off (an inlay too large for its
    /// opening). The gap is then measured where the overlap is least.
    double overlap_mm = 0.0;
    Point shift;            ///< of the right piece
    double turn_rad = 0.0;  ///< about the middle of the places, + counter-clockwise
};

class SmallCloser {
  public:
    /// At least 3 places, else std::invalid_argument.
    explicit SmallCloser(std::vector<SeamPlace> places);

    const std::vector<SeamPlace>& places() const { return places_; }

    /// `gap_mm`: one for each place, + open, − overlap; else std::invalid_argument. The motion that makes the largest
    /// remaining gap smallest without overlap; `found` is false for numbers that are none.
    SmallClosing close(std::span<const double> gap_mm);

    /// The gap at each place after a motion.
    std::vector<double> after(std::span<const double> gap_mm, const SmallClosing& closing) const;

  private:
    struct Row {
        double x, y, turn;  // what a unit of each motion adds to the gap; the turn as a way half a seam away
    };
    struct Motion {
        double x = 0.0, y = 0.0, turn = 0.0, t = 0.0;
    };
    /// Smallest t with low <= g and g <= t (or −g <= t where only the overlap counts).
    bool solve(std::span<const double> gap_mm, bool overlap_only, double floor_mm, Motion& motion);

    std::vector<SeamPlace> places_;
    std::vector<Row> rows_;
    Point middle_;
    double half_mm_ = 1.0;
    std::vector<std::size_t> looked_at_;  // places that pressed the last times: most likely they press again
};

}  // namespace seamwright::seam
