#pragma once

#include <optional>
#include <vector>

namespace seamwright::process {

// What a saw can follow when a piece is cut out roughly.

/// Tightest bend that a band-saw blade of a width turns without being forced: a chart of the trade (common practice,
/// from memory; blades differ by their set).
struct BandBlade {
    double width_mm = 0.0;
    double least_radius_mm = 0.0;
};
const std::vector<BandBlade>& band_blades();
/// The widest of them that follows a radius; nullopt where none does. Infinite radius: straight.
std::optional<BandBlade> widest_blade(double radius_mm);

/// A jigsaw's usual blade in wood of this thickness (common practice, from memory: 25 mm in thin stock, a thicker piece
/// asks for half a millimetre more for each millimetre of thickness over 20).
double jigsaw_radius_mm(double thickness_mm);

/// A hand-held circular saw: its blade stands in the wood over a chord L = 2 √(r² − (r − d)²), d deep, and bends its
/// way only as far as the set of its teeth leaves room, `free_mm` to either side: R = L² / (8 free).
/// blade radius > depth > 0, free > 0, else std::invalid_argument.
double circular_saw_radius_mm(double blade_radius_mm, double depth_mm, double free_mm);

}  // namespace seamwright::process
