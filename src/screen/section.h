#pragma once

#include <string>
#include <vector>

#include "geometry/point.h"
#include "job/json_writer.h"
#include "plan/plan.h"
#include "shelf/shelf.h"

namespace seamwright::screen {

/// A step seen from the end of the seam, in mm: x across the seam (+ to the right, the seam itself at 0), y up from the
/// top of the spoil board. Everything is drawn in its real size, the cutter at the depth of the last pass.
struct Section {
    /// Upright rectangles that belong together: the two walls of a guide, for instance.
    struct Shape {
        std::string_view what;
        std::vector<geometry::Box> parts;
        std::string says;
    };
    struct Dimension {
        geometry::Point from, to;
        std::string says;
    };
    geometry::Box box;
    std::vector<Shape> shapes;  ///< from back to front; no two overlap
    std::vector<Dimension> dimensions;
};

/// What a section needs to know of the job.
struct SectionSizes {
    double top_mm = 0.0, sheet_mm = 0.0, below_mm = 0.0, reveal_mm = 0.0;
    units::LengthStyle style;
};
SectionSizes sizes_of(const plan::Plan& plan);

Section section_of(const seam::Step& step, const shelf::Shelf& shelf, const SectionSizes& sizes);

/// `Section` of web/src/protocol.ts.
void write_section(job::JsonWriter& json, std::string_view key, const Section& section);

}  // namespace seamwright::screen
