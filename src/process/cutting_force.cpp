#include "process/cutting_force.h"

#include <cmath>
#include <stdexcept>

#include "geometry/point.h"

namespace seamwright::process {
namespace {

constexpr double seconds_per_minute = 60.0;
constexpr double mm_per_m = 1000.0;

bool above_nothing(double value) {
    return value > 0.0 && std::isfinite(value);
}

}  // namespace

CuttingForce cutting_force(const CutLoad& load, double energy_n_mm2) {
    if (!above_nothing(load.depth_mm) || !above_nothing(load.side_cut_mm) || !above_nothing(load.feed_mm_per_min) ||
        !above_nothing(load.cutter_diameter_mm) || !above_nothing(load.rpm) || !above_nothing(energy_n_mm2))
        throw std::invalid_argument("cutting_force: depth, side cut, feed, cutter, speed and energy must be above 0");
    CuttingForce out;
    out.rim_m_per_s = geometry::pi * load.cutter_diameter_mm * load.rpm / (mm_per_m * seconds_per_minute);
    const double volume_mm3_per_s = load.depth_mm * load.side_cut_mm * load.feed_mm_per_min / seconds_per_minute;
    out.power_w = energy_n_mm2 * volume_mm3_per_s / mm_per_m;
    out.mean_n = out.power_w / out.rim_m_per_s;
    return out;
}

ClimbPull climb_pull(const CutLoad& load, int flutes, double runaway_chip_mm, const CuttingEnergy& energy) {
    if (flutes < 1 || !above_nothing(runaway_chip_mm) || !(energy.high_n_mm2 >= energy.low_n_mm2))
        throw std::invalid_argument("climb_pull: flutes and chip above 0 and an energy from low to high are needed");
    ClimbPull out;
    out.low_n = cutting_force(load, energy.low_n_mm2).mean_n;
    out.high_n = cutting_force(load, energy.high_n_mm2).mean_n;
    CutLoad away = load;
    away.feed_mm_per_min = runaway_chip_mm * flutes * load.rpm;
    out.runaway_feed_mm_per_min = away.feed_mm_per_min;
    out.runaway_low_n = cutting_force(away, energy.low_n_mm2).mean_n;
    out.runaway_high_n = cutting_force(away, energy.high_n_mm2).mean_n;
    out.source = energy.source;
    out.from_memory = energy.from_memory;
    return out;
}

}  // namespace seamwright::process
