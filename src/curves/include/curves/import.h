#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>

#include "curves/drawn.h"

namespace seamwright::curves {

/// Why a text cannot be read as a path: where (byte and line), what was found, what is allowed.
struct ImportProblem {
    std::size_t at = 0;
    std::size_t line = 1;
    std::string found;
    std::string allowed;
    std::string remedy;
};

inline constexpr std::size_t most_import_points = 2'000'000;

/// SVG path data (the `d` attribute, SVG 1.1 / SVG 2 chapter "Paths"): M L H V C S Q T A Z, absolute and relative; one
/// subpath. The numbers are multiplied by `mm_per_unit` (> 0). SVG's y runs down, so y is turned over unless `y_up`.
/// Lines and circular arcs are exact; other curves lie within `within_mm`, and where a Bezier comes to a point the path
/// has a corner. A path that ends where it starts is closed, with or without Z.
std::variant<Imported, ImportProblem> read_svg_path(std::string_view d, double mm_per_unit, bool y_up,
                                                    double within_mm = 0.002);

/// Two numbers a line, separated by comma, semicolon, tab or spaces; a first line of words is taken as headings; lines
/// starting with # are notes. Decimal point only. `closed` joins last to first; a repeated first point at the end also
/// closes. A point that repeats the one before is dropped; all others are kept.
std::variant<Imported, ImportProblem> read_csv_points(std::string_view text, double mm_per_unit, bool closed);

/// The points of a trace and, where known, the scatter of each. mm
struct TracePoints {
    std::vector<Point> points;
    std::vector<double> scatter_mm;  ///< as many as points, or none
};
inline constexpr std::size_t most_trace_points = 20'000;
inline constexpr double least_scatter_mm = 1e-4;

/// Lines of x,y or x,y,scatter, as `write_trace_points` writes them. At least 3.
std::variant<TracePoints, ImportProblem> read_trace_points(std::string_view text);
/// The shortest numbers that read back as the same.
std::string write_trace_points(const std::vector<Point>& points, const std::vector<double>& scatter_mm);

}  // namespace seamwright::curves
