#pragma once

// Within the room: the bent stick that slides freely through its pins, one stretch at a time.

#include <optional>

#include "geometry/point.h"

namespace seamwright::curves {

/// How a free stick is bent at one place: its curvature (1/mm) and the slope of it (1/mm²). Everything else about the
/// stick between two pins follows, because κ'' = −½ κ³ all along.
struct Bend {
    double curvature = 0.0;
    double slope = 0.0;
};

/// A stretch of unit length, from its middle. Lengths in units of the stretch, curvature in turns of it (radians).
struct UnitStretch {
    geometry::Point chord;  ///< from the start to the end, in the frame whose +x is the direction in the middle
    double heading0 = 0.0;  ///< direction at the start, measured from the direction in the middle
    double heading1 = 0.0;
    double curvature0 = 0.0, curvature1 = 0.0;
    double bending = 0.0;  ///< ∫ κ² ds
};

/// The stretch about a middle with this curvature and slope. nullopt beyond `most_arches` of the elastica, where no
/// stick rests.
std::optional<UnitStretch> unit_stretch(Bend middle);

/// The stick `along_mm` further on (negative: further back): its bend, and the turn between.
struct Ahead {
    Bend bend;
    double turn_rad = 0.0;
};
Ahead bend_ahead(Bend from, double along_mm);

/// The same, with the way there.
struct Further {
    Bend bend;
    double turn_rad = 0.0;
    geometry::Point way;  ///< in the frame whose +x is the direction it started from
};
Further further(Bend from, double along_mm);

/// Highest |curvature| that a stick with this bend anywhere reaches at the crest of its arch.
double crest_curvature(Bend bend);

/// A stretch between two pins one unit apart, by the directions it has there (a, b: from the chord, + to the left).
struct PinnedStretch {
    Bend middle;                              ///< of the stretch scaled to unit length
    double length = 0.0;                      ///< over the chord
    double bending = 0.0;                     ///< ∫ κ² ds, times the chord
    double start = 0.0, end = 0.0;            ///< curvature at the ends, times the chord
    double start_by_a = 0.0, cross_by = 0.0;  ///< ∂ start/∂a; ∂ start/∂b, which is −∂ end/∂a
    double end_by_b = 0.0;
    int steps = 0;  ///< of Newton's method
};

/// The stick that rests between the two directions: of all stretches the one that grows out of the straight one without
/// ever losing its hold. nullopt when there is none: no stick rests there, it runs out to one side. `near` starts the
/// search at a neighbour; then close to the end of the family nullopt may also mean: not reached from there.
std::optional<PinnedStretch> pinned_stretch(double a, double b, const std::optional<Bend>& near = {});

}  // namespace seamwright::curves
