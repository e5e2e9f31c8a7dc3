#pragma once

#include <optional>
#include <variant>
#include <vector>

#include "curves/drawn.h"

namespace seamwright::curves {

// How high a curve may be so that an insert with curved edges still comes out of a board.

/// All mm. The insert's width is measured between the chords of its two edges (from end to end of each).
struct BoardRoom {
    double board_mm = 0.0;        ///< width of the board, > 0
    double margin_near_mm = 0.0;  ///< what must stay free along the near and the far edge of the board, >= 0
    double margin_far_mm = 0.0;
    double insert_mm = 0.0;       ///< > 0
    double least_width_mm = 0.0;  ///< the insert is nowhere narrower, across the board; >= 0
    std::optional<double> least_radius_left_mm, least_radius_right_mm;  ///< both edges, as seen along them
};

enum class BoardLimit { board, narrowest, radius_left, radius_right, none };

struct BoardFit {
    double factor = 0.0;     ///< the curves' height, as a part of what was drawn; infinite when nothing limits it
    double height_mm = 0.0;  ///< of the higher edge, from its lowest to its highest place, at that factor
    BoardLimit limit = BoardLimit::none;  ///< what stops it from being higher
    double used_mm = 0.0;                 ///< width of the board the insert then takes, without margins
    double narrowest_mm = 0.0;
};

struct BoardProblem {
    std::string reason;
    std::string remedy;
};

/// Both edges the same wave of whole waves, laid one insert's width apart: the half height is
/// (board − margins − insert) / 2, or less where the crest of a single sine would be tighter than allowed
/// (radius at the crest = length² / (4π² half height)). Absent when the insert does not fit even with straight edges.
std::optional<double> largest_half_height_mm(const BoardRoom& room, double wave_length_mm);

/// Any two open edges, each scaled across its own chord by the same factor. The two chords lie parallel, the far one
/// `insert_mm` to the left of the near one; both edges run the same way. The factor is the largest up to which every
/// smaller one fits too.
std::variant<BoardFit, BoardProblem> fit_to_board(const Drawn& near, const Drawn& far, const BoardRoom& room);

// The same for edges that lie any way on the board, and for stretches of them.

/// One edge of an insert: the stretch of a curve that bounds it. It is scaled across the line from `base_from` to
/// `base_to` (of the whole curve, which may run on beyond the stretch).
struct LaidEdge {
    Path stretch;
    Point base_from, base_to;  ///< apart, else the edge stays as it is
};

struct LaidFit {
    bool fits = false;     ///< at some factor of 0 or more
    double factor = 0.0;   ///< the largest at which it fits; infinite when the board does not limit it
    double used_mm = 0.0;  ///< width it then takes; where it never fits, the least width that any factor up to 1 takes
};

/// How many times as high all edges may be at once, so that they and the places that stay (corners and crests of the
/// outline that also bound the insert) lie within `free_mm` across a board that runs at `along_rad`. The ends of a
/// stretch are taken to move straight across: where they slide along a slanted outline, this is near, not exact.
/// No edge and no place, or a number that is none: std::invalid_argument.
LaidFit fit_to_board(const std::vector<LaidEdge>& edges, const std::vector<Point>& stays, double along_rad,
                     double free_mm);

}  // namespace seamwright::curves
