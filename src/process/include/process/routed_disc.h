#pragma once

#include <vector>

#include "process/tear_risk.h"
#include "shelf/records.h"

namespace seamwright::process {

// A disc of the board at hand, routed all round once conventional and once climbing, shows every angle to the fibres in
// one piece (the round workpiece of Goli et al., Materials 2018, 11, 2575). What is seen on its rim corrects the model.

using shelf::RimSeen;

/// A stretch of the rim, as seen from above as the disc lay when it was routed: from the direction of the fibres
/// counter-clockwise.
struct RimMark {
    double from_rad = 0.0;
    double to_rad = 0.0;  ///< above from_rad, by at most a full turn
    Feed feed = Feed::conventional;
    RimSeen seen = RimSeen::clean;
};

struct RoutedDisc {
    double cutter_radius_mm = 6.35;
    double side_cut_mm = 2.0;
    bool on_table = false;  ///< routed on a table: the cutter then turns counter-clockwise as seen from above
    /// How far the ends of a mark may be off (our judgement: 3°, 4 mm on a disc of 150 mm). What is torn or fuzzy is
    /// taken to reach so much farther, what is clean so much less far.
    double marks_within_rad = 3.0 / geometry::degrees_per_radian;
    std::vector<RimMark> marks;
};

/// φ at a place of the rim, radians in (−π/2, π/2].
double rim_phi_rad(double at_rad, bool on_table);

struct AdjustedModel {
    TearModel model;
    struct Angles {
        double from_rad = 0.0, to_rad = 0.0;  ///< φ
    };
    /// Where marks say different things of one angle: the worse was believed. Rising, apart from each other.
    std::vector<Angles> disagree;
};

/// The model with its table raised and lowered just so far that each mark, at its side cut and feed, comes out in its
/// zone: clean, care, tears. Angles without a mark stay as they were.
///
/// side cut > 0, marks in order, 0 <= marks_within < π/4, else std::invalid_argument.
AdjustedModel adjusted_by_disc(const TearModel& model, const RoutedDisc& disc);

}  // namespace seamwright::process
