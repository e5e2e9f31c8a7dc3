#pragma once

#include <cstddef>
#include <memory>
#include <string>

#include "paper/drawing.h"

namespace seamwright::paper {

/// Cairo keeps coordinates in steps of 1/256 of its unit. Pages are drawn this many times too large and brought back
/// to size by a matrix in front of their contents, so a step is 1/2048 pt = 0.17 µm instead of 1.4 µm; letters, too,
/// are then spaced without rounding to whole units.
inline constexpr double fine = 8.0;
inline constexpr double pt_per_mm = 72.0 / 25.4;
/// No arc leaves its true place by more than this when it is written as Bézier pieces.
inline constexpr double arc_error_mm = 0.00025;
/// Cairo's coordinates end at 2^23 units; this leaves room.
inline constexpr double longest_page_mm = 100000.0;

/// How many cubic pieces an arc needs. A piece that turns by a and is tangent at both ends with handles of
/// 4/3 tan(a/4) lies at most (4/27) sin⁶(a/4) / cos²(a/4) of its radius outside the circle (expand the radius along the
/// Bézier; also in M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8, 1991 — from memory).
int arc_pieces(double radius_mm, double sweep_rad, double within_mm);

/// Pages drawn in mm, y up, from the lower left corner.
class Canvas {
  public:
    Canvas();
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;

    /// Starts the next page and returns its number, from 0.
    std::size_t page(double width_mm, double height_mm);
    /// Everything drawn from here on moves by this.
    void move_by(Point by);

    void draw(const DrawnPath& path);
    /// Throws std::runtime_error for a picture that cannot be held.
    void draw(const WoodPatch& patch);
    void draw(const Text& text, double grey = 0.0);
    /// The text, smaller if need be so that it is no longer than `most_mm`.
    void draw_within(Text text, double most_mm, double grey = 0.0);
    /// Lines broken to a width, from the upper left corner down. Returns the height used.
    double paragraph(Point upper_left, double width_mm, double height_mm, const std::string& text, bool bold = false,
                     double grey = 0.0);
    double length_mm(const Text& text);

    /// Ends the file and returns the bytes, coordinates still `fine` times too large.
    std::string finish();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace seamwright::paper
