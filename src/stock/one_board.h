#pragma once

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "lifts.h"
#include "search.h"

namespace seamwright::stock {

/// Whether some items come out of one board together, by going through every way they can lie to one another: left of,
/// right of, below or above, and the same of each item and each defect. What it calls impossible is so: there are no
/// lies on this board, turned as the ways of the items are, that keep what place() keeps.
class OneBoard {
  public:
    OneBoard(const Stock& stock, Fineness fineness, std::uint64_t& effort)
        : stock_(stock), fineness_(fineness), effort_(effort) {}

    enum class End { laid, impossible, open };
    struct Answer {
        End end = End::open;
        std::vector<Lie> lies;  ///< of the items, in their order; where laid
        /// Impossible as well on every board with the same fibres that is no longer and no wider.
        bool by_size_alone = false;
    };
    /// `items` rising; at most `most_steps` forks are looked at, and none once the effort has reached `last_effort`.
    Answer look(std::size_t board, const std::vector<std::size_t>& items, std::uint64_t most_steps,
                std::uint64_t last_effort);

  private:
    friend class Search;
    /// An item as it may lie.
    struct Shape {
        std::vector<Body> grown;     ///< each way
        std::vector<Body> finished;  ///< by y from the lowest of the grown body
        /// From the left end of the grown body to that of the finished one, the same whichever way it lies; nothing
        /// where longer rough ends make it differ: such an item is not held against spots.
        std::optional<double> lead_mm;
        std::vector<Profile> profiles;
    };
    /// A board, and what must not be in the wood.
    struct Ground {
        std::vector<Body> spots;
        std::optional<BoardBodies> edges;  ///< where they are not straight
        Point low, high;                   ///< of its box, grown by half a kerf
        std::optional<BoardRoom> room;
    };
    /// Two bodies: items by number, turn and way; spots and edges by board and number.
    using Key = std::array<std::size_t, 6>;

    const Shape& shape_of(std::size_t item, std::size_t turn);
    Ground& ground_of(std::size_t board);
    const Lifts& lifts_of(const Key& key, const Body& below, const Body& above);
    const Lifts& least_of(const Key& key, const std::vector<const Lifts*>& several);

    const Stock& stock_;
    Fineness fineness_;
    std::uint64_t& effort_;
    std::map<std::pair<std::size_t, std::size_t>, Shape> shapes_;
    std::map<std::size_t, Ground> grounds_;
    std::map<Key, std::unique_ptr<Lifts>> lifts_;
};

}  // namespace seamwright::stock
