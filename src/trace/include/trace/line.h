#pragma once

#include <optional>
#include <variant>
#include <vector>

#include "trace/marks.h"

namespace seamwright::trace {

/// What is followed: a line drawn on something lighter, or the edge between light and dark.
enum class LineKind { drawn_line, edge };

struct LineSettings {
    LineKind kind = LineKind::drawn_line;
    /// Where the maker says the line begins and ends. Absent: the line that stands out most by its length and contrast,
    /// end to end; a corner ends it.
    std::optional<Point> start_px, end_px;
    /// Places it passes, in order, where it crosses others or where there are several.
    std::vector<Point> through_px;
    /// Areas that are passed over (marks, strips of paper), as closed outlines.
    std::vector<std::vector<Point>> masked_px;
    /// A strip of a longer line: it may run out of the picture.
    bool may_leave = false;
};

/// A line as it was found, in order.
struct FoundLine {
    std::vector<Point> points_px;     ///< about one a pixel
    std::vector<double> scatter_px;   ///< of each, across the line, one σ
    double width_px = 0.0;            ///< of a drawn line at half its depth, in the middle; 0 for an edge
    double blur_px = 0.0;             ///< σ of the blur of its flanks, in the middle
    double contrast = 0.0;            ///< depth of the line, or height of the step, in the middle; part of the light
    bool closed = false;              ///< the last point is followed by the first
    std::vector<Point> gaps_px;       ///< where the line was bridged, in the middle of each gap
    std::vector<Point> free_ends_px;  ///< all ends of lines that were seen, longest first, for choosing among
    std::vector<TraceProblem> remarks;
};

/// The line, followed over the whole picture and then measured across on the greys as they are. Places chosen by the
/// maker are taken at the nearest line within a fortieth of the picture's longer side.
/// Refused: no line, many alike, a line too faint, too blurred or too short, ends that no line joins, a line that
/// runs out of the picture.
std::variant<FoundLine, TraceProblem> find_line(const Picture& picture, const LineSettings& settings);

}  // namespace seamwright::trace
