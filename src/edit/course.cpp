#include "course.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::edit {

using geometry::Path;
using geometry::PathIndex;

std::optional<curves::Drawn> drawn(const curves::Curve& curve) {
    try {
        auto result = curves::draw(curve);
        if (auto* line = std::get_if<curves::Drawn>(&result)) return std::move(*line);
        return std::nullopt;
    } catch (const std::runtime_error&) {
        // Beyond the arithmetic: as little use as a curve that cannot be drawn.
        return std::nullopt;
    }
}

std::optional<Ends> ends_of(const curves::Curve& curve) {
    if (const auto* straight = std::get_if<curves::Straight>(&curve)) return Ends{straight->from, straight->to};
    if (const auto* arc = std::get_if<curves::Arc>(&curve)) return Ends{arc->from, arc->to};
    if (const auto* sprung = std::get_if<curves::Sprung>(&curve)) return Ends{sprung->from, sprung->to};
    if (const auto* wave = std::get_if<curves::Wave>(&curve)) return Ends{wave->from, wave->to};
    const auto* pins = std::get_if<curves::Pins>(&curve);
    if (pins != nullptr && !pins->closed) return Ends{pins->points.front(), pins->points.back()};
    return std::nullopt;
}

curves::Curve with_end(curves::Curve curve, bool start, Point end) {
    const auto set = [&](auto& line) { (start ? line.from : line.to) = end; };
    if (auto* straight = std::get_if<curves::Straight>(&curve)) set(*straight);
    if (auto* arc = std::get_if<curves::Arc>(&curve)) set(*arc);
    if (auto* sprung = std::get_if<curves::Sprung>(&curve)) set(*sprung);
    if (auto* wave = std::get_if<curves::Wave>(&curve)) set(*wave);
    if (auto* pins = std::get_if<curves::Pins>(&curve)) (start ? pins->points.front() : pins->points.back()) = end;
    return curve;
}

const char* end_word(Point from, Point to, bool start) {
    const bool sideways = std::abs(to.x - from.x) >= std::abs(to.y - from.y);
    const bool low = (sideways ? from.x < to.x : from.y < to.y) == start;
    return sideways ? (low ? "left" : "right") : (low ? "front" : "back");
}

Steps end_steps(const Json& tree, const Steps& curve, bool start) {
    for (const char* kind : {"straight", "arc", "sprung", "wave"}) {
        if (find(tree, curve / kind) != nullptr) return curve / kind / (start ? "from" : "to");
    }
    const Json* points = find(tree, curve / "pins" / "points");
    return curve / "pins" / "points" / (start || points == nullptr ? std::size_t{0} : points->size() - 1);
}

namespace {

EdgePlace place_at(const Path& edge, geometry::Station station, Point at) {
    const Point along = geometry::tangent_at(edge, station);
    return {at, along, geometry::right_of(along)};
}

}  // namespace

EdgePlace nearest_place(const PathIndex& edge, Point to) {
    const auto nearest = edge.nearest(to);
    return place_at(edge.path(), nearest.at, nearest.point);
}

EdgePlace place_on_mark(const PathIndex& edge, Point to, const Ruler& ruler, const Aim& aim) {
    const EdgePlace near = nearest_place(edge, to);
    if (aim.free) return near;
    const bool upright = std::abs(near.along.y) >= std::abs(near.along.x);
    const double mark_mm = ruler.aimed(upright ? near.at.y : near.at.x, aim);
    // The edge is looked for on the line of the mark, two marks to either side: farther off it has turned away.
    const double reach_mm = 2.0 * ruler.marks_mm(aim);
    const Point low = upright ? Point{near.at.x - reach_mm, mark_mm} : Point{mark_mm, near.at.y - reach_mm};
    const Point high = upright ? Point{near.at.x + reach_mm, mark_mm} : Point{mark_mm, near.at.y + reach_mm};
    Path line;
    line.segments.push_back(geometry::line(low, high));
    const PathIndex index(line);
    std::optional<EdgePlace> best;
    for (const auto& crossing : geometry::crossings(index, edge)) {
        if (!best || geometry::distance(crossing.point, near.at) < geometry::distance(best->at, near.at))
            best = place_at(edge.path(), crossing.on_b, crossing.point);
    }
    return best.value_or(near);
}

double clear_mm(const PathIndex& edge, Point p) {
    return edge.contains(p) ? -edge.distance_mm(p) : edge.distance_mm(p);
}

std::optional<Point> crossing_at(const Path& line, const PathIndex& edge, bool start) {
    if (line.empty() || edge.contains(start ? line.start() : line.end())) return std::nullopt;
    const PathIndex index(line);
    const auto all = geometry::crossings(index, edge);
    if (all.empty()) return std::nullopt;
    return start ? all.front().point : all.back().point;
}

std::optional<Point> slid_end(const curves::Curve& curve, bool start, const PathIndex& edge, const EdgePlace& place) {
    const auto ends = ends_of(curve);
    if (!ends) return std::nullopt;
    const auto crossing = [&](const curves::Curve& c) -> std::optional<Point> {
        const auto line = drawn(c);
        return line ? crossing_at(line->path, edge, start) : std::nullopt;
    };
    double out_mm = past_edge_mm, beside_mm = 0.0;
    if (const auto before = crossing(curve)) {
        // The run past the edge keeps its direction to the edge, also round a corner.
        const EdgePlace was = nearest_place(edge, *before);
        const Point run = (start ? ends->from : ends->to) - *before;
        out_mm = std::max(geometry::dot(run, was.outward), past_edge_mm);
        constexpr double flattest = 2.0;  // run along the edge for each mm out of it
        beside_mm = std::clamp(geometry::dot(run, was.along), -flattest * out_mm, flattest * out_mm);
    }
    const Point first = place.at + out_mm * place.outward + beside_mm * place.along;

    // Secant steps along the edge: the crossing follows the end almost one to one.
    constexpr double near_enough_mm = 0.001;
    constexpr int most_steps = 12;
    double slide_mm = 0.0, slide_before_mm = 0.0, miss_before_mm = 0.0;
    std::optional<Point> best;
    double best_miss_mm = 0.0;
    for (int step = 0; step < most_steps; ++step) {
        const Point end = first + slide_mm * place.along;
        const auto met = crossing(with_end(curve, start, end));
        if (!met) break;
        const double miss_mm = geometry::dot(*met - place.at, place.along);
        const double apart_mm = geometry::distance(*met, place.at);
        if (!best || apart_mm < best_miss_mm) {
            best = end;
            best_miss_mm = apart_mm;
        }
        if (apart_mm <= near_enough_mm) break;
        const double slope = step == 0 ? 1.0 : (miss_mm - miss_before_mm) / (slide_mm - slide_before_mm);
        slide_before_mm = slide_mm;
        miss_before_mm = miss_mm;
        // A slope far from one comes from a crossing that jumped; then the plain step is safer.
        slide_mm -= slope > 0.3 && slope < 3.0 ? miss_mm / slope : miss_mm;
        if (!std::isfinite(slide_mm) || slide_mm == slide_before_mm) break;
    }
    return best;
}

std::optional<Point> last_crossing(const PathIndex& edge, Point from, Point direction) {
    const geometry::Box box = edge.box();
    const double reach_mm = geometry::distance(box.low, box.high) + geometry::distance(from, box.low);
    Path ray;
    ray.segments.push_back(geometry::line(from, from + reach_mm * direction / geometry::norm(direction)));
    const PathIndex index(ray);
    const auto all = geometry::crossings(index, edge);
    if (all.empty()) return std::nullopt;
    return all.back().point;
}

Ends laid_across(const Path& field, double y) {
    const geometry::Box box = geometry::bounding_box(field);
    return {{box.low.x - past_edge_mm, y}, {box.high.x + past_edge_mm, y}};
}

}  // namespace seamwright::edit
