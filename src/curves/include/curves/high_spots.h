#pragma once

#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "curves/fair.h"

namespace seamwright::curves {

// Where a made edge stands proud of its fair curve and where it lies low, in mm, on the unrolled edge.
//
// Heights are taken from a fair curve, never from a filtered trace (see profile_filter.h). Roughness shorter than a
// guide can follow may be dropped from the heights by a Gaussian filter; waves longer than λ belong to the form, which
// every copy shares.

/// On which side of the edge the wood is, as seen along it. Proud is away from the wood.
enum class WoodSide { left, right };

struct MapSettings {
    WoodSide wood = WoodSide::right;
    double wave_mm = 150.0;                    ///< λ: longer waves are form. > 0
    double roughness_wave_mm = 0.0;            ///< shorter waves are roughness (see `bridged_wave_mm`); 0 keeps them
    double fair_mm = 0.02;                     ///< within this the edge counts as fair. > 0
    bool robust = true;                        ///< bumps do not pull the fair curve after them (see FairSettings)
    std::optional<double> clamp_pressure_mpa;  ///< both or none: says which spots clamps would close
    std::optional<double> contact_modulus_mpa;
};

struct HeightAt {
    double at_mm = 0.0;
    double height_mm = 0.0;  ///< + proud, without roughness
    double raw_mm = 0.0;     ///< with it
};

/// A stretch that is high or low throughout.
struct Spot {
    double from_mm = 0.0, to_mm = 0.0;  ///< to where it falls within `fair_mm`
    double at_mm = 0.0;                 ///< its top
    double height_mm = 0.0;             ///< there; + high, − low
    double area_mm2 = 0.0;              ///< along the edge times height; times the thickness it is what must come off
    bool uncertain = false;             ///< its top lies within λ/2 of an end, where the fair curve has little to go by
    bool felt = false;                  ///< a hand feels it (see `felt_by_hand_mm`)
    std::optional<bool> clamps_close;   ///< see `closed_by_clamps_mm`; absent without a pressure
    double length_mm() const { return to_mm - from_mm; }
};

struct HighLow {
    std::vector<HeightAt> heights;  ///< in order along the edge
    std::vector<Spot> spots;        ///< in order along the edge
    double highest_mm = 0.0, lowest_mm = 0.0, rms_mm = 0.0;
    double uncertain_mm = 0.0;  ///< this much at each end
};

/// What sanding alone can reach: the fairest curve that nowhere asks for added wood.
struct SandOnly {
    struct Removal {
        double at_mm = 0.0;
        double depth_mm = 0.0;  ///< >= 0
    };
    std::vector<Removal> removal;  ///< at every place measured
    std::vector<Spot> spots;       ///< where more than `fair_mm` comes off
    double deepest_mm = 0.0;
    double area_mm2 = 0.0;
};

/// The map of an edge traced on the piece itself, without knowing what was meant.
std::variant<HighLow, FairProblem> high_low(std::span<const Point> trace, const MapSettings& settings);
std::variant<SandOnly, FairProblem> sand_only(std::span<const Point> trace, const MapSettings& settings);

/// A height above the edge that was meant: readings of a dial gauge or feeler.
struct Reading {
    double at_mm = 0.0;      ///< along the edge that was meant
    double height_mm = 0.0;  ///< + proud
    std::size_t line = 0;    ///< of the text it was read from; 0 when there is none; not compared
    friend bool operator==(const Reading& a, const Reading& b) {
        return a.at_mm == b.at_mm && a.height_mm == b.height_mm;
    }
};

/// The map of an edge whose deviations from what was meant are known. At least 3 readings, at rising places. Here
/// nothing is fitted to the bends of the edge, only to the deviations. No more is removed than the readings' range.
std::variant<HighLow, FairProblem> high_low(std::span<const Reading> readings, const MapSettings& settings);
std::variant<SandOnly, FairProblem> sand_only(std::span<const Reading> readings, const MapSettings& settings);

}  // namespace seamwright::curves
