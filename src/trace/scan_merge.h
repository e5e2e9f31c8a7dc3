#pragma once

#include <variant>
#include <vector>

#include "nodes.h"
#include "trace/picture.h"

namespace seamwright::trace {

/// The line as one scan shows it, already in common mm.
struct ScannedLine {
    std::vector<Point> points;
    std::vector<double> scatter_mm;
    bool closed = false;
};

struct MergedLine {
    std::vector<Sample> samples;  ///< of all scans, by their length along the line
    double length_mm = 0.0;
    bool closed = false;
    double apart_mm = 0.0;  ///< root mean square distance between what two scans say, where they overlap; 0 for one
};

/// Lines of several scans as one. Refused: a line that runs on from no other.
std::variant<MergedLine, TraceProblem> merge_lines(const std::vector<ScannedLine>& lines);

}  // namespace seamwright::trace
