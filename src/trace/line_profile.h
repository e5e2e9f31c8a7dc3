#pragma once

#include <functional>
#include <vector>

#include "trace/line.h"

namespace seamwright::trace {

/// The greys across a line of a certain width, or across an edge, as the lens shows them: a bar (a step) blurred by a
/// normal distribution. 1 in the middle of a line; from 0 to 1 over an edge.
struct Profile {
    LineKind kind = LineKind::drawn_line;
    double width_px = 0.0;  ///< of the bar; 0 for an edge
    double blur_px = 1.0;   ///< σ
    double contrast = 0.0;  ///< depth, or height of the step; white is 255

    double at(double across_px) const;
    /// Width where the line is half as deep as in its middle.
    double half_width_px() const;
    /// From the middle to where it has all but ended.
    double reach_px() const;
};

/// One measurement across a line.
struct Across {
    Point at;              ///< on the line, in pixels of the picture
    Point normal;          ///< unit
    double scatter = 0.0;  ///< σ of `at` along the normal, px
    double contrast = 0.0;
    bool good = false;  ///< something was there to be measured
};

struct Measured {
    std::vector<Across> places;   ///< about one a pixel, in order
    std::vector<Profile> shapes;  ///< of each stretch of `places_per_shape`
    std::size_t places_per_shape = 1;
    const Profile& shape_at(std::size_t place) const {
        return shapes[std::min(shapes.size() - 1, place / places_per_shape)];
    }
};

/// Measures a line whose course is known to about `coarse_px` on the greys of the picture itself. `passed_over` tells
/// places whose greys do not count.
Measured measure_across(const Picture& picture, const std::vector<Point>& course_px, bool closed, double coarse_px,
                        LineKind kind, const std::function<bool(Point)>& passed_over);

}  // namespace seamwright::trace
