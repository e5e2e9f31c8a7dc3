#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/point.h"
#include "plan/plan.h"
#include "shelf/shelf.h"

namespace seamwright::plan {

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
    double edge_mm = 0.0;  ///< x of the edge that remains
    /// x of the line along which the wood was sawn before: what lies between falls away as chips or as a strip.
    std::optional<double> sawn_mm = std::nullopt;
    double from_template = 1.0;  ///< from the template toward the cutter: +1 right, -1 left
    /// What the dimensions are taken from, x and y as above; absent for what is made by hand.
    struct Tools {
        double centre_mm = 0.0;  ///< x of the cutter's middle
        double cutter_mm = 0.0;  ///< b
        double rider_mm = 0.0;   ///< B, of a guide or a bearing
        bool guided = true;      ///< by a guide
        double tip_mm = 0.0, flutes_top_mm = 0.0;
        double base_mm = 0.0;  ///< underside of the router
        double work_mm = 0.0, template_top_mm = 0.0;
        double rides_at_mm = 0.0;  ///< x of the edge ridden on

        double offset_mm(double of_edge_mm) const { return std::abs(of_edge_mm - rides_at_mm); }
    };
    std::optional<Tools> tools = std::nullopt;
};

/// y of the lowest thing drawn, dimensions not counted.
double lowest_mm(const Section& section);

/// What a section needs to know of the job.
struct SectionSizes {
    double top_mm = 0.0, sheet_mm = 0.0, below_mm = 0.0, reveal_mm = 0.0;
    units::LengthStyle style;
};
SectionSizes sizes_of(const Plan& plan);

Section section_of(const seam::Step& step, const shelf::Shelf& shelf, const SectionSizes& sizes);

}  // namespace seamwright::plan
