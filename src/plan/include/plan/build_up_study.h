#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/boards_study.h"
#include "plan/movement_study.h"
#include "plan/plan.h"

namespace seamwright::plan {

// Thickening the top along its edge with its own offcuts (process/build_up.h): which part goes where, and which offcut
// of which board it comes from, so that colour and grain go on round the edge.

/// A stretch of the outline between corners; of a smooth outline the whole.
struct BuildUpEdgeLine {
    std::string name;  ///< "front", "right end"; "edge" of an outline that has no sides
    Path line;         ///< the wood on its left
    bool curved = false;
    bool end = false;  ///< mostly across the fibres
    /// Where seams of the top meet it.
    struct Seam {
        std::size_t seam = 0;
        double at_mm = 0.0;     ///< from the start of the line
        double lean_rad = 0.0;  ///< off square; positive: farther along the farther in
        double bend_mm = 0.0;   ///< how far the seam leaves its chord within the build-up
    };
    std::vector<Seam> seams;  ///< in order
};

/// Where the wood of a part comes from.
struct BuildUpSource {
    enum class Where {
        cut_off,      ///< the wood left at the end of the very piece, when it is cut to length
        beyond_end,   ///< of the same board, next to that end of the piece
        beside,       ///< of the same board, beside the piece at the same place along it
        in_line,      ///< of the same board, in line with the place it goes under
        same_board,   ///< elsewhere on it
        other_board,  ///< of the same wood
        same_wood     ///< on any board, for a part that lies under no board's fibres
    };
    Where where = Where::other_board;
    std::size_t board = 0;
    geometry::Box blank;  ///< on the board
};

struct BuildUpPiece {
    std::size_t edge = 0;               ///< of BuildUpStudy::edges
    std::size_t piece = 0;              ///< of the plan, above it
    std::size_t strip = 0;              ///< of that, where it is glued up and its ends are not long enough; else 0
    bool end_grain = false;             ///< shows it at the edge
    bool floating = false;              ///< one long piece that the top moves over
    double from_mm = 0.0, to_mm = 0.0;  ///< along the edge
    double start_lean_rad = 0.0, end_lean_rad = 0.0;  ///< its ends, off square to the edge
    Path shape;                                       ///< closed, counter-clockwise, under the top as it lies
    double fibre_rad = 0.0;
    double along_mm = 0.0, across_mm = 0.0;  ///< its blank, along and across its fibres, allowance counted
    double rise_mm = 0.0;                    ///< of a curved edge over its chord
    double area_mm2 = 0.0;                   ///< glued to the top; of one that floats nothing
    std::optional<BuildUpSource> source;     ///< absent: no offcut holds it, or nobody knows the boards
};

struct BuildUpStudy {
    double width_mm = 0.0, thickness_mm = 0.0, allowance_mm = 3.0;
    std::vector<BuildUpEdgeLine> edges;
    std::vector<BuildUpPiece> parts;  ///< edge by edge, in order along it; numbered from 1
    bool from_boards = false;         ///< the boards are known
    bool ring = false;                ///< a second ring of segments under the first, joints staggered
    double glue_mm2 = 0.0;
    std::vector<Offcut> left;  ///< of the offcuts that parts were taken from, once they are
    /// Wood that no offcut gives.
    struct Lacking {
        std::string species;
        std::vector<std::size_t> parts;
        double length_mm = 0.0, width_mm = 0.0;  ///< a board that holds them, one after the other
    };
    std::vector<Lacking> lacking;
    /// One long piece under an end is shorter at each of its ends by this: the strips beside it move with the top.
    double room_mm = 0.0;
    std::vector<std::string> must, mind;
};

/// nullopt where the job asks for no build-up, or the top has no pieces. `boards`: nullptr where they are not known.
/// Not part of the plan: some tens of milliseconds. Deterministic.
std::optional<BuildUpStudy> study_build_up(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                                           const BoardsStudy* boards, const MovementStudy& movement);

namespace words {
/// "back board", "back board, strip 2".
std::string build_up_name(const BuildUpPiece& part, const Plan& plan);
/// "under back board, end grain, 60 to 230": what part it is and where it goes.
std::string build_up_place(const BuildUpPiece& part, const BuildUpStudy& study, const Plan& plan, const job::Job& job);
/// "from Walnut A, next to that end: 1520 from the left end, 12 from the near edge"
std::string build_up_source(const BuildUpPiece& part, const shelf::Shelf& shelf, const job::Job& job);
/// Edge by edge, then what is left over, what is lacking, and how it is done.
std::vector<Told> build_up_text(const BuildUpStudy& study, const Plan& plan, const job::Job& job,
                                const shelf::Shelf& shelf);
}  // namespace words

}  // namespace seamwright::plan
