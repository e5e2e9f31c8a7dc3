#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

// What the shop has learnt from work that was done.
namespace seamwright::shelf {

/// What is seen on the rim of a routed disc. Clean: as it should be. Fuzzy: rough or lifted, but within what sanding
/// takes off. Torn: fibres missing below the edge.
enum class RimSeen { clean, fuzzy, torn };
/// As documents call it: "clean", "fuzzy", "torn".
std::string_view name_of(RimSeen seen);

/// A stretch of a rim, seen from above as the disc lay when it was routed: from the direction of the fibres
/// counter-clockwise.
struct RimStretch {
    double from_rad = 0.0,
           to_rad = 0.0;  ///< 0 to 2π; where `to` is not above `from` it goes past the fibres' direction
    bool climb = false;   ///< routed with the rotation of the cutter
    RimSeen seen = RimSeen::clean;
    friend bool operator==(const RimStretch&, const RimStretch&) = default;
};

/// A disc of one wood, routed all round to see where it tears.
struct Disc {
    std::string species;
    std::string on;  ///< the day, as the maker wrote it
    double cutter_mm = 12.7;
    double side_cut_mm = 2.0;
    bool on_table = false;  ///< the cutter then turns counter-clockwise as seen from above
    std::vector<RimStretch> rim;
    friend bool operator==(const Disc&, const Disc&) = default;
};

/// One step of a job that was done, with what had been told of it before.
struct WorkDone {
    std::string job, step, on, note;
    std::optional<double> usual_min;  ///< by common practice
    std::optional<double> hours;      ///< taken
    std::string guide, cutter;        ///< of the cut whose offset or gap was measured
    std::optional<double> gap_mm, gap_told_mm, offset_mm, offset_told_mm;
    std::string system;                                  ///< of the finish
    std::optional<double> area_m2, litres, litres_told;  ///< of finish
    friend bool operator==(const WorkDone&, const WorkDone&) = default;
};

}  // namespace seamwright::shelf
