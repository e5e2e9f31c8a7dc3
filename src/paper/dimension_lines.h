#pragma once

#include <string>

#include "paper/drawing.h"

namespace seamwright::paper {

// Sizes in the cross-sections, in millimetres on the paper.

inline constexpr double dimension_text_mm = 2.5;
/// From one column of upright sizes to the next, and from one row of sizes across to the next.
inline constexpr double dimension_column_mm = 6.0, dimension_row_mm = 4.6;

/// A text on a white ground of its own.
void grounded_text(Drawing& drawing, Text text);

/// A size across at the height `y`, with lines from the feature at `feature_y`. Words too long for it stand beside it,
/// on the right or the left.
struct AcrossSize {
    double from_x = 0.0, to_x = 0.0, y = 0.0, feature_y = 0.0;
    bool beside_on_right = true;
};
void draw_size(Drawing& drawing, const AcrossSize& at, const std::string& said, const std::string& id);

/// A size upright at `x`, with lines from the feature at `feature_x`. Its words run up along it, and on beyond it where
/// it is short.
struct UprightSize {
    double from_y = 0.0, to_y = 0.0, x = 0.0, feature_x = 0.0;
};
/// How far the words reach up beyond the upper end of such a line of this length; 0 where they stand along it.
double upright_reach_mm(const std::string& said, double length_mm);
void draw_size(Drawing& drawing, const UprightSize& at, const std::string& said, const std::string& id);

}  // namespace seamwright::paper
