#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/point.h"
#include "units/length.h"

namespace seamwright::process {

// Thickening a top along its edges with its own offcuts.
//
// Every part of the build-up lies with its fibres as the top's fibres lie above it, so that both move alike through the
// seasons: long strips under edges along the fibres, short pieces that show end grain under edges across them. Where a
// seam meets the edge the part below ends too, along the line of the seam, so that colour and grain go on.

/// Where a seam meets an edge.
struct BuildUpSeam {
    double at_mm = 0.0;     ///< from the start of the edge
    double lean_rad = 0.0;  ///< off square to the edge; positive: farther along the edge the farther in
};

struct BuildUpEdge {
    std::string name;                 ///< "front"
    double length_mm = 0.0;           ///< straight, with the wood on its left
    double fibre_rad = 0.0;           ///< from the edge to the fibres of the top: 0 along it, π/2 across
    std::vector<BuildUpSeam> seams;   ///< in order, all within the edge
    std::vector<std::string> pieces;  ///< of the top, one more than seams: first before the first seam
    /// Where the strip of the edge beside it runs through to the corner: this edge's parts begin and end so far in.
    double start_taken_mm = 0.0, end_taken_mm = 0.0;
    /// Of each piece, where they differ, as fibre_rad; empty: they do not.
    std::vector<double> fibres_rad = {};
};

struct BuildUpWish {
    std::vector<BuildUpEdge> edges;
    double width_mm = 0.0;       ///< of the build-up, in from the edge
    double thickness_mm = 0.0;   ///< of one layer
    double longest_mm = 2400.0;  ///< offcuts along their fibres
    double widest_mm = 150.0;    ///< offcuts across their fibres
    double allowance_mm = 3.0;   ///< sawn larger by this to every side, flushed after gluing
    units::LengthStyle style;    ///< of lengths in the words
};

struct BuildUpPart {
    std::string edge, piece;  ///< from an offcut of this piece
    bool end_grain = false;   ///< shows end grain at the edge
    /// Its corners in the frame of the edge, x from its start, y inward: outside from and to, inside to and from.
    double from_mm = 0.0, to_mm = 0.0, inner_to_mm = 0.0, inner_from_mm = 0.0;
    double start_lean_rad = 0.0, end_lean_rad = 0.0;  ///< its ends, off square to the edge
    double along_mm = 0.0, across_mm = 0.0;           ///< blank, along and across its fibres, with allowance
    double thickness_mm = 0.0;
    double area_mm2 = 0.0;  ///< glued to the top
};

struct BuildUpPlan {
    std::vector<BuildUpPart> parts;  ///< edge by edge, in order along it
    double glue_mm2 = 0.0;
    double strip_mm = 0.0, end_grain_mm = 0.0;  ///< edge length under either
    std::vector<std::string> must, mind;
};
/// A stretch longer or wider than the offcuts is made of equal parts, as few as will do. Throws std::invalid_argument
/// for measures that are none, seams out of order or off the edge, and pieces that do not fit the seams.
BuildUpPlan plan_build_up(const BuildUpWish& wish);

/// The four edges of a rectangle whose fibres run along its length, without seams yet: front, right, back, left,
/// counter-clockwise from the front left corner. The strips under front and back run through to the ends and show their
/// end grain there; the end-grain pieces lie between them.
std::vector<BuildUpEdge> rectangle_edges(double length_mm, double depth_mm, double width_mm, const std::string& piece);

}  // namespace seamwright::process
