#pragma once

#include <map>
#include <optional>
#include <span>
#include <vector>

#include "board_room.h"
#include "loads.h"
#include "stock/placing.h"

namespace seamwright::stock {

/// An item turned as it lies on some boards, by its stretches along and across.
struct Turned {
    double turn_rad = 0.0;
    std::vector<Way> ways;
    std::vector<Stretch> along, across;
};

/// What an item needs, worked out once.
struct Need {
    double area_mm2 = 0.0;  ///< with the wood around it; not more than it takes on any board
    double grow_mm = 0.0;   ///< of the wood around it, half a kerf included
    std::vector<Turned> turns;
    /// Which of them on each board; beyond the last where it may not come from the board at all.
    std::vector<std::size_t> turn_of;
    /// Ways it may lie on each board; none: it does not fit there, whatever lies.
    std::vector<std::vector<Way>> ways;
    std::vector<bool> laid_alone;  ///< on each board: a place for it was found
    std::vector<Loads> loads;      ///< on each board it fits on
    bool fits(std::size_t board) const { return !ways[board].empty(); }
};

struct Stock {
    std::span<const Item> items;
    std::span<const shelf::Board> boards;
    const Settings& settings;
    std::vector<Need> needs;
    std::vector<double> cost;      ///< of each board, > 0
    std::vector<double> area_mm2;  ///< that items with the wood around them can cover
};

/// Lays several items on one board; remembers what it found.
class Packer {
  public:
    Packer(const Stock& stock, std::uint64_t& effort) : stock_(stock), effort_(effort) {}
    enum class Care { little, much };
    /// Lies of `items` (rising) on the board, in their order; nullptr where none was found.
    const std::vector<Lie>* pack(std::size_t board, const std::vector<std::size_t>& items, Care care);
    /// Lies found elsewhere.
    void keep(std::size_t board, const std::vector<std::size_t>& items, std::vector<Lie> lies) {
        known_[{board, items}] = {Care::much, std::move(lies)};
    }
    std::uint64_t& effort() const { return effort_; }

  private:
    struct Tries {
        std::uint64_t count = 0, last_effort = 0;
    };
    bool lay_next(BoardRoom& room, std::size_t board, const std::vector<std::size_t>& order, std::size_t at,
                  bool and_between, std::map<std::size_t, Lie>& lies, Tries& tries);

    const Stock& stock_;
    std::uint64_t& effort_;
    struct Known {
        Care tried = Care::little;
        std::optional<std::vector<Lie>> lies;
    };
    std::map<std::pair<std::size_t, std::vector<std::size_t>>, Known> known_;
};

/// Whether the items could lie on the board by area and by what lies side by side: what fails this fits in no way.
bool may_hold(const Stock& stock, std::size_t board, const std::vector<std::size_t>& items);

struct Assignment {
    std::vector<std::optional<std::size_t>> board;  ///< for each item
    double cost = 0.0;
    /// Nothing that places the same items costs less.
    double least_cost = 0.0;
};

/// Gives every item that goes anywhere a board, so that least is left out and, of that, least wood is started. Stops
/// when the packer's effort has grown by `most_effort`.
Assignment assign(const Stock& stock, Packer& packer, std::uint64_t most_effort);

}  // namespace seamwright::stock
