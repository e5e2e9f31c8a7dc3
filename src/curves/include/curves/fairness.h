#pragma once

#include <vector>

#include "curves/fair.h"

namespace seamwright::curves {

struct CurvatureSample {
    double at_mm = 0.0;
    double curvature = 0.0;  ///< 1/mm, + turns left
    double slope = 0.0;      ///< change of curvature along the length just after this place, 1/mm²
};

/// A place where curvature is highest or lowest.
struct Bump {
    double at_mm = 0.0;
    Point at;
    double curvature = 0.0;
    bool high = false;        ///< a maximum of the signed curvature
    double stands_out = 0.0;  ///< how far above (below) the nearer of its neighbours among the bumps and ends, 1/mm
};

/// How fair a curve is, taken from the curve itself and never from the arcs it becomes.
struct Fairness {
    std::vector<CurvatureSample> curvature;  ///< at every node; straight between
    std::vector<double> inflections_mm;      ///< where it changes from one way of turning to the other
    std::vector<Bump> bumps;                 ///< in order
    double steepest = 0.0;                   ///< largest |dκ/ds|
    double steepest_by_length = 0.0;         ///< the same times length²: no unit
    double rms_slope = 0.0;                  ///< √(mean of (dκ/ds)²)
};

/// Extremes of curvature that stand out by less than `threshold` (1/mm, > 0) are passed over, and so are changes of
/// turn with less than `least_turn_rad` of turning on one of their sides.
Fairness fairness_of(const FairCurve& curve, double threshold, double least_turn_rad = 1e-3);

/// The bumps of a curve that was drawn, from its curvature as told. `path` says where they lie.
std::vector<Bump> bumps_of(const Drawn& drawn, double threshold);

}  // namespace seamwright::curves
