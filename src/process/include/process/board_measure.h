#pragma once

#include <optional>
#include <string>
#include <vector>

#include "process/figure.h"

namespace seamwright::process {

// Wood as it is bought: US board measure by the rules of the hardwood trade (data/lumber.csv, sources there), and cubic
// metres.

inline constexpr double m3_per_board_foot = 144.0 * 25.4 * 25.4 * 25.4 * 1e-9;  ///< exact, 144 cubic inches

/// A thickness class: "4/4" is 1 in rough. Planed on two sides it is thinner.
struct ThicknessClass {
    std::string name;  ///< "4/4", "3/4 in"
    double rough_in = 0.0;
    double planed_in = 0.0;  ///< S2S
    Provenance from = Provenance::memory;
    /// What a board foot reckons with: the rough thickness, and 1 in for anything thinner (from memory).
    double counted_in() const { return rough_in < 1.0 ? 1.0 : rough_in; }
};
/// Thin to thick: 3/4 in, 4/4, 5/4, 6/4, 8/4, 10/4, 12/4, 16/4.
const std::vector<ThicknessClass>& thickness_classes();
/// The thinnest class that still has this thickness when planed on both sides, or when rough; nullptr where none does.
/// A tenth of a millimetre short counts as enough. thickness > 0, else std::invalid_argument.
const ThicknessClass* class_for_planed(double thickness_mm);
const ThicknessClass* class_for_rough(double thickness_mm);

struct YardBoard {
    double thickness_in = 0.0;  ///< rough, as its class says
    double width_in = 0.0, length_ft = 0.0;
};
/// Width × length × thickness / 12, thickness counted as 1 in at least, unrounded. All > 0.
double board_feet(const YardBoard& board);

struct Tally {
    std::vector<int> surface_ft2;    ///< surface measure of each board: width × length / 12 in whole ft²
    std::vector<double> board_feet;  ///< the same × thickness counted
    double total = 0.0;
};
/// Rounded as the trade does: to the nearest ft², and where exactly half a foot is left, up the first time, down the
/// next, and so on through the pile.
Tally tally(const std::vector<YardBoard>& boards);

/// Cubic metres of wood of an area. Area >= 0, thickness > 0.
double cubic_metres(double area_m2, double thickness_mm);

/// Share to buy beyond the finished area, as the trade reckons it (data/lumber.csv, from memory). Where the shapes have
/// been laid on boards, that says more.
enum class Parts { rectangular_clear, rectangular_common, curved_matched };
Figure waste(Parts parts);

}  // namespace seamwright::process
