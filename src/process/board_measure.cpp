#include "process/board_measure.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "figures.h"
#include "units/length.h"

namespace seamwright::process {
namespace {

/// 5/4 planes to 26.99 mm and is sold where 27 mm are asked for.
constexpr double enough_mm = 0.1;
/// Half a foot is half a foot in spite of rounding: widths are eighths of inches, lengths parts of feet.
constexpr double exactly_ft2 = 1e-9;

bool good(const YardBoard& board) {
    constexpr double most = 1e5;
    const auto size = [](double x) { return x > 0.0 && x < most; };
    return size(board.thickness_in) && size(board.width_in) && size(board.length_ft);
}

const ThicknessClass* thinnest(double thickness_mm, double ThicknessClass::* has_in) {
    if (!(thickness_mm > 0.0)) throw std::invalid_argument("thickness class: the thickness must be above 0");
    for (const ThicknessClass& c : thickness_classes())
        if (c.*has_in * units::mm_per_inch >= thickness_mm - enough_mm) return &c;
    return nullptr;
}

}  // namespace

const std::vector<ThicknessClass>& thickness_classes() {
    static const std::vector<ThicknessClass> all = [] {
        const Figures& figures = lumber_figures();
        std::vector<ThicknessClass> out;
        for (const char* name : {"3/4 in", "4/4", "5/4", "6/4", "8/4", "10/4", "12/4", "16/4"}) {
            const Figure rough = figures.at("thickness", std::string(name) + " rough nominal");
            const Figure planed = figures.at("thickness", std::string(name) + " S2S");
            out.push_back({name, rough.low, planed.low, planed.from});
        }
        return out;
    }();
    return all;
}

const ThicknessClass* class_for_planed(double thickness_mm) {
    return thinnest(thickness_mm, &ThicknessClass::planed_in);
}

const ThicknessClass* class_for_rough(double thickness_mm) {
    return thinnest(thickness_mm, &ThicknessClass::rough_in);
}

double board_feet(const YardBoard& board) {
    if (!good(board)) throw std::invalid_argument("board_feet: a size that is none");
    return board.width_in * board.length_ft * std::max(1.0, board.thickness_in) / 12.0;
}

Tally tally(const std::vector<YardBoard>& boards) {
    Tally out;
    bool half_goes_up = true;
    for (const YardBoard& board : boards) {
        if (!good(board)) throw std::invalid_argument("tally: a size that is none");
        const double exact = board.width_in * board.length_ft / 12.0;
        const double below = std::floor(exact + exactly_ft2);
        double feet = std::round(exact);
        if (std::abs(exact - below - 0.5) < exactly_ft2) {
            feet = half_goes_up ? below + 1.0 : below;
            half_goes_up = !half_goes_up;
        }
        out.surface_ft2.push_back(static_cast<int>(feet));
        out.board_feet.push_back(feet * std::max(1.0, board.thickness_in));
        out.total += out.board_feet.back();
    }
    return out;
}

double cubic_metres(double area_m2, double thickness_mm) {
    if (!(area_m2 >= 0.0) || !(thickness_mm > 0.0) || !std::isfinite(area_m2 * thickness_mm))
        throw std::invalid_argument("cubic_metres: an area or thickness that is none");
    return 1e-3 * area_m2 * thickness_mm;
}

Figure waste(Parts parts) {
    const char* item = parts == Parts::rectangular_clear    ? "rectangular parts from FAS / Select"
                       : parts == Parts::rectangular_common ? "rectangular parts from No. 1 Common"
                                                            : "curved parts, colour and grain matched";
    Figure percent = lumber_figures().at("waste", item);
    percent.low *= 1e-2;
    percent.high *= 1e-2;
    return percent;
}

}  // namespace seamwright::process
