#pragma once

#include <vector>

#include "geometry/point.h"

namespace seamwright::process {

// How likely wood tears at a routed edge, from the angle φ between the way of the teeth at the finished edge and the
// fibres. φ > 0: ahead of the tooth the fibres run out into the waste, with the grain; φ < 0: they dive into the wood
// that stays, and splits run under the finished edge, against the grain; ±90° is end grain.
//
// A MODEL, not a measurement. That 45° against the grain is worst was measured (Iskra and Tanaka 2005, beech: noisiest
// and roughest with the way of feed at 135° to the grain), and that depth and the way of feed change how the edge meets
// the fibres (Goli et al. 2009). The figures between are an engineering proposal: no study known to us gives depth of
// tear-out against angle for hand-held routing. A disc routed from the board at hand corrects it (adjusted_by_disc).

/// Which way the router is pushed: against the way of the teeth (conventional), or with it (climb).
enum class Feed { conventional, climb };

/// Largest angle ψ of engagement of a cutter that takes `side_cut_mm` off a straight edge: acos(1 − a/r), radians; from
/// twice the radius on it cuts a full groove, π. cutter radius > 0, side cut >= 0, else std::invalid_argument.
double largest_engagement_rad(double cutter_radius_mm, double side_cut_mm);
/// Its mean weighted by the thickness of the chip, which goes as sin ψ: (sin ψ − ψ cos ψ) / (1 − cos ψ).
double mean_engagement_rad(double largest_rad);

struct TearModel {
    struct Knot {
        double phi_rad = 0.0;
        double share = 0.0;  ///< >= 0; 1 where it is worst
        friend bool operator==(const Knot&, const Knot&) = default;
    };
    /// S(φ), straight between knots: from −π/2 to π/2, rising; two knots at one angle are a jump, not at the ends.
    std::vector<Knot> table = usual_table();
    double mean_engagement_at_rad = geometry::pi / 3.0;  ///< ψ̄ by which the way of feed doubles it, or takes it all off
    double least_climb = 1.0 / 3.0;                      ///< a climb cut never counts for less than this part
    double side_cut_at_mm = 2.0;                         ///< the side cut for which the table holds
    double least_side_cut = 0.5, most_side_cut = 1.5;    ///< bounds of √(side cut / that)
    double care_from = 0.15;                             ///< the index from which a stretch wants care
    double tears_from = 0.5;                             ///< and from which it is expected to tear

    /// With the grain up to 60° no risk, 45° against it the worst, end grain fuzzes.
    static std::vector<Knot> usual_table();
    friend bool operator==(const TearModel&, const TearModel&) = default;
};

/// Refuses a table as TearModel::table must not be, and bounds out of order: std::invalid_argument.
void check(const TearModel& model);

/// S(φ); any φ, taken between −90° and 90° (fibres have no direction). At a jump the worse of the two.
double tear_share(const TearModel& model, double phi_rad);

/// What a side cut makes of S: (1 + ψ̄/60°) conventional, (1 − ψ̄/60°), at least a third, climb; times √(a / 2 mm)
/// between 0.5 and 1.5.
double side_cut_factor(const TearModel& model, double cutter_radius_mm, double side_cut_mm, Feed feed);

/// The risk index R: S(φ) times that factor, at most 1.
double tear_risk(const TearModel& model, double phi_rad, double cutter_radius_mm, double side_cut_mm, Feed feed);

enum class TearZone { clean, care, tears };
TearZone tear_zone(const TearModel& model, double risk);

/// The angle brought into (−π/2, π/2], as an axis without a direction has it.
double wrap_half_turn(double angle_rad);

}  // namespace seamwright::process
