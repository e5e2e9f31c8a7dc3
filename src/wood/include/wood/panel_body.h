#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "geometry/region.h"
#include "wood/elastic.h"

namespace seamwright::wood {

// What a glued top does when its moisture changes, in its plane: pieces that want to shrink and swell differently hold
// each other through their seams. Plane stress, each piece the same throughout with straight grain, seams that do not
// give: σ = C (ε − ε*), C turned by the grain, ε* the free strain of the piece. Small displacements. Six-node triangles
// whose edges follow the curves. Creep is left out: held for months, wood lets go of about half of such stresses (a
// judgement), and the answer is the stress at once.

using geometry::Path;
using geometry::Point;

/// A piece of a top. Pieces share the segments of the seam between them bit for bit, as geometry::split() leaves them.
struct BodyPiece {
    geometry::Region region;
    PlaneElastic elastic;
    double grain_rad = 0.0;  ///< of the fibres, from +x
};

/// What a piece would do by itself: parts of its length and width, + swells (coefficient times change of moisture).
struct FreeStrain {
    double along = 0.0;   ///< the fibres
    double across = 0.0;  ///< them, in the plane of the top
};

/// A seam from edge to edge of the wood, or closed (an inlay); made of segments that two pieces share.
struct BodySeam {
    Path line;
    std::string name;
};

struct BodySettings {
    /// Side of a triangle away from seam ends. On a top of 2400 × 900 mm with one wave, against 7.5 mm: moves within
    /// 1e-6 at any of these sizes; means over 10 mm of the seam's stress, more than 50 mm from its ends and as parts of
    /// the largest, within 4.5 % at 40 mm, 3.5 % at 20 mm, 2.5 % at 15 mm and 1 % at 10 mm. The time doubles from
    /// 20 mm to 15 mm.
    double element_mm = 20.0;
    double end_share = 0.3;    ///< of it, the side at seam ends and at corners of seams
    double average_mm = 10.0;  ///< seam stresses are means over about this length
    std::size_t stations = 9;  ///< places along length and width where the top is measured
    std::size_t most_nodes = 400000;
};

struct BodyProblem {
    std::string reason;
    std::string remedy;
    std::optional<Point> at;
};

struct BodyTriangle {
    std::array<std::uint32_t, 6> node{};  ///< corners counter-clockwise, then the middles of sides 01, 12, 20
    std::uint32_t piece = 0;
};

struct BodyMesh {
    std::vector<Point> nodes;
    std::vector<BodyTriangle> triangles;
};

/// A triangle's mean stress, MPa, in the directions of its grain; + is a pull.
struct BodyStress {
    double along = 0.0, across = 0.0, shear = 0.0;
};

struct BeforeAfter {
    double before_mm = 0.0, after_mm = 0.0;
    double change_mm() const { return after_mm - before_mm; }
};

/// Stress on a stretch of a seam, from the forces the left piece passes to the right one. At a seam end on a free edge
/// and at a corner the elastic stress has no finite value: only the mean over a stated length means something, and the
/// first and last row change somewhat with that length and with the mesh.
struct SeamStress {
    double at_mm = 0.0;        ///< middle of the stretch, from the start of the seam
    double opening_mpa = 0.0;  ///< square to the seam, + pulls it open
    double shear_mpa = 0.0;    ///< + where the right piece pulls the left one forwards along the seam
};

/// How the shape of a line changes: the line as it was is laid on the line as it is, by the turn and shift for which
/// the mean square distance is least; what is left, square to the line.
struct ShapeChange {
    double most_mm = 0.0;   ///< largest departure to the left of the line
    double least_mm = 0.0;  ///< largest departure to the right, as a negative number
    double spread_mm() const { return most_mm - least_mm; }
};

struct SeamAnswer {
    std::string name;
    std::size_t left_piece = 0, right_piece = 0;
    double stretch_mm = 0.0;  ///< length over which each row is a mean
    std::vector<SeamStress> rows;
    ShapeChange shape;
    BeforeAfter length;
    /// From the farthest left to the farthest right of the straight line between its ends. Closed seams have none.
    std::optional<BeforeAfter> rise;
};

/// A stretch of the outline of the whole top between two of its corners (over 20°); wood on its left. Seams may end in
/// it. An outline without corners is one edge.
struct OuterEdgeAnswer {
    Point from, to;
    BeforeAfter length;
    ShapeChange shape;
    /// How hollow or bulged a straightedge finds it: spread_mm(), + where the middle stands out of the wood against the
    /// ends. For a straight edge bent to an arc that is the rise of the arc.
    double bow_mm = 0.0;
};

struct PieceAnswer {
    BeforeAfter along, across;          ///< its size along and across its own grain
    double most_pull_across_mpa = 0.0;  ///< of the mean stresses of its triangles: changes with the mesh at seam ends
    double most_push_across_mpa = 0.0;  ///< as a positive number
    double most_shear_mpa = 0.0;
};

/// Measured across the whole top, edge to edge, at the same part of its length or width before and after.
struct BodySize {
    double at_mm = 0.0;
    BeforeAfter size;
};

struct BodyAnswer {
    /// Per node of the mesh. Over the area of the wood its mean is nothing, and so is the mean turn.
    std::vector<Point> moves;
    std::vector<BodyStress> stresses;  ///< per triangle
    std::vector<SeamAnswer> seams;     ///< as given
    std::vector<OuterEdgeAnswer> outer_edges;
    std::vector<PieceAnswer> pieces;
    BeforeAfter length, width;                       ///< of the box around the top, in x and y
    std::vector<BodySize> lengths, widths;           ///< in x at places along y; in y at places along x
    BodySize most_width_change, least_width_change;  ///< of `widths`, by amount; nothing without stations
    double largest_move_mm = 0.0;
};

/// Pieces meshed and their stiffness factored once, for any number of changes of moisture.
class PanelBody {
  public:
    static std::variant<PanelBody, BodyProblem> make(std::span<const BodyPiece> pieces, std::span<const BodySeam> seams,
                                                     const BodySettings& settings = {});
    PanelBody(PanelBody&&) noexcept;
    PanelBody& operator=(PanelBody&&) noexcept;
    PanelBody(const PanelBody&) = delete;
    PanelBody& operator=(const PanelBody&) = delete;
    ~PanelBody();

    const BodyMesh& mesh() const;
    /// One free strain for each piece, else std::invalid_argument.
    BodyAnswer change(std::span<const FreeStrain> strains) const;

  private:
    struct Inside;
    explicit PanelBody(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

}  // namespace seamwright::wood
