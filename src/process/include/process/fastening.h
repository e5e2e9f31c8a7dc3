#pragma once

#include <optional>
#include <vector>

#include "geometry/parallel.h"
#include "geometry/path.h"
#include "geometry/region.h"

namespace seamwright::process {

using geometry::Path;
using geometry::Point;

// Where a template may be screwed to the wood it shapes. The rules, all of them common practice, from memory:
//
//   F1  a screw stands in waste: outside the finished wood by its head, the kerf of the saw that trims the end, and a
//       reserve. Holes in waste do no harm; screws are out before any saw comes near.
//   F2  the middle of no cutter on this piece comes nearer to it than head + cutter + reserve (halves of the
//       diameters), neither in this cut nor, for the sake of the hole, in another one.
//   F3  it stands in wood: so far inside every edge that the wood has by then that it does not split.
//   F4  it stands under the template, as far inside its edge, and as far off marks that are drawn on it.

struct FasteningRules {
    double screw_mm = 4.0, head_mm = 8.0;
    double reserve_mm = 3.0;       ///< beyond what touches by arithmetic
    double kerf_mm = 3.0;          ///< of the saw that takes the waste off
    double from_edge_mm = 12.0;    ///< middle of a screw to any edge of wood or template: three times its diameter
    double apart_mm = 30.0;        ///< two screws at one end
    double base_mm = 150.0;        ///< across the router's base
    double least_reveal_mm = 2.0;  ///< saw marks go no deeper

    double off_finished_mm() const { return 0.5 * head_mm + kerf_mm + reserve_mm; }
    double off_cutter_mm(double cutter_mm) const { return 0.5 * (head_mm + cutter_mm) + reserve_mm; }
};

struct FasteningGround {
    Path under;                  ///< outline of the template, counter-clockwise
    std::vector<Path> openings;  ///< in it
    geometry::Region finished;   ///< the piece as it will be
    Path wood;                   ///< what is sawn for it, counter-clockwise
    double grown_mm = 0.0;       ///< and left around that
    /// Lines along which the wood ends once it is sawn and routed. Straight on beyond the wood at both ends.
    struct WoodEdge {
        Path line;
        geometry::Side wood = geometry::Side::left;
    };
    std::vector<WoodEdge> edges;
    struct Cutter {
        Path way;  ///< of its middle
        double diameter_mm = 0.0;
    };
    std::vector<Cutter> cutters;
    std::vector<Point> screws;  ///< placed already
    std::vector<Point> marks;   ///< drawn on the template
};

/// How much is left over of the tightest of all those distances; negative where a rule is broken.
double room_mm(const FasteningGround& ground, const FasteningRules& rules, Point at);

/// A rectangle to look in: from `origin`, u along a unit direction and v to its left.
struct Zone {
    Point origin;
    Point along{1.0, 0.0};
    double u0 = 0.0, u1 = 0.0, v0 = 0.0, v1 = 0.0;
};

struct FasteningPlace {
    Point at;
    double room_mm = 0.0;
};
/// The place in the zone with the most room, to half a millimetre. nullopt only where it is proved that no place keeps
/// all the rules (each distance changes by no more than the way one goes, so one look settles a whole square), but for
/// 0.02 mm. Deterministic.
std::optional<FasteningPlace> roomiest(const FasteningGround& ground, const FasteningRules& rules, const Zone& zone);

/// How much wood the saw leaves standing outside the finished edge, for a cutter.
enum class Reveal {
    too_little,   ///< the cutter may not reach below the marks of the saw
    one_groove,   ///< goes in one groove of the cutter
    leaves_strip  ///< wider than the cutter: a strip stands beyond the groove and comes loose
};
Reveal reveal_for(double reveal_mm, double cutter_mm, const FasteningRules& rules);

/// How far a template has to reach beyond the wood where the cutter starts `lead_mm` beyond it: half the guide is still
/// beside its edge, and the router's base rests on it for at least a quarter of its width past the middle (common
/// practice, from memory).
double run_out_for(double lead_mm, double guide_mm, const FasteningRules& rules);

}  // namespace seamwright::process
