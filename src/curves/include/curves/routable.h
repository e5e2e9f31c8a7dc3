#pragma once

#include <optional>
#include <variant>
#include <vector>

#include "curves/fair.h"

namespace seamwright::curves {

/// What a drawn edge must become so that the chain of guides and cutters can follow it.
struct RoutableSettings {
    /// Tightest radius the tools can follow where the edge turns left, and right. > 0, mm; absent: no limit.
    std::optional<double> least_radius_left_mm, least_radius_right_mm;
    double band_mm = 2.0;  ///< the edge may move this far to either side. > 0
    /// Pins the edge must pass, each with its own tolerance.
    std::vector<FairPin> pins;
    bool hold_ends = true;  ///< the ends stay where they are
    /// Shorter waves than this are smoothed within the band, longer ones stay as drawn. Absent: four times the larger
    /// radius, at most half the edge.
    std::optional<double> wave_mm;
    double shown_mm = 0.05;  ///< stretches that move by less are not listed. > 0
};

/// Along the drawn edge.
struct MovedStretch {
    double from_mm = 0.0, to_mm = 0.0;
    double largest_mm = 0.0;  ///< positive: to the left
    double at_mm = 0.0;       ///< where it moves most
    Point at;                 ///< there, on the drawn edge
};

struct Routable {
    bool unchanged = false;  ///< the edge could be followed as drawn
    Drawn drawn;
    std::optional<FairCurve> fair;        ///< absent when unchanged
    MovedStretch largest;                 ///< the stretch with the largest move
    std::vector<MovedStretch> stretches;  ///< in order along the edge
};

/// The fairest curve within the band of a drawn one that turns no tighter than allowed. An edge that already complies
/// comes back as it is. FairProblem: see there; `nearest` is then the fair curve within the smallest band that works,
/// where one was found.
std::variant<Routable, FairProblem> make_routable(const Drawn& drawn, const RoutableSettings& settings);

}  // namespace seamwright::curves
