#pragma once

#include <optional>

#include "paper/drawing.h"
#include "process/edge_profile.h"
#include "units/length.h"

namespace seamwright::paper {

/// The edge of the top in cross-section, as it is routed.
struct EdgeSection {
    process::EdgeShape shape;
    struct BuildUp {
        double thickness_mm = 0.0, width_mm = 0.0;
    };
    std::optional<BuildUp> build_up = std::nullopt;
    units::LengthStyle style = {};
};

/// The scale 1 : n, one of few, at which it fits; 1 wherever it can be, so that the wood can be laid on the picture.
/// `wide_mm` is what there is for the picture with its sizes.
double edge_section_n(const EdgeSection& section, double wide_mm, double highest_mm);
/// Height on paper.
double edge_section_height_mm(const EdgeSection& section, double n);

/// The top lies at the left, broken off; its edge is on the right. What the cutters take is dashed. Its middle lies at
/// `middle_x`, its foot at `foot_y`. The paths have ids: "edge wood", "edge surface", "edge off", "edge joint", and
/// "edge size …" for the dimension lines. The profiles must not meet.
void draw_edge_section(Drawing& drawing, const EdgeSection& section, double middle_x, double foot_y, double n);

}  // namespace seamwright::paper
