#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "curves/high_spots.h"
#include "curves/import.h"

namespace seamwright::curves {

inline constexpr std::size_t most_readings = 200'000;
/// Larger deviations are slips of the unit or of the pen: no gauge that finds high spots reaches so far.
inline constexpr double most_deviation_mm = 10.0;

/// What one unit in the text means, in mm. Absent: the heading must say it.
struct ReadingUnits {
    std::optional<double> position_mm;
    std::optional<double> deviation_mm;
};

/// Two numbers a line, position and deviation (+ proud). Parted by semicolons or tabs, decimals may take a comma;
/// parted by commas, decimals take a point. The first line that holds something settles which. A first line of two
/// words is a heading; each word may end in its unit: mm, cm, m, in, 0.01 mm, 1/100 mm, 0.001 in ("position mm;
/// deviation 0.01 mm"). Units given beside the text must not differ from those in it. Lines starting with # are notes.
/// The readings come back in order along the edge; two at one place are refused.
std::variant<std::vector<Reading>, ImportProblem> read_readings(std::string_view text, const ReadingUnits& units);

/// The same readings as text, in mm with every digit; reading it gives them back.
std::string write_readings(const std::vector<Reading>& readings);

/// An edge as it was made.
struct AsMade {
    Path measured;  ///< the made edge as arcs: for simulating what is copied from it
    HighLow map;
    SandOnly sanding;
};

/// The template edge with its readings laid on, and its maps. The deviation between readings follows a cubic that does
/// not overshoot (F. Fritsch, R. Carlson, SIAM J. Numer. Anal. 17 (1980) 238); beyond the first and last it stays.
/// `measured` misses the edge so described by less than a micrometre on its bends.
/// Refused: a closed template edge, readings beyond its ends, deviations beyond `most_deviation_mm` or beyond the
/// radius of a hollow.
std::variant<AsMade, FairProblem> as_made(const Path& template_edge, std::span<const Reading> readings,
                                          const MapSettings& settings);

}  // namespace seamwright::curves
