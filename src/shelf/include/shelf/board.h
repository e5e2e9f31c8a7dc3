#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/path.h"

namespace seamwright::shelf {

/// How the growth rings lie in a board: flat-sawn wood has them along its width, quarter-sawn across its thickness,
/// rift-sawn about halfway between.
enum class Sawn { flat, rift, quarter };

std::string_view name_of(Sawn sawn);  ///< as in a job file

/// A place on a board that must be kept out of some or all of the finished wood.
struct Defect {
    enum class Kind { knot, check, sapwood, wane, other };
    enum class Allowed {
        nowhere,          ///< not in the finished wood
        away_from_seams,  ///< in the wood, but not near a seam or an edge
        anywhere          ///< marked, not avoided
    };
    Kind kind = Kind::knot;
    Allowed allowed = Allowed::nowhere;
    /// Either a circle about `at` or, where it has points, a closed outline.
    geometry::Point at;
    double radius_mm = 0.0;
    std::vector<geometry::Point> outline;
    friend bool operator==(const Defect&, const Defect&) = default;
};

std::string_view name_of(Defect::Kind kind);
std::string_view name_of(Defect::Allowed allowed);

/// A board as it lies on the bench: x along its length from its left end, y up from its near edge, the face drawn
/// upwards.
struct Board {
    std::string name;
    std::string species;
    double length_mm = 0.0, width_mm = 0.0;
    double thickness_mm = 0.0;        ///< as it is now, rough or planed
    std::optional<double> planed_mm;  ///< what it planes to; absent: as thick as the top
    std::string thickness_class;      ///< as the yard calls it: "5/4", "27 mm"; not reckoned with
    double slope_rad = 0.0;           ///< fibres against the length of the board, counter-clockwise
    Sawn sawn = Sawn::flat;
    std::optional<bool> heart_up;  ///< whether the side that was nearer the middle of the tree lies up
    std::optional<double> moisture_percent;
    std::optional<double> price;  ///< of the whole board, in the maker's money
    /// Where its edges are not straight: its outline, points joined by straight lines, within length and width.
    std::vector<geometry::Point> outline;
    std::vector<Defect> defects;
    /// A JPEG or PNG file that shows just the board: its left end at the picture's left side, its far edge at the top,
    /// to one scale. Empty: none. Only drawn, never reckoned with.
    std::string picture = {};
    /// Lines drawn along the fibres, each of two points or more. With them the slope counts only where there are none.
    std::vector<std::vector<geometry::Point>> grain_lines = {};
    friend bool operator==(const Board&, const Board&) = default;
};

}  // namespace seamwright::shelf
