#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "parts.h"

namespace seamwright::job {

namespace {

constexpr std::array<std::string_view, 4> corner_names{"front_left", "front_right", "back_right", "back_left"};

std::array<double, 4> read_corners(Checker& checker, const Node& node) {
    std::array<double, 4> radius{};
    if (node.value->object() == nullptr) {
        radius.fill(read_length(checker, node, ranges::corner_radius_mm).value_or(0.0));
        return radius;
    }
    const Group group(checker, node, {corner_names[0], corner_names[1], corner_names[2], corner_names[3]});
    for (std::size_t i = 0; i < corner_names.size(); ++i) {
        group.length(corner_names[i], ranges::corner_radius_mm, radius[i]);
    }
    return radius;
}

/// One side seen from its own start: `along` runs from 0 to the side's length, counter-clockwise round the top.
struct Side {
    std::string_view name;
    Point from, to;

    double length_mm() const { return geometry::distance(from, to); }
    double along(Point p) const { return geometry::dot(p - from, to - from) / length_mm(); }
};

std::optional<Edge> read_drawn_edge(Checker& checker, const Node& node, const Side& side) {
    auto pins = read_points(checker, node, 1);
    if (!pins) return std::nullopt;
    // Makers list a back edge from left to right as readily as the other way; the outline needs it counter-clockwise.
    if (pins->size() > 1 && side.along(pins->front()) > side.along(pins->back())) {
        std::reverse(pins->begin(), pins->end());
    }
    double reached = 0.0;
    for (const Point pin : *pins) {
        const double along = side.along(pin);
        if (!(along > reached && along < side.length_mm())) {
            checker.error(
                node,
                fmt::format("a pin at [{}, {}] that is out of line", checker.say_mm(pin.x), checker.say_mm(pin.y)),
                fmt::format("pins one after the other between the two {} corners, which are pins of "
                            "themselves and are not listed",
                            side.name),
                "put the pins in order along the edge; for an edge that doubles back use \"drawn\" for the "
                "whole outline",
                pin);
            return std::nullopt;
        }
        reached = along;
    }
    return DrawnEdge{std::move(*pins)};
}

Edge read_edge(Checker& checker, const Node& node, const Side& side) {
    const Group group(checker, node, {"bow", "pins"});
    const auto kind = group.exactly_one({"bow", "pins"}, "shape of the edge");
    if (!kind) return StraightEdge{};
    if (*kind == "pins") {
        return read_drawn_edge(checker, *group.find("pins"), side).value_or(Edge(StraightEdge{}));
    }
    const Node bow = *group.find("bow");
    const auto rise = read_length(checker, bow, ranges::bow_mm);
    if (!rise || *rise == 0.0) return StraightEdge{};
    if (std::abs(*rise) > 0.5 * side.length_mm()) {
        checker.error(bow, checker.say_mm(*rise),
                      fmt::format("at most half the length of this edge, {}", checker.say_mm(0.5 * side.length_mm())),
                      "bow it less: half the length makes a half circle");
        return StraightEdge{};
    }
    return BowedEdge{*rise};
}

std::optional<Outline> read_rectangle(Checker& checker, const Node& node) {
    const Group group(checker, node, {"length", "width", "corner_radius", "front", "right", "back", "left"});
    if (!group) return std::nullopt;
    RectangleOutline outline;
    const bool length_known = group.need_length(
        "length", ranges::top_side_mm, "the length of the top, left to right, such as 1510", outline.length_mm);
    const bool width_known = group.need_length("width", ranges::top_side_mm,
                                               "the width of the top, front to back, such as 420", outline.width_mm);
    const auto corners = group.find("corner_radius");
    if (corners) outline.corner_radius_mm = read_corners(checker, *corners);
    // Without its size nothing can be said about its edges.
    const double length = length_known ? outline.length_mm : ranges::top_side_mm.high;
    const double width = width_known ? outline.width_mm : ranges::top_side_mm.high;

    const Point front_left{0.0, 0.0}, front_right{length, 0.0}, back_right{length, width}, back_left{0.0, width};
    const std::array<Side, 4> sides{Side{"front", front_left, front_right}, Side{"right", front_right, back_right},
                                    Side{"back", back_right, back_left}, Side{"left", back_left, front_left}};
    const std::array<Edge*, 4> edges{&outline.front, &outline.right, &outline.back, &outline.left};
    for (std::size_t i = 0; i < sides.size(); ++i) {
        if (const auto edge = group.find(sides[i].name)) *edges[i] = read_edge(checker, *edge, sides[i]);
        const double rounded = outline.corner_radius_mm[i] + outline.corner_radius_mm[(i + 1) % 4];
        if (corners && rounded > sides[i].length_mm()) {
            checker.error(*corners,
                          fmt::format("corners that take {} of the {} edge", checker.say_mm(rounded), sides[i].name),
                          fmt::format("together at most its length, {}", checker.say_mm(sides[i].length_mm())),
                          "make the radii smaller");
        }
    }
    if (!length_known || !width_known) return std::nullopt;
    return outline;
}

std::optional<Outline> read_round(Checker& checker, const Node& node) {
    const Group group(checker, node, {"diameter"});
    RoundOutline outline;
    if (!group.need_length("diameter", ranges::top_side_mm, "the diameter of the top, such as 900",
                           outline.diameter_mm)) {
        return std::nullopt;
    }
    return outline;
}

std::optional<Outline> read_oval(Checker& checker, const Node& node) {
    const Group group(checker, node, {"length", "width"});
    OvalOutline outline;
    bool good =
        group.need_length("length", ranges::top_side_mm, "the length of the oval, such as 1400", outline.length_mm);
    good =
        group.need_length("width", ranges::top_side_mm, "the width of the oval, such as 900", outline.width_mm) && good;
    if (!good) return std::nullopt;
    return outline;
}

std::optional<Outline> read_outline(Checker& checker, const Node& node) {
    const Group group(checker, node, {"rectangle", "round", "oval", "drawn"});
    const auto kind = group.exactly_one({"rectangle", "round", "oval", "drawn"}, "outline");
    if (!kind) return std::nullopt;
    const Node shape = *group.find(*kind);
    if (*kind == "rectangle") return read_rectangle(checker, shape);
    if (*kind == "round") return read_round(checker, shape);
    if (*kind == "oval") return read_oval(checker, shape);
    auto curve = read_curve(checker, shape, Ends::closed);
    if (!curve) return std::nullopt;
    return FreeOutline{std::move(*curve)};
}

}  // namespace

Top read_top(Checker& checker, const Node& node) {
    const Group group(checker, node, {"thickness", "outline"});
    Top top;
    group.need_length("thickness", ranges::top_thickness_mm,
                      "the thickness of the finished wood, such as 34 or \"1 3/8 in\"", top.thickness_mm);
    if (const auto outline = group.need("outline", "the finished edge: rectangle, round, oval or drawn")) {
        if (auto read = read_outline(checker, *outline)) top.outline = std::move(*read);
    }
    return top;
}

}  // namespace seamwright::job
