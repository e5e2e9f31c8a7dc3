#pragma once

#include <functional>
#include <variant>

#include "course.h"

namespace seamwright::edit {

/// What handles are made from. `plan`: absent while edits are under way; ends are then shown where they were drawn.
struct View {
    const Json& tree;
    const job::Document& document;
    const plan::Plan* plan;
    const geometry::Path& outline;
    Ruler ruler;
};

/// A place that follows the pointer.
struct Placing {
    Steps point;         ///< where [x, y] stands
    Point shift;         ///< the place on the drawing less what is written
    geometry::Box room;  ///< on the drawing
    std::function<bool(Point)> allowed;
};
/// An end that slides along the edge of the top.
struct Ending {
    Steps curve;
    std::size_t seam = 0;
    bool start = false;
};
/// A size that is read off where the pointer is.
struct Sizing {
    enum class Measure { length, angle, part };
    Measure measure = Measure::length;
    double value = 0.0;  ///< mm, degrees, or part of a wave
    double least = 0.0, most = 0.0;
    double smallest = 0.0;  ///< its magnitude, where both signs are allowed
    double gain = 1.0;      ///< change of the value for 1 mm of the handle
    Point grows{1.0, 1.0};  ///< which way the handle goes when the value grows
    std::function<double(Point)> at;
    std::function<void(Json&, const Ruler&, double)> write;
};
struct Grip {
    Handle handle;
    std::variant<Placing, Ending, Sizing> how;
};

std::vector<Grip> outline_grips(const View& view);
std::vector<Grip> seam_grips(const View& view, std::size_t seam);

/// Handles of one curve. `seam`: of an open seam, whose ends slide.
void add_curve_grips(std::vector<Grip>& grips, const View& view, const Steps& steps, const curves::Curve& curve,
                     std::optional<std::size_t> seam);

/// A size written as a length.
std::function<void(Json&, const Ruler&, double)> length_at(Steps steps);
/// Where pins may be put: the top and some room around it.
geometry::Box room_around(const View& view);

}  // namespace seamwright::edit
