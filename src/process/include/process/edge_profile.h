#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/path.h"
#include "units/length.h"

namespace seamwright::process {

// The section of an edge: what is routed off its arrises, what it leaves, and the area there is to finish.

struct EdgeProfile {
    enum class Kind { square, round_over, chamfer, cove };
    Kind kind = Kind::square;
    /// Radius of a round-over or a cove; leg of a chamfer at 45°: as far in as down. Square: without meaning.
    double size_mm = 0.0;
};
const char* says(EdgeProfile::Kind kind);
/// "round-over", "chamfer", "cove", "square".
std::optional<EdgeProfile::Kind> profile_named(const std::string& id);

/// How far it reaches into the face and down the edge, both alike: its size; 0 for a square edge.
double reach_mm(const EdgeProfile& profile);
/// Length across the routed surface: π r / 2, or √2 × the leg; 0 for a square edge.
double girth_mm(const EdgeProfile& profile);

struct EdgeShape {
    double thickness_mm = 0.0;  ///< of the edge as it is routed, build-up counted
    EdgeProfile top, underside;
};

/// How much shorter a line at a constant distance inside a closed outline (counter-clockwise) is, for each mm of that
/// distance: the sum of its turning, sharp corners counted as mitred, 2 tan(turn / 2). 2 π for a circle, 8 for a
/// rectangle. Inward corners count against it, as if they were mitred too.
double shorter_per_mm(const geometry::Path& outline);

/// Surface of a routed profile along an edge of a length: the sum over its section of the length of the line there,
/// length − shorter × depth (Pappus). All >= 0.
double profile_area_mm2(const EdgeProfile& profile, double length_mm, double shorter);

struct TrueAreas {
    double top_mm2 = 0.0;        ///< flat, inside its profile
    double underside_mm2 = 0.0;  ///< the same below
    double edge_mm2 = 0.0;       ///< both profiles and what is left upright between them
};
/// True areas of a top with one and the same edge all round. Exact where the profile reaches no further in than the
/// tightest outward bend and the corners are mitred. Throws std::invalid_argument for an open outline, a thickness or
/// sizes that are none, and profiles that meet.
TrueAreas true_areas(const geometry::Path& outline, const EdgeShape& shape);

struct EdgeWish {
    EdgeShape shape;
    std::optional<double> joint_mm;  ///< how deep below the top face the glue joint of a build-up shows
    double joint_clear_mm = 2.0;     ///< a profile stays this far from it (common practice, from memory)
    double least_flat_mm = 3.0;      ///< upright that must remain for the bearing to ride on (the same)
    units::LengthStyle style;        ///< of lengths in the words
};
struct EdgeFindings {
    double flat_mm = 0.0;  ///< upright left between the profiles; below 0 where they meet
    bool reaches_joint = false;
    std::vector<std::string> must, mind;
};
/// Throws std::invalid_argument for a thickness or sizes that are none.
EdgeFindings check_edge(const EdgeWish& wish);

/// A corner seen from above, turned by `turn_rad` (0 to π) and rounded to a radius.
struct CornerRound {
    double tangent_mm = 0.0;  ///< from the sharp corner to where the arc begins, r tan(turn / 2)
    double arc_mm = 0.0;      ///< r × turn
    double shorter_mm = 0.0;  ///< how much shorter the edge becomes
    double off_mm = 0.0;      ///< from the sharp corner to the arc, r (1 / cos(turn / 2) − 1)
    double taken_mm2 = 0.0;   ///< area cut off
};
/// 0 < turn < π and radius >= 0, else std::invalid_argument.
CornerRound round_corner(double turn_rad, double radius_mm);

struct CornerWish {
    double turn_rad = 0.0;  ///< > 0
    bool inward = false;    ///< a corner that goes into the wood
    double radius_mm = 0.0;
    double before_mm = 0.0, after_mm = 0.0;  ///< straight edge to either side, up to the next corner or seam
    double guide_mm = 0.0;                   ///< diameter of what rides on the edge or template, > 0
    units::LengthStyle style;
};
struct CornerFindings {
    CornerRound round;
    std::vector<std::string> must, mind;
};
CornerFindings check_corner(const CornerWish& wish);

}  // namespace seamwright::process
