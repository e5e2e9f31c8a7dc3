#include <algorithm>

#include "seam/chain.h"

namespace seamwright::seam {
namespace {

// A bore worked out as "outside less the walls" may miss the marked size by a rounding step.
constexpr double rounding_mm = 1e-6;

Pair pair_of(Pair::Rides rides, std::size_t rider, const shelf::Diameter& outside, std::size_t cutter,
             const shelf::Diameter& cutting) {
    return {rides, rider, cutter, outside.real_mm(), cutting.real_mm(), outside.nominal_mm, cutting.nominal_mm};
}

}  // namespace

std::string name_of(const shelf::Shelf& shelf, const Pair& pair) {
    const std::string& rider =
        pair.rides == Pair::Rides::guide ? shelf.guides.at(pair.rider).name : shelf.bearings.at(pair.rider).name;
    std::string name = rider;
    name += '/';
    name += shelf.cutters.at(pair.cutter).name;
    return name;
}

Pairs pairs(const shelf::Shelf& shelf) {
    Pairs found;
    const auto refuse = [&](const std::string& rider, const std::string& cutter, const char* reason, double wanted_mm,
                            double found_mm) {
        if (found.refused.size() < most_refusals) {
            found.refused.push_back({rider, cutter, reason, wanted_mm, found_mm});
        } else {
            ++found.refused_more;
        }
    };
    for (std::size_t g = 0; g < shelf.guides.size(); ++g) {
        const shelf::Guide& guide = shelf.guides[g];
        const double bore_mm = guide.bore_or_default_mm();
        for (std::size_t c = 0; c < shelf.cutters.size(); ++c) {
            const shelf::Cutter& cutter = shelf.cutters[c];
            const double cutter_needs_mm = cutter.cutting.real_mm() + 2.0 * shelf::chip_room_mm;
            const double shank_needs_mm = cutter.shank_mm + 2.0 * shank_room_mm;
            if (cutter_needs_mm > bore_mm + rounding_mm) {
                refuse(guide.name, cutter.name, "The cutter does not pass the bore of the guide with room for chips.",
                       cutter_needs_mm, bore_mm);
            } else if (shank_needs_mm > bore_mm + rounding_mm) {
                refuse(guide.name, cutter.name,
                       "The shank does not pass the bore of the guide, so the cutter cannot come "
                       "down through it.",
                       shank_needs_mm, bore_mm);
            } else {
                found.usable.push_back(pair_of(Pair::Rides::guide, g, guide.outside, c, cutter.cutting));
            }
        }
    }
    for (std::size_t c = 0; c < shelf.cutters.size(); ++c) {
        const shelf::Cutter& cutter = shelf.cutters[c];
        for (std::size_t r = 0; r < shelf.bearings.size(); ++r) {
            const shelf::Bearing& bearing = shelf.bearings[r];
            if (std::find(cutter.bearings.begin(), cutter.bearings.end(), bearing.name) == cutter.bearings.end())
                continue;
            const Pair pair = pair_of(Pair::Rides::bearing, r, bearing.outside, c, cutter.cutting);
            if (pair.nominal_offset_mm() < 0.0) {
                refuse(bearing.name, cutter.name,
                       "The bearing is smaller than the cutter, which would cut into the wood "
                       "under the template.",
                       pair.nominal_b_mm, pair.nominal_B_mm);
            } else {
                found.usable.push_back(pair);
            }
        }
    }
    return found;
}

}  // namespace seamwright::seam
