#pragma once

// The ways from a master to two cut edges, written in the frame of the master's own hand: x = n for a master on the
// left, x = −n for one on the right. "Own" is the piece on the master's hand, "mate" the other.

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "seam/chain.h"

namespace seamwright::seam {

enum class Way : std::uint8_t { one_pattern, far, far_near, near_far, near_and_far, paper };

/// Routed steps in their order: up to two copies, then the two cuts.
enum Slot : std::size_t { first_copy, second_copy, own_cut, mate_cut, slots };

struct WayFacts {
    Way way;
    std::size_t copies;
    int templates;
    /// How the id is spelled; digits stand for slots.
    std::string_view spelling;
};

inline constexpr std::array<WayFacts, 6> all_ways{{
    {Way::one_pattern, 0, 1, "2-far(3)"},
    {Way::far, 1, 2, "far(0)-2-3"},
    {Way::far_near, 2, 3, "far(0)+near(1)-2-3"},
    {Way::near_far, 2, 3, "near(0)+far(1)-2-3"},
    {Way::near_and_far, 2, 3, "near(0),far(1)-2-3"},
    {Way::paper, 0, 2, "2-3"},
}};
constexpr const WayFacts& facts(Way way) {
    return all_ways[static_cast<std::size_t>(way)];
}

/// Indices into a list of pairs; unused slots stay 0.
struct Assignment {
    Way way = Way::far;
    std::array<std::uint16_t, slots> pair{};

    friend auto operator<=>(const Assignment&, const Assignment&) = default;
};

/// Near and far offset of one pair.
struct Reaches {
    double near_mm = 0.0;  ///< o = (B − b)/2
    double far_mm = 0.0;   ///< f = (B + b)/2
};
inline Reaches measured(const Pair& p) {
    return {p.offset_mm(), p.far_mm()};
}
inline Reaches nominal(const Pair& p) {
    return {p.nominal_offset_mm(), p.nominal_far_mm()};
}

/// Mate edge less own edge, from the reaches of the four slots: + a gap, − an overlap, on either hand.
inline double mismatch_of(Way way, const std::array<Reaches, slots>& r) {
    const double cuts = r[own_cut].near_mm + r[mate_cut].near_mm;
    switch (way) {
        case Way::one_pattern:
            return r[mate_cut].far_mm - r[own_cut].near_mm;
        case Way::far:
            return r[first_copy].far_mm - cuts;
        case Way::far_near:
            return r[first_copy].far_mm - r[second_copy].near_mm - cuts;
        case Way::near_far:
            return r[first_copy].near_mm + r[second_copy].far_mm - cuts;
        case Way::near_and_far:
            return r[second_copy].far_mm - r[first_copy].near_mm - cuts;
        case Way::paper:
            break;
    }
    return 0.0;
}

/// Changes of what rides and of the cutter between two steps: 0, 1 or 2.
inline int changes_between(const Pair& a, const Pair& b) {
    const bool same_rider = a.rides == b.rides && a.rider == b.rider;
    return (same_rider ? 0 : 1) + (a.cutter == b.cutter ? 0 : 1);
}

/// Over all routed steps, the cuts in the better order.
int tool_changes_of(const std::vector<Pair>& pairs, const Assignment& assignment);
/// True when cutting the mate first saves a tool change.
bool mate_cut_first(const std::vector<Pair>& pairs, const Assignment& assignment);

/// A near copy with no offset is the same template again.
inline constexpr double least_near_copy_mm = 0.01;

/// The chain written out for the maker; `left` is the master's hand.
Chain written_out(const shelf::Shelf& shelf, const std::vector<Pair>& pairs, const Assignment& assignment, bool left,
                  const Depths& depths);

}  // namespace seamwright::seam
