#pragma once

#include <cstdint>
#include <vector>

#include "profile.h"

namespace seamwright::stock {

/// An item as it may lie: turned, turned over, or both.
struct Way {
    bool turned = false, over = false;
    double turn_rad = 0.0;
    Profile profile;
};

/// A stretch across the board where an item may be shifted to.
struct Shifts {
    double low = 0.0, high = 0.0;
};

/// What is still free on one board.
class BoardRoom {
  public:
    /// `between_mm`: half of what lies between two items (the kerf), which a board's own edge does not need.
    BoardRoom(const shelf::Board& board, double between_mm);

    /// Shifts across the board that are good where the item is shifted by `x` along it; rising. Counts what it looks
    /// at in `effort`. `clear_of_edge_mm` is for defects that are allowed only away from edges.
    std::vector<Shifts> shifts_at(const Profile& item, double x, double clear_of_edge_mm, std::uint64_t& effort) const;

    /// Shifts along the board worth trying: flush with an end, with what is laid already and with defects, and a few
    /// between. Rising, each once.
    std::vector<double> places_along(const Profile& item, bool and_between) const;

    void lay(const Profile& item, Point shift);
    void take_up();  ///< the last one laid
    double length_mm() const { return widths_.back().to - widths_.front().from; }
    const std::vector<BoardWidth>& widths() const { return widths_; }

  private:
    struct Obstacle {
        Profile profile;
        bool only_near_edges = false;
    };
    std::vector<BoardWidth> widths_;
    std::vector<Obstacle> defects_;
    std::vector<Profile> laid_;  ///< shifted
};

}  // namespace seamwright::stock
