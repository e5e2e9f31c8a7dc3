#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "plan/boards_study.h"
#include "plan/figure.h"

namespace seamwright::plan {

/// A part of the top that comes out of one board.
struct LookPatch {
    std::size_t piece = 0;
    std::vector<Path> clip;      ///< on the top: the piece's outer edge and its holes, the even-odd rule between them
    std::optional<Path> within;  ///< on the top: the strip of the piece, where it is glued up
    std::vector<Path> joints;    ///< on the top: to the next strip
    std::string name;            ///< of the piece, or of its strip
    std::optional<std::size_t> board;  ///< on the shelf; absent where it lies on none
    bool other_face = false;           ///< the face that is seen lies down on the board: the figure is mirrored
    BoardOnTop lies;
    double length_mm = 0.0, width_mm = 0.0;  ///< of the board
    std::string picture;                     ///< of the board, over its length and width; empty: drawn
    std::string ground, line;                ///< "#rrggbb"; the ground is there beneath a picture too
    std::vector<FigureLine> figure;          ///< empty with a picture
};

/// What the finished top looks like, seen from above.
struct FinishedLook {
    std::vector<LookPatch> patches;  ///< cover the top
    std::vector<Path> seams;         ///< from edge to edge
    Path outline;
    geometry::Box box;
};

/// Each piece filled with the part of its board's picture that it is sawn from; where the board has none, or the
/// piece lies on no board, with a figure drawn for it. `may_use` says whether there is such a picture. Nothing is
/// read. Deterministic.
FinishedLook finished_look(const Plan& plan, const shelf::Shelf& shelf, const BoardsStudy* boards,
                           const std::function<bool(const std::string& picture)>& may_use);

namespace words {
/// What the picture shows, and what it cannot: one sentence each.
std::vector<std::string> finished_look_text(const FinishedLook& look);
}  // namespace words

}  // namespace seamwright::plan
