#pragma once

#include <optional>
#include <string>

#include "seam/chain.h"

namespace seamwright::seam {

inline shelf::Guide guide(const std::string& name, double outside_mm, std::optional<double> measured_mm = {}) {
    shelf::Guide g;
    g.name = name;
    g.outside = {outside_mm, measured_mm};
    g.barrel_length_mm = 9.0;
    return g;
}

inline shelf::Cutter cutter(const std::string& name, double cutting_mm, std::optional<double> measured_mm = {}) {
    shelf::Cutter c;
    c.name = name;
    c.cutting = {cutting_mm, measured_mm};
    c.cutting_length_mm = 50.0;
    c.shank_mm = cutting_mm < 8.0 ? cutting_mm : 8.0;
    return c;
}

// GCC 12 sees a false overlap in "G" + std::to_string(i).
inline std::string numbered(const char* letter, int i) {
    return std::string(letter).append(std::to_string(i));
}

inline constexpr Depths usual{34.0, 12.0, 1.0};

inline const Chain* find(const Chains& chains, const std::string& id) {
    for (const Chain& c : chains.ranked)
        if (c.id == id) return &c;
    return nullptr;
}

/// One guide and one cutter, the chain that uses them for everything.
inline Chain same_pair_chain(double B_mm, double b_mm, bool master_on_left, std::optional<double> measured_b_mm = {}) {
    shelf::Shelf shelf;
    shelf.guides = {guide("G", B_mm)};
    shelf.cutters = {cutter("C", b_mm, measured_b_mm)};
    return chain_of_id(shelf, usual, master_on_left ? "left:far(G/C)-G/C-G/C" : "right:far(G/C)-G/C-G/C").value();
}
inline shelf::Shelf same_pair_shelf(double B_mm, double b_mm, std::optional<double> measured_b_mm = {}) {
    shelf::Shelf shelf;
    shelf.guides = {guide("G", B_mm)};
    shelf.cutters = {cutter("C", b_mm, measured_b_mm)};
    return shelf;
}

}  // namespace seamwright::seam
