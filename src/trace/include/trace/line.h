#pragma once

#include <optional>
#include <vector>

#include "trace/marks.h"

namespace seamwright::trace {

/// What is followed: a line drawn on something lighter, or the edge between light and dark.
enum class LineKind { drawn_line, edge };

struct LineSettings {
    LineKind kind = LineKind::drawn_line;
    /// Where the maker says the line begins and ends. Absent: the longest line in the picture, end to end.
    std::optional<Point> start_px, end_px;
    /// Places it passes, in order, where it crosses others or where there are several.
    std::vector<Point> through_px;
    /// Areas that are passed over (marks, strips of paper), as closed outlines.
    std::vector<std::vector<Point>> masked_px;
};

/// A line as it was found, in order.
struct FoundLine {
    std::vector<Point> points_px;    ///< about one a pixel
    std::vector<double> scatter_px;  ///< of each, across the line, one σ
    double width_px = 0.0;           ///< of a drawn line, in the middle
    bool closed = false;
    std::vector<Point> gaps_px;       ///< where the line was bridged
    std::vector<Point> free_ends_px;  ///< all ends of lines that were seen, for choosing among
};

/// Refused: no line, a line too faint, too blurred or too short, ends that no line joins.
std::variant<FoundLine, TraceProblem> find_line(const Picture& picture, const LineSettings& settings);

}  // namespace seamwright::trace
