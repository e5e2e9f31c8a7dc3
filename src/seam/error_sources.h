#pragma once

// Within the room: what each source of error does to the gap at each place of a seam.

#include <span>
#include <vector>

#include "seam/tolerance.h"

namespace seamwright::seam {

/// Gap added at each place by a unit of the source: one row for a number within low..high, two rows for a pair (x, y)
/// of length up to high (a direction or a phase that is not known).
struct ErrorSource {
    ToleranceSource told;
    double low = 0.0, high = 0.0;
    std::vector<std::vector<double>> rows;

    bool pair() const { return rows.size() == 2; }
};

/// Sources that change nothing anywhere, or have no size, are left out.
std::vector<ErrorSource> error_sources(const Chain& chain, const shelf::Shelf& shelf, std::span<const SeamPlace> places,
                                       bool closed, const Accuracy& accuracy);

/// What the gap changes by, everywhere alike, when cutters lose a unit of diameter: before the first copy, or between
/// copying and cutting.
double gap_of_wear(const Chain& chain, bool between);

}  // namespace seamwright::seam
