#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "plan/closing_study.h"
#include "plan/plan.h"
#include "stock/placing.h"

namespace seamwright::plan {

/// A piece, or one of the strips a wide piece is glued up from, or one segment of an edging, as it is sawn out of one
/// board.
struct SawnPart {
    std::size_t piece = 0;
    std::string name;        ///< of the piece; of a strip with its number, "back, strip 2 of 3"
    std::size_t strip = 0;   ///< counted from 1, of a segmented edging the segment; 0: the whole piece
    bool by_hand = false;    ///< laid by the maker
    Path shape;              ///< finished outline, turned so that its fibres run along +x
    Path rough;              ///< the same, longer at its ends as the job asks
    double grown_mm = 0.0;   ///< wood left around that
    double fibre_rad = 0.0;  ///< which way its fibres run in the top

    /// The rectangle it is sawn to on its board, ends and margin counted.
    geometry::Box sawn(const stock::Lie& lie) const;
};

/// A piece that is glued up: where its joints lie, square to the fibres, from its lower edge as it lies with them.
struct GluedUp {
    std::size_t piece = 0;
    std::vector<double> joints_mm;
    /// Of each joint: how near it comes to a seam that runs along it; nothing where none does.
    std::vector<std::optional<double>> off_seam_mm;
    /// Of each strip: whether its heart side lies up in the top; nothing where its board does not say.
    std::vector<std::optional<bool>> heart_up = {};
};

/// What is left of a board that was started: the largest rectangles, along its length and beside its pieces.
struct Offcut {
    std::size_t board = 0;
    double length_mm = 0.0, width_mm = 0.0;
    Point at;  ///< its lower left corner on the board
};

/// The part by itself: the piece, or one of the strips when it is divided into so many; nullopt where there is none.
std::optional<SawnPart> sawn_part(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, std::size_t piece,
                                  std::size_t strip, std::size_t of);
/// By how much a part must be moved to lie within its board's length and width, where no more than `within_mm` is
/// wanting in either.
Point kept_on_board(const SawnPart& part, const shelf::Board& board, const stock::Lie& lie, double within_mm);

struct BoardsStudy {
    std::vector<SawnPart> parts;
    std::vector<GluedUp> glued_up;
    stock::Placing placing;  ///< of the parts, in their order
    /// Of the parts that the maker laid: what is wrong with them, in words.
    std::vector<std::string> faults;
    std::vector<Offcut> offcuts;
    double wood_mm2 = 0.0;  ///< of the parts, finished
    double used_mm2 = 0.0;  ///< of the boards started
};

/// How many strips a piece is glued up from, or segments it has; 0: it is whole.
std::size_t strips_of(const BoardsStudy& study, std::size_t piece);

/// Which piece comes from which board and where it lies on it. A piece wider than every board of its wood is divided
/// into strips, as few as will do or up to two more, with the joints moved off seams that run along them; pieces that
/// must come from one board are not. nullopt when the shelf has no boards. Not part of the plan: it takes up to a few
/// seconds. Deterministic.
std::optional<BoardsStudy> study_boards(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                                        std::uint64_t effort = stock::Settings{}.effort);

namespace words {
/// Board by board, then what is missing, joints, and how good the answer is.
std::vector<Told> boards_text(const BoardsStudy& study, const Plan& plan, const job::Job& job,
                              const shelf::Shelf& shelf);
/// Which saws can follow the lines along which the pieces are sawn roughly.
Told sawing_text(const Plan& plan, const job::Job& job);
}  // namespace words

}  // namespace seamwright::plan
