#pragma once

#include <functional>
#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "geometry/path.h"
#include "process/tear_risk.h"

namespace seamwright::process {

// Along a routed edge: the angle between teeth and fibres, where the wood is expected to tear (by the model of
// tear_risk.h), and how to feed.
//
// Seen so that the cutter turns clockwise (a hand-held router from above), with N out of the wood that stays and J a
// quarter turn counter-clockwise, the teeth run at the finished edge along t = J N, whichever way the router is pushed.
// With the fibres a turned so that a·t >= 0: φ = atan2(a·N, a·t). The same comes out as heading of the edge less that
// of the fibres, between −90° and 90°, whichever side the wood is on: two pieces with parallel fibres tear on the same
// stretch of their seam. Seen counter-clockwise (a piece with its face down, or a router under a table) φ turns over.

/// Direction of the fibres on the drawing, radians from +x: one for all, or by place. Finite wherever it is asked for.
using Fibres = std::variant<double, std::function<double(geometry::Point)>>;

/// A finished edge and how its piece lies while it is cut. Path, side and fibres are those of the drawing, the face
/// seen, whichever side is up when it is cut.
struct EdgeCut {
    geometry::Path edge;
    bool wood_on_left = true;  ///< of the path; else right
    Fibres fibres = 0.0;
    bool face_down = false;
    bool on_table = false;  ///< the router hangs under a table
    /// The piece cannot move, and is large enough for both hands to stay clear of the cutter.
    bool held_fast = true;
};

/// The cut from the side.
struct SideCut {
    double cutter_radius_mm = 6.35;
    double side_cut_mm = 2.0;  ///< taken off square to the edge, in the cut that finishes it
    double skim_mm = 0.5;      ///< a shallow finishing cut, at most most_skim_mm
};

/// No climb cut takes off more (methods of the trade; our rule).
inline constexpr double most_skim_mm = 0.5;

/// Whether the cutter turns clockwise as seen on the drawing.
bool clockwise_on_drawing(const EdgeCut& cut);

/// Whether the teeth run along the path at the finished edge, or against it: the way of a conventional feed.
bool teeth_along_path(const EdgeCut& cut);

/// φ at a place of the edge, radians in (−π/2, π/2].
double phi_at(const EdgeCut& cut, geometry::Station at);

/// A length of the edge within one zone of the conventional cut. On a closed edge `to` may be before `from`; a closed
/// edge all in one zone runs from 0 to its length.
struct TearStretch {
    TearZone zone = TearZone::clean;
    double from_mm = 0.0, to_mm = 0.0;
    double length_mm = 0.0;
    double worst_phi_rad = 0.0;  ///< where S is highest; of equals the one most against the grain
    double worst_at_mm = 0.0;    ///< length from the start of the edge
    double risk = 0.0;           ///< there, conventional, at the whole side cut
    double risk_skim = 0.0;      ///< conventional, the skim only
    double risk_climb_skim = 0.0;
};

/// Fibres given by place are looked at no farther apart; what turns to and fro between is not seen.
inline constexpr double fibres_looked_at_mm = 5.0;

/// The whole edge, in its order, neighbours of different zone. Ends are exact: where φ passes through an angle at which
/// R crosses a bound, in closed form for fibres of one direction, else halved down to 1e-7 mm.
///
/// Refuses an edge without length, fibres without direction and a cut or model out of range (std::invalid_argument).
std::vector<TearStretch> tear_stretches(const EdgeCut& cut, const SideCut& side, const TearModel& model = {});

/// Length in that zone.
double length_in(std::span<const TearStretch> stretches, TearZone zone);

/// Length that lies in that zone in both lists, made of edges of one length.
double length_in_both(std::span<const TearStretch> a, std::span<const TearStretch> b, double edge_length_mm,
                      TearZone zone);

/// Which face up tears less.
struct FaceChoice {
    double tears_up_mm = 0.0, tears_down_mm = 0.0;
    double care_up_mm = 0.0, care_down_mm = 0.0;
    enum class Better { either, up, down } better = Better::either;
};
/// Less length that tears; where that is the same to a millimetre, less that wants care. From the stretches of the edge
/// cut face up and face down.
FaceChoice choose_face(std::span<const TearStretch> up, std::span<const TearStretch> down);
FaceChoice choose_face(const EdgeCut& cut, const SideCut& side, const TearModel& model = {});

/// Both pieces of a seam.
struct SeamFaces {
    FaceChoice left, right;
    double both_tear_mm = 0.0;  ///< both, each cut as given: the seam tears on both sides of one line
};
/// Two cuts of edges that are one line on the drawing, point for point, with the wood to the left and to the right.
SeamFaces choose_faces(const EdgeCut& left, const EdgeCut& right, const SideCut& side, const TearModel& model = {});

}  // namespace seamwright::process
