// Remedies that change the course of a seam or the edge of the top.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "carry_on.h"
#include "geometry/parallel.h"
#include "remedies.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

using geometry::Path;
using geometry::PathIndex;

curves::Curve shifted(curves::Curve curve, Point by) {
    const auto ends = [&](auto& line) {
        line.from = line.from + by;
        line.to = line.to + by;
    };
    if (auto* straight = std::get_if<curves::Straight>(&curve)) ends(*straight);
    if (auto* arc = std::get_if<curves::Arc>(&curve)) ends(*arc);
    if (auto* sprung = std::get_if<curves::Sprung>(&curve)) ends(*sprung);
    if (auto* wave = std::get_if<curves::Wave>(&curve)) ends(*wave);
    if (auto* pins = std::get_if<curves::Pins>(&curve))
        for (Point& p : pins->points) p = p + by;
    if (auto* oval = std::get_if<curves::Oval>(&curve)) oval->centre = oval->centre + by;
    if (auto* traced = std::get_if<curves::Traced>(&curve)) traced->at = traced->at + by;
    return curve;
}

bool can_be_shifted(const Json& tree, const Steps& curve) {
    return find(tree, curve / "lines_and_arcs") == nullptr;
}

/// The same curve elsewhere, in the document.
void put_shifted(Bench& bench, const Steps& steps, const curves::Curve& curve, Point by) {
    const Ruler ruler = bench.ruler();
    if (std::holds_alternative<curves::Imported>(curve)) {
        const char* kind = find(bench.tree(), steps / "svg_path") != nullptr ? "svg_path" : "points";
        const Steps move = steps / kind / "move";
        const Point before = ruler.point(find(bench.tree(), move)).value_or(Point{});
        put(bench.change(), move, ruler.written(before + by));
        return;
    }
    if (std::holds_alternative<curves::Oval>(curve)) {
        const char* kind = find(bench.tree(), steps / "circle") != nullptr ? "circle" : "oval";
        put(bench.change(), steps / kind / "centre", ruler.written(std::get<curves::Oval>(shifted(curve, by)).centre));
        return;
    }
    if (const auto* traced = std::get_if<curves::Traced>(&curve)) {
        put(bench.change(), steps / "traced" / "at", ruler.written(traced->at + by));
        return;
    }
    put_curve(bench, steps, shifted(curve, by));
}

void add_extend(CureList& list, std::size_t i, const Path& field) {
    const job::Seam& seam = list.state.document.job.seams[i];
    const auto longer = carried_on(seam.curve, field);
    const auto line = drawn(seam.curve);
    if (!longer || !line) return;
    const Point from = line->path.start(), to = line->path.end();
    const double start_mm = longer->start_mm, end_mm = longer->end_mm;
    std::string says;
    if (start_mm > 0.0 && end_mm > 0.0) {
        says = fmt::format("Carry the seam on past the edge: {} at the {} end, {} at the {} end",
                           list.ruler.show(start_mm), end_word(from, to, true), list.ruler.show(end_mm),
                           end_word(from, to, false));
    } else {
        says = fmt::format("Carry the {} end on by {}, past the edge", end_word(from, to, start_mm > 0.0),
                           list.ruler.show(std::max(start_mm, end_mm)));
    }
    const Steps curve = Steps{"seams"} / i / "curve";
    list.add(fmt::format("extend:/seams/{}", i), says, [curve, longer, name = seam.name](Bench& bench) {
        put_curve(bench, curve, longer->curve);
        return fmt::format("{} carried on past the edge", capitalised(name));
    });
}

/// A seam that misses the top altogether is brought to its middle, without turning it.
void add_onto(CureList& list, std::size_t i, const Path& field) {
    const job::Seam& seam = list.state.document.job.seams[i];
    const Steps steps = Steps{"seams"} / i / "curve";
    const auto line = drawn(seam.curve);
    if (!line || !can_be_shifted(list.state.tree, steps)) return;
    const PathIndex edge(field), way(line->path);
    if (!geometry::crossings(way, edge).empty() || edge.contains(line->path.start())) return;
    const geometry::Box box = edge.box(), own = way.box();
    const Point by = geometry::midpoint(box.low, box.high) - geometry::midpoint(own.low, own.high);
    const Point round = list.ruler.rounded(by);
    list.add(fmt::format("onto:/seams/{}", i), "Move the seam to the middle of the top",
             [steps, curve = seam.curve, round, name = seam.name](Bench& bench) {
                 put_shifted(bench, steps, curve, round);
                 return fmt::format("{} moved onto the top", capitalised(name));
             });
}

/// A closed line inside an edge, with some wood left all round.
bool lies_inside(const Path& line, const PathIndex& edge) {
    constexpr double wood_mm = 5.0;
    if (!edge.contains(line.start())) return false;
    const PathIndex own(line);
    if (!geometry::crossings(own, edge).empty()) return false;
    constexpr double sag_mm = 0.5;
    for (const Point p : geometry::chords(line, sag_mm))
        if (edge.distance_mm(p) < wood_mm) return false;
    return true;
}

void add_inward(CureList& list, std::size_t i, const Path& field) {
    const job::Seam& seam = list.state.document.job.seams[i];
    const Steps steps = Steps{"seams"} / i / "curve";
    const auto line = drawn(seam.curve);
    if (!line || !line->path.closed) return;
    const PathIndex edge(field);
    if (lies_inside(line->path, edge)) return;
    const geometry::Box own = geometry::bounding_box(line->path);
    const Point middle = geometry::midpoint(own.low, own.high);
    const Point goal = geometry::label_point({field, {}});
    const Point whole = goal - middle;
    if (lies_inside(geometry::moved(line->path, whole), edge) && can_be_shifted(list.state.tree, steps)) {
        // Only as far as is needed.
        double bad = 0.0, good = 1.0;
        constexpr int halvings = 8;
        for (int k = 0; k < halvings; ++k) {
            const double part = 0.5 * (bad + good);
            (lies_inside(geometry::moved(line->path, part * whole), edge) ? good : bad) = part;
        }
        Point by = list.ruler.rounded(good * whole);
        if (!lies_inside(geometry::moved(line->path, by), edge)) by = good * whole;
        list.add(fmt::format("inward:/seams/{}", i),
                 fmt::format("Move it inward by {}", list.ruler.show(geometry::norm(by))),
                 [steps, curve = seam.curve, by, name = seam.name](Bench& bench) {
                     put_shifted(bench, steps, curve, by);
                     return fmt::format("{} moved inward", capitalised(name));
                 });
        return;
    }
    const auto* oval = std::get_if<curves::Oval>(&seam.curve);
    if (oval == nullptr) return;
    double good = 0.0, bad = 1.0;
    constexpr int halvings = 10;
    const auto sized = [&](double part) {
        return curves::Oval{goal, part * oval->length_mm, part * oval->width_mm, oval->turn_rad};
    };
    for (int k = 0; k < halvings; ++k) {
        const double part = 0.5 * (good + bad);
        const auto smaller = drawn(sized(part));
        (smaller && lies_inside(smaller->path, edge) ? good : bad) = part;
    }
    constexpr double least_mm = 10.0;
    const double mark_mm = list.ruler.stride_mm(Stride::rule);
    const double length_mm = std::floor(good * oval->length_mm / mark_mm) * mark_mm;
    const double width_mm = std::floor(good * oval->width_mm / mark_mm) * mark_mm;
    if (std::min(length_mm, width_mm) < least_mm) return;
    const bool circle = find(list.state.tree, steps / "circle") != nullptr;
    list.add(
        fmt::format("smaller:/seams/{}", i),
        circle ? fmt::format("Make it {} across, in the middle", list.ruler.show(length_mm))
               : fmt::format("Make it {} by {}, in the middle", list.ruler.show(length_mm), list.ruler.show(width_mm)),
        [=, name = seam.name](Bench& bench) {
            const Ruler ruler = bench.ruler();
            const Steps shape = steps / (circle ? "circle" : "oval");
            put(bench.change(), shape / "centre", ruler.written(goal));
            put(bench.change(), shape / (circle ? "diameter" : "length"), ruler.written(length_mm));
            if (!circle) put(bench.change(), shape / "width", ruler.written(width_mm));
            return fmt::format("{} made smaller", capitalised(name));
        });
}

std::optional<Path> outline_with(const State& state, const job::RectangleOutline& shape) {
    job::Job bare;
    bare.thickness_mm = state.document.job.thickness_mm;
    bare.outline = shape;
    Path outline = plan::make_plan(bare, state.document.shelf).outline;
    if (outline.empty()) return std::nullopt;
    return outline;
}

}  // namespace

void add_course_cures(CureList& list, std::size_t seam) {
    const Path field = field_within(list.state.plan.outline, list.state.document.job);
    if (field.empty()) return;
    if (list.state.document.job.seams[seam].kind == job::SeamKind::inlay) {
        add_inward(list, seam, field);
        return;
    }
    add_onto(list, seam, field);
    add_extend(list, seam, field);
}

void add_curve_cures(CureList& list, std::size_t i) {
    const auto* pins = std::get_if<curves::Pins>(&list.state.document.job.seams[i].curve);
    if (pins == nullptr || pins->points.size() <= pins_needed(pins->closed)) return;
    const auto result = curves::draw(*pins);
    const auto* refused = std::get_if<curves::CurveProblem>(&result);
    if (refused == nullptr || !refused->element || *refused->element >= pins->points.size()) return;
    const std::size_t pin = *refused->element;
    curves::Pins fewer = *pins;
    fewer.points.erase(fewer.points.begin() + static_cast<std::ptrdiff_t>(pin));
    if (!drawn(fewer)) return;
    const std::string pointer = fmt::format("/seams/{}/curve/pins/points/{}", i, pin);
    list.add("drop_pin:" + pointer, fmt::format("Take pin {} out", pin + 1),
             [pointer](Bench& bench) { return remove_value(bench, pointer); });
}

void add_stick_cures(CureList& list, const Steps& thickness) {
    const bool own = thickness.front() == "seams";
    const std::size_t index = own ? index_of(thickness[1]).value_or(0) : 0;
    double greatest_mm = HUGE_VAL;
    const auto& seams = list.state.plan.seams;
    for (std::size_t i = 0; i < seams.size(); ++i) {
        if (!seams[i].stick || seams[i].stick->own != own || (own && i != index)) continue;
        greatest_mm = std::min(greatest_mm, seams[i].stick->greatest_thickness_mm);
    }
    const double mark_mm = list.ruler.finest_mm();
    const double thinner_mm = std::floor(greatest_mm / mark_mm) * mark_mm;
    // A stick as thin as a mark is a shaving.
    if (!std::isfinite(thinner_mm) || thinner_mm < mark_mm) return;
    const std::string thick = list.ruler.show(thinner_mm);
    list.add_set("thinner:" + pointer_of(thickness), fmt::format("Take a stick {} thick", thick), thickness,
                 list.ruler.written(thinner_mm),
                 fmt::format("{}: {}", capitalised(place_words(list.state.tree, thickness)), thick));
}

void add_edging_cures(CureList& list, std::size_t i) {
    const Path& outline = list.state.plan.outline;
    if (outline.empty()) return;
    const double width_mm = list.state.document.job.seams[i].edging_width_mm;
    const double mark_mm = list.ruler.stride_mm(Stride::rule);
    const auto taken = [&](double mm) {
        const auto& seams = list.state.document.job.seams;
        return std::any_of(seams.begin(), seams.end(), [&](const job::Seam& seam) {
            return seam.kind == job::SeamKind::edging && seam.edging_width_mm == mm;
        });
    };
    constexpr double smaller = 0.8, least_mm = 5.0;
    for (double mm = smaller * width_mm; mm >= least_mm; mm *= smaller) {
        const double round_mm = to_multiple(mm, mark_mm);
        if (round_mm < least_mm || taken(round_mm)) continue;
        try {
            if (geometry::parallel(outline, geometry::Side::left, round_mm).paths.size() != 1) continue;
        } catch (const std::runtime_error&) {
            continue;
        }
        list.add_set(fmt::format("narrower:/seams/{}", i),
                     fmt::format("Make the edging {} wide", list.ruler.show(round_mm)), Steps{"seams"} / i / "width",
                     list.ruler.written(round_mm),
                     fmt::format("Width of {}: {}", list.state.document.job.seams[i].name, list.ruler.show(round_mm)));
        return;
    }
}

void add_outline_cures(CureList& list) {
    const std::string& pointer = list.told().pointer;
    const auto* rectangle = std::get_if<job::RectangleOutline>(&list.state.document.job.outline);
    if (rectangle == nullptr || pointer != "/top/outline/rectangle/corner_radius") return;
    double largest_mm = 0.0;
    for (const double radius : rectangle->corner_radius_mm) largest_mm = std::max(largest_mm, radius);
    const double mark_mm = list.ruler.stride_mm(Stride::rule);
    constexpr double smaller = 0.8;
    for (double mm = smaller * largest_mm; mm >= mark_mm; mm *= smaller) {
        const double most_mm = to_multiple(mm, mark_mm);
        job::RectangleOutline shape = *rectangle;
        for (double& radius : shape.corner_radius_mm) radius = std::min(radius, most_mm);
        if (!outline_with(list.state, shape)) continue;
        list.add("smaller_corners", fmt::format("Round the corners by {} at most", list.ruler.show(most_mm)),
                 [most_mm](Bench& bench) {
                     const Ruler ruler = bench.ruler();
                     Json& corners = *find(bench.change(), {"top", "outline", "rectangle", "corner_radius"});
                     const auto limit = [&](Json& value) {
                         if (ruler.mm(value, 0.0) > most_mm) value = ruler.written(most_mm);
                     };
                     if (corners.is_structured()) {
                         for (Json& corner : corners) limit(corner);
                     } else {
                         limit(corners);
                     }
                     return fmt::format("Corners of the top: {} at most", ruler.show(most_mm));
                 });
        return;
    }
}

}  // namespace seamwright::edit
