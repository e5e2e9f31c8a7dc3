#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "geometry/path.h"
#include "units/length.h"

namespace seamwright::process {

// Solid edging around a curved outline, sawn in segments from straight boards.
//
// The outline runs with its wood on the left. Each segment is the stretch of the edging between two joints, its fibres
// along the chord of its outer edge. Joints stand square to the outline, at a sharp corner on its mitre. So the two end
// angles at a joint add up to the turn between the chords there, and all end angles of a closed outline to one full
// turn.

/// Chord of an arc, 2 r sin(angle / 2), and its rise, r (1 − cos(angle / 2)). r > 0, 0 < angle <= 2 π.
double chord_mm(double radius_mm, double angle_rad);
double sagitta_mm(double radius_mm, double angle_rad);

/// Width of board that holds a segment of a ring, without margins: the edging's width and the rise of its inner arc.
/// outer > width > 0, 0 < angle < π.
double ring_board_width_mm(double outer_radius_mm, double edging_width_mm, double angle_rad);
/// The fewest equal segments of a full ring that come out of a board, at least 3; nullopt where the board is no wider
/// than the edging and both margins.
std::optional<int> ring_segments(double outer_radius_mm, double edging_width_mm, double board_width_mm,
                                 double margin_mm);

struct EdgingWish {
    double width_mm = 0.0;  ///< of the edging, inward from the outline
    double board_width_mm = 0.0;
    std::optional<double> board_length_mm;
    double margin_mm = 5.0;       ///< of board to either side of a segment, for sawing and routing
    double end_margin_mm = 15.0;  ///< beyond either end
    /// Largest angle between fibres and edge; beyond it the short grain at the ends breaks out. Above 0, at most
    /// most_run_out (25°: common practice, from memory; eight segments of a ring have 22.5°).
    double run_out_rad = 25.0 / geometry::degrees_per_radian;
    std::vector<double> seams_mm;  ///< stations where seams of the top meet the outline
    double clear_mm = 30.0;        ///< joints stay this far from them, along the outline
    std::optional<int> segments;   ///< as many as these; absent: as few as possible
    units::LengthStyle style;      ///< of lengths in the words
};
inline constexpr double most_run_out_rad = 60.0 / geometry::degrees_per_radian;
inline constexpr int most_segments = 120;

struct EdgingSegment {
    double from_mm = 0.0, to_mm = 0.0;     ///< stations of its joints; `to` may be before `from` on a closed outline
    geometry::Path outer, inner;           ///< its edges, inner not yet cut off (or made longer) by mitres
    geometry::Point joint_from, joint_to;  ///< where its joints end on the inside
    double fibre_rad = 0.0;                ///< direction of its fibres: the chord of `outer`
    double chord_mm = 0.0;
    double rise_mm = 0.0;         ///< board width less margins and edging width
    double board_width_mm = 0.0;  ///< needed, margins counted
    double board_length_mm = 0.0;
    double start_rad = 0.0, end_rad = 0.0;  ///< to saw off square, at its ends; positive: longer outside
    double run_out_rad = 0.0;               ///< largest angle between fibres and outer edge, anywhere on it
    double area_mm2 = 0.0;
};

struct EdgingPlan {
    std::vector<EdgingSegment> segments;  ///< in order along the outline; none where there is no way
    double board_length_mm = 0.0;         ///< all of them, one after the other on a board
    double widest_mm = 0.0;               ///< board needed by the widest of them
    double yield = 0.0;                   ///< edging over the rectangles of board it comes from
    double nearest_seam_mm = 0.0;         ///< smallest distance of a joint from a seam; 0 without joints or seams
    bool even = false;                    ///< all segments alike (a circle)
    std::vector<std::string> must, mind;
};
/// A circle is divided evenly, turned so that its joints are as far from the seams as they come; if no number of even
/// segments keeps clear, and for every other outline, joints lie on one of `joint_places` places or just clear of a
/// seam (sharp corners always have one), as few as the board allows, and of as many those whose widest segment is
/// narrowest. Throws std::invalid_argument for measures that are none, an empty path, and run-out or segments out of
/// range.
EdgingPlan plan_edging(const geometry::Path& outline, const EdgingWish& wish);
inline constexpr std::size_t joint_places = 240;

}  // namespace seamwright::process
