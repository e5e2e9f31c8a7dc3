#pragma once

#include <string_view>

namespace seamwright::process {

// The mean force of a cutter along its way, from the power it takes: P = K b a v_f, F = P / v_c, with K the energy per
// volume of chip, b the depth, a the side cut, v_f the feed and v_c the speed of the rim.
//
// The teeth drive the wood along their way, so the wood drives the tool the other way: a conventional feed is held back
// by that force, a climb cut is pulled forward by it. It is small at the feed meant; what makes a climb cut dangerous
// is that it grows with the feed, and the feed with it: a router that gets away takes as much as it can (manuals of
// routers: fed the wrong way it climbs and is hard to hold, so it is never done on a table or with a loose part). The
// force of single teeth is several times the mean.

/// What a cut takes, all > 0.
struct CutLoad {
    double depth_mm = 25.0;
    double side_cut_mm = 2.0;
    double feed_mm_per_min = 3000.0;
    double cutter_diameter_mm = 12.7;
    double rpm = 22000.0;
};

/// Energy per volume, N/mm².
struct CuttingEnergy {
    double low_n_mm2 = 0.0, high_n_mm2 = 0.0;
    std::string_view source;
    bool from_memory = false;
};
inline constexpr CuttingEnergy hardwood_energy{15.0, 40.0, "hardwoods, 15 to 40 N/mm²", true};
inline constexpr CuttingEnergy particleboard_energy{32.0, 38.0, "particleboard as measured, 32 to 38 N/mm²", false};

struct CuttingForce {
    double rim_m_per_s = 0.0;
    double power_w = 0.0;
    double mean_n = 0.0;
};
CuttingForce cutting_force(const CutLoad& load, double energy_n_mm2);

/// How hard a climb cut pulls on the average: at the feed meant, and when the router runs away as fast as its cutter
/// can bite, every tooth `runaway_chip_mm`: feed = chip · flutes · speed.
struct ClimbPull {
    double low_n = 0.0, high_n = 0.0;
    double runaway_feed_mm_per_min = 0.0;
    double runaway_low_n = 0.0, runaway_high_n = 0.0;
    std::string_view source;  ///< of the energy
    bool from_memory = false;
};
/// EN 847-1 holds cutters for hand feed to 1.1 mm that a tooth can take at most (data/router.csv, read).
inline constexpr double limited_chip_mm = 1.1;
ClimbPull climb_pull(const CutLoad& load, int flutes, double runaway_chip_mm = limited_chip_mm,
                     const CuttingEnergy& energy = hardwood_energy);

}  // namespace seamwright::process
