#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geometry/region.h"
#include "shelf/board.h"

namespace seamwright::stock {

using geometry::Path;
using geometry::Point;

/// How an item lies on its board: its shape turned by `turn_rad` about the origin (after being turned over about its
/// long axis where `over`), then moved by `shift`.
struct Lie {
    std::size_t board = 0;
    double turn_rad = 0.0;
    bool turned = false;  ///< end for end: half a turn more
    bool over = false;    ///< y counted the other way first
    Point shift;

    Point placed(Point p) const;
    Path placed(const Path& path) const;
    friend bool operator==(const Lie&, const Lie&) = default;
};

/// A piece of wood to come out of one board.
struct Item {
    std::string name;
    std::string species;
    Path shape;              ///< finished outline, counter-clockwise, the fibres along +x; its hollows count as wood
    Path rough = {};         ///< what is sawn where that is more than the shape, which it holds; empty: the shape
    double margin_mm = 0.0;  ///< wood left around either by the rough cut
    double thickness_mm = 0.0;
    bool may_turn = true, may_turn_over = true;
    /// How far a defect that is allowed in the wood but not near seams stays from the outline.
    double clear_of_edge_mm = 0.0;
    std::vector<std::size_t> only_from;  ///< boards it may come from; empty: any
    std::optional<Lie> fixed;            ///< laid by the maker

    const Path& sawn() const { return rough.empty() ? shape : rough; }
};

struct Settings {
    double kerf_mm = 3.0;
    double grain_within_rad = 0.05;
    /// How much is tried before the best answer so far is given: a count of places looked at, so that the answer does
    /// not depend on the machine. 10⁷ takes a second or so.
    std::uint64_t effort = 100'000'000;
};

/// Why an item lies nowhere.
struct Unplaced {
    enum class Why {
        no_such_wood,  ///< no board of its species that it may come from
        too_thin,      ///< none thick enough
        too_short,     ///< none long enough
        too_narrow,    ///< none wide enough
        in_the_way,    ///< none with room between its defects, or in its curved edges
        used_up        ///< it fits on some board, but not beside the others
    };
    std::size_t item = 0;
    Why why = Why::used_up;
    double needs_mm = 0.0;  ///< thickness, length or width it needs, with the wood around it
    double most_mm = 0.0;   ///< the most there is
};

struct Placing {
    std::vector<std::optional<Lie>> lies;  ///< for each item
    std::vector<Unplaced> unplaced;
    std::vector<std::size_t> boards_used;  ///< in order
    /// Of the boards used, by price where every board has one, else by area in m².
    double cost = 0.0;
    /// No way of placing the same items costs less than this, as long as each is turned as it is here: along its
    /// board's fibres or, on a board whose fibres slope too much, by just what brings it within the limit. Proved by
    /// going through the sets of items each board can hold (up to 14 items), else from areas and from what lies side by
    /// side. 0 where something is left out.
    double least_cost = 0.0;
    bool by_price = false;
    bool proved = false;  ///< cost is least_cost, to rounding
    std::uint64_t effort = 0;

    /// Part of the cost that might still be saved; 0 where it is proved best.
    double gap() const { return cost > 0.0 && cost > least_cost ? (cost - least_cost) / cost : 0.0; }
};

/// Lays items on boards so that each with its margin keeps on its board, a saw kerf from every other, and its finished
/// wood off what must not be in it; with the fibres along it within the limit. Of the ways found, the one that leaves
/// least unplaced and, of these, starts the least wood. Deterministic; `thickness_mm` of an item must be there in a
/// board's planed thickness. Along the grain shapes are taken in steps of a few millimetres, on the safe side, so some
/// tight nests of curved pieces are passed over.
/// Throws std::invalid_argument for an empty shape, or one laid on a board that is not there.
Placing place(std::span<const Item> items, std::span<const shelf::Board> boards, const Settings& settings);

/// What is wrong with one lie: beyond the board, over a defect, too near another. Exact, arc by arc; empty when good.
/// For a piece the maker lays by hand, and for checking.
struct Fault {
    enum class Kind { off_board, on_defect, near_defect, on_other, fibres_askew };
    Kind kind = Kind::off_board;
    std::size_t other = 0;  ///< the defect, or the other item; of fibres_askew nothing
    double by_mm = 0.0;     ///< how far it would have to give way at least
    Point at;               ///< on the board
};
std::vector<Fault> faults_of(std::size_t item, std::span<const Item> items, std::span<const std::optional<Lie>> lies,
                             std::span<const shelf::Board> boards, const Settings& settings);

/// How far an item is turned so that its fibres lie as those of the board: by as little as brings them within the limit
/// of its slope; to the mean direction of the lines drawn along its grain.
double turn_on(const shelf::Board& board, const Settings& settings);
/// Where lines are drawn along a board's grain: patches, of cells of 20 mm, that hold fibres askew beyond the limit to
/// an item turned by `turn_rad`.
std::vector<shelf::Defect> askew_fibres(const shelf::Board& board, double turn_rad, double within_rad);

/// Whether two names stand for one species; names that are not in the tables count as they are written.
bool of_one_wood(const std::string& a, const std::string& b);

/// The board's outline: its corners, or the rectangle. Counter-clockwise.
Path outline_of(const shelf::Board& board);
Path outline_of(const shelf::Defect& defect);

}  // namespace seamwright::stock
