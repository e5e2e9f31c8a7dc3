#pragma once

#include <array>
#include <span>

#include "panel_mesh.h"
#include "wood/panel_body.h"

namespace seamwright::wood {

/// A place on a side at which it is integrated.
struct LinePlace {
    std::array<double, 3> shape{};
    Point tangent;           ///< unit vector
    double length_mm = 0.0;  ///< that counts for it
};
/// Three places (C. Gauss) on the part of the side between two fractions of it.
std::array<LinePlace, 3> line_places(const LineSide& side, std::span<const Point> nodes, double from = 0.0,
                                     double to = 1.0);

struct LineChange {
    ShapeChange shape;
    BeforeAfter length, rise;
    bool middle_right_of_ends = true;  ///< by which the departures are most like an arc
};
LineChange measure_line(const MeshedLine& line, std::span<const Point> nodes, std::span<const Point> moves);

/// Fills `along` and `across`.
void measure_piece(const BodyMesh& mesh, std::span<const std::uint32_t> triangles, std::span<const Point> moves,
                   double grain_rad, PieceAnswer& out);

/// Fills sizes of the whole top; `out.moves` are known.
void measure_top(std::span<const LineSide> rim, std::span<const Point> nodes, std::size_t stations, BodyAnswer& out);

}  // namespace seamwright::wood
