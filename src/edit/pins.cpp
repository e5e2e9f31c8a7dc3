// Adding pins: on the curve, between the neighbours the place lies between.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "draw.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

/// What a pencil marks: a tenth of a millimetre, a 64th of an inch.
Json written_near(const Ruler& ruler, Point p) {
    const double part_mm = ruler.style.unit == units::Unit::inch ? units::mm_per_inch / 64.0 : 0.1;
    return ruler.written({to_multiple(p.x, part_mm), to_multiple(p.y, part_mm)});
}

void refuse_taken(std::string_view pointer, std::size_t pin) {
    refuse(std::string(pointer), fmt::format("a new pin at the place of pin {}", pin + 1),
           "pins that lie apart, as a batten needs them", "choose a place between two pins");
}

/// The pin's index among those of the curve, and where it goes.
struct NewPin {
    std::size_t index = 0;
    Point at;
};
NewPin between_neighbours(const curves::Pins& pins, const geometry::Path& line, Point at, std::string_view pointer) {
    const geometry::PathIndex index(line);
    const auto running = geometry::running_length_mm(line);
    const auto nearest = index.nearest(at);
    const double along_mm = geometry::length_to(running, nearest.at);
    for (std::size_t i = 0; i < pins.points.size(); ++i) {
        if (geometry::distance(pins.points[i], nearest.point) < pins_apart_mm) refuse_taken(pointer, i);
    }
    // The first pin is the start of the line, also of a closed one.
    std::size_t before = 1;
    while (before < pins.points.size() &&
           geometry::length_to(running, index.nearest(pins.points[before]).at) < along_mm)
        ++before;
    if (!pins.closed) before = std::min(before, pins.points.size() - 1);
    return {before, nearest.point};
}

std::string add_to_curve(Bench& bench, const Steps& curve_steps, const curves::Curve& curve, Point at,
                         std::string_view pointer) {
    const auto& pins = std::get<curves::Pins>(curve);
    const auto line = drawn(curve);
    if (!line) {
        refuse(pointer_of(curve_steps), "pins through which no fair curve passes", "a curve to set a pin on",
               "move the pins first, until the curve can be drawn");
    }
    const NewPin pin = between_neighbours(pins, line->path, at, pointer);
    const Ruler ruler = bench.ruler();
    Json& points = *find(bench.change(), curve_steps / "pins" / "points");
    points.insert(points.begin() + static_cast<std::ptrdiff_t>(pin.index), written_near(ruler, pin.at));
    return fmt::format("Pin {} of {} added", pin.index + 1, owner_words(bench.tree(), curve_steps));
}

struct Side {
    const char* name;
    Point from, to;
    double along(Point p) const { return geometry::dot(p - from, to - from) / geometry::distance(from, to); }
    double off(Point p) const {
        const double length_mm = geometry::distance(from, to);
        const double clamped = std::clamp(along(p), 0.0, length_mm);
        return geometry::distance(p, from + clamped / length_mm * (to - from));
    }
};

std::string add_to_edge(Bench& bench, const Steps& steps, const job::RectangleOutline& top, Point at) {
    const double l = top.length_mm, w = top.width_mm;
    const std::array<Side, 4> sides{Side{"front", {0, 0}, {l, 0}}, Side{"right", {l, 0}, {l, w}},
                                    Side{"back", {l, w}, {0, w}}, Side{"left", {0, w}, {0, 0}}};
    const Side* side = nullptr;
    for (const Side& one : sides) {
        const bool named = steps.size() > 3 && steps[3] == one.name;
        const bool nearer = steps.size() <= 3 && (side == nullptr || one.off(at) < side->off(at));
        if (named || nearer) side = &one;
    }
    if (side == nullptr)
        refuse(pointer_of(steps), "no edge of the top", "front, right, back or left", "choose an edge");
    const Steps edge = first_steps(steps, 2) / "rectangle" / side->name;
    const Ruler ruler = bench.ruler();
    const geometry::PathIndex outline(bench.outline());
    if (!bench.outline().empty()) at = outline.nearest(at).point;

    std::vector<Point> pins;
    Json list = Json::array();
    if (const Json* there = find(bench.tree(), edge / "pins")) {
        list = *there;
    } else if (const Json* bow = find(bench.tree(), edge / "bow")) {
        // A bow stays the arc it is: three pins and the corners lie on it.
        const double rise_mm = ruler.mm(*bow, 0.0);
        if (rise_mm != 0.0) {
            const auto line = drawn(curves::Arc{side->from, side->to, std::nullopt, -rise_mm});
            if (line) {
                const auto running = geometry::running_length_mm(line->path);
                for (const double part : {0.25, 0.5, 0.75}) {
                    list.push_back(written_near(
                        ruler, geometry::point_at(line->path,
                                                  geometry::station_at(line->path, running, part * running.back()))));
                }
            }
        }
    }
    for (const Json& item : list) pins.push_back(ruler.point(&item).value_or(Point{}));
    for (std::size_t i = 0; i < pins.size(); ++i) {
        if (geometry::distance(pins[i], at) < pins_apart_mm) refuse_taken(pointer_of(edge), i);
    }
    const double along_mm = side->along(at);
    if (along_mm < pins_apart_mm || along_mm > geometry::distance(side->from, side->to) - pins_apart_mm) {
        refuse(pointer_of(edge), "a pin at a corner", "pins between the two corners, which hold the edge themselves",
               "choose a place farther from the corner");
    }
    const bool backwards = pins.size() > 1 && side->along(pins.front()) > side->along(pins.back());
    std::size_t index = 0;
    while (index < pins.size() && (side->along(pins[index]) < along_mm) != backwards) ++index;
    list.insert(list.begin() + static_cast<std::ptrdiff_t>(index), written_near(ruler, at));
    put(bench.change(), edge / "pins", std::move(list));
    return fmt::format("Pin {} of the {} edge added", index + 1, side->name);
}

}  // namespace

std::string add_pin(Bench& bench, std::string_view pointer, Point at) {
    const auto steps = steps_of(pointer);
    if (steps && steps->size() >= 2 && steps->front() == "top") {
        const job::Outline& outline = bench.document().job.outline;
        if (const auto* rectangle = std::get_if<job::RectangleOutline>(&outline))
            return add_to_edge(bench, *steps, *rectangle, at);
        const auto* free = std::get_if<job::FreeOutline>(&outline);
        if (free != nullptr && std::holds_alternative<curves::Pins>(free->curve))
            return add_to_curve(bench, {"top", "outline", "drawn"}, free->curve, at, pointer);
        refuse(std::string(pointer), "an outline that is not held by pins",
               "a rectangle, or an outline drawn with pins", "change its sizes instead");
    }
    const Steps seam = seam_of(bench, pointer);
    const std::size_t index = *index_of(seam[1]);
    if (bench.document().job.seams[index].kind == job::SeamKind::edging) {
        refuse(pointer_of(seam), "a pin on an edging", "pins on open seams and inlays",
               "shape the edge of the top instead: the edging follows it");
    }
    if (!std::holds_alternative<curves::Pins>(bench.document().job.seams[index].curve))
        redraw(bench, pointer_of(seam), "pins");
    const curves::Curve curve = bench.document().job.seams[index].curve;
    return add_to_curve(bench, seam / "curve", curve, at, pointer);
}

}  // namespace seamwright::edit
