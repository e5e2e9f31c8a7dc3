#pragma once

#include <string>

#include "paper/drawing.h"
#include "plan/section.h"
#include "process/passes.h"

namespace seamwright::paper {

/// What is written into a cross-section besides its sizes.
struct SectionWords {
    std::string left, right;  ///< what lies on either side of the seam
    std::string kept;         ///< the part that stays: "insert", "right mating template"
    std::string rider, cutter;
    /// Feed as seen in the picture: away from who looks, or toward them.
    bool feed_away = true;
    units::LengthStyle style;
};

/// The scale 1 : n, one of few, at which a section with its sizes fits.
double section_n(const plan::Section& section, double wide_mm, double highest_mm);
/// Height on paper.
double section_height_mm(const plan::Section& section, double n);

/// A step in cross-section, true to scale 1 : n, looking along the seam from its start. Its middle lies at `middle_x`,
/// its foot at `foot_y`. Wood, sheet, template and waste are told apart by hatches. The paths have ids: "section wood",
/// "section cutter" and so on, and "size B", "size b", "size o" for the dimension lines. `passes` may be nullptr.
void draw_section(Drawing& drawing, const plan::Section& section, const SectionWords& words,
                  const process::PassPlan* passes, double middle_x, double foot_y, double n);

/// One field of the key, drawn as in the sections: "wood", "made", "template", "waste", "bench".
void draw_section_key(Drawing& drawing, std::string_view what, const Box& box);

}  // namespace seamwright::paper
