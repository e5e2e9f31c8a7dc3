#pragma once

#include <span>
#include <vector>

#include "body.h"

namespace seamwright::stock {

/// How much higher than one body another must lie at least where it lies above it and some of both lies over one line
/// across the board, by how far its left end is to the right of the other's.
class Lifts {
  public:
    Lifts(const Body& below, const Body& above);
    /// The least of several: of two that lie one way or another.
    explicit Lifts(std::span<const Lifts* const> several);

    struct Range {
        Micrometres least = 0, most = 0;
    };
    /// Over shifts from `from` to `to`, those only where they can overlap; `least` is > far_um where there is none.
    Range over(Micrometres from, Micrometres to) const;
    /// The shift that ends the cell in which `shift` lies.
    Micrometres end_of_cell(Micrometres shift) const;
    Micrometres cell() const { return cell_um(fineness_); }
    std::uint64_t compared() const { return compared_; }  ///< numbers looked at

  private:
    std::int32_t cell_of(Micrometres shift) const { return shift >> static_cast<std::int32_t>(fineness_); }
    void grow_tree();
    Fineness fineness_ = Fineness::coarse;
    std::uint64_t compared_ = 0;
    std::int32_t first_ = 0;  ///< cell of the leftmost shift
    std::size_t count_ = 0;
    std::vector<Range> tree_;  ///< leaves from count_ on
};

}  // namespace seamwright::stock
