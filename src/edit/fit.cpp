#include "fit.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "curves/elastica.h"

namespace seamwright::edit {
namespace {

using geometry::cross;
using geometry::dot;
using geometry::Path;

struct Named {
    As as;
    std::string_view name;
};
constexpr std::array<Named, 7> names{{{As::straight, "straight"},
                                      {As::arc, "arc"},
                                      {As::sprung, "sprung"},
                                      {As::wave, "wave"},
                                      {As::pins, "pins"},
                                      {As::oval, "oval"},
                                      {As::circle, "circle"}}};

// A pencil line is as thick.
constexpr double pins_within_mm = 0.5;
constexpr std::size_t fewest_pins = 3, most_pins = 12;

Point rounded(const Ruler& ruler, Point p) {
    const double part_mm = ruler.style.unit == units::Unit::inch ? units::mm_per_inch / 64.0 : 0.1;
    return {to_multiple(p.x, part_mm), to_multiple(p.y, part_mm)};
}

curves::Pins evenly(const Path& line, std::size_t count, const Ruler& ruler) {
    curves::Pins pins;
    pins.closed = line.closed;
    const auto running = geometry::running_length_mm(line);
    const double gaps = static_cast<double>(line.closed ? count : count - 1);
    for (std::size_t i = 0; i < count; ++i) {
        const double at_mm = running.back() * static_cast<double>(i) / gaps;
        pins.points.push_back(rounded(ruler, geometry::point_at(line, geometry::station_at(line, running, at_mm))));
    }
    return pins;
}

/// Farthest that the batten through the pins lies from the line.
std::optional<double> miss_mm(const curves::Pins& pins, const geometry::PathIndex& line) {
    const auto batten = drawn(pins);
    if (!batten) return std::nullopt;
    constexpr double certain_mm = 0.02;
    return geometry::largest_distance(batten->path, line, certain_mm).value_mm;
}

Json fitted_pins(const Path& line, const Ruler& ruler) {
    const geometry::PathIndex index(line);
    curves::Pins best = evenly(line, fewest_pins, ruler);
    std::optional<double> best_mm;
    for (std::size_t count = fewest_pins; count <= most_pins; ++count) {
        curves::Pins pins = evenly(line, count, ruler);
        const auto miss = miss_mm(pins, index);
        if (!miss || (best_mm && *miss >= *best_mm)) continue;
        best = std::move(pins);
        best_mm = miss;
        if (*best_mm <= pins_within_mm) break;
    }
    Json group = Json::object();
    group["points"] = Json::array();
    for (const Point p : best.points) group["points"].push_back(ruler.written(p));
    if (best.closed) group["closed"] = true;
    return group;
}

Point halfway(const Path& line) {
    const auto running = geometry::running_length_mm(line);
    return geometry::point_at(line, geometry::station_at(line, running, 0.5 * running.back()));
}

Json fitted_wave(const Path& line, const Ruler& ruler) {
    const Point from = line.start(), to = line.end();
    const double span_mm = geometry::distance(from, to);
    const Point left = geometry::left_of(to - from) / span_mm;
    // Bulges lower than the line is thick are none.
    double highest_mm = 0.0;
    int bulges = 0;
    double first_side = 1.0, side = 0.0;
    constexpr double sag_mm = 0.2;
    for (const Point p : geometry::chords(line, sag_mm)) {
        const double height_mm = dot(p - from, left);
        highest_mm = std::max(highest_mm, std::abs(height_mm));
        if (std::abs(height_mm) <= pins_within_mm || height_mm * side > 0.0) continue;
        side = height_mm > 0.0 ? 1.0 : -1.0;
        if (bulges == 0) first_side = side;
        ++bulges;
    }
    if (bulges == 0) {
        // A straight line becomes one gentle wave, to be pulled into shape.
        constexpr double gentle = 0.0125;
        highest_mm = std::max(to_multiple(gentle * span_mm, ruler.stride_mm(Stride::coarse)), ruler.finest_mm());
        bulges = 2;
    }
    const double height_mm = std::max(to_multiple(highest_mm, ruler.finest_mm()), ruler.finest_mm());
    return written_wave(ruler, from, to, height_mm, 2.0 * span_mm / bulges, first_side > 0.0 ? 0.0 : 0.5);
}

/// The ellipse with the area's middle and second moments; an ellipse gives itself.
struct Moments {
    Point middle;
    double area = 0.0;
    double xx = 0.0, yy = 0.0, xy = 0.0;  // about the middle, by area
};
Moments moments_of(const Path& line) {
    constexpr double sag_mm = 0.05;
    const std::vector<Point> points = geometry::chords(line, sag_mm);
    const Point origin = points.front();
    double area = 0.0, xx = 0.0, yy = 0.0, xy = 0.0;
    Point first;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const Point a = points[i] - origin, b = points[(i + 1) % points.size()] - origin;
        const double c = cross(a, b);
        area += c / 2.0;
        first = first + c / 6.0 * (a + b);
        xx += c / 12.0 * (a.x * a.x + a.x * b.x + b.x * b.x);
        yy += c / 12.0 * (a.y * a.y + a.y * b.y + b.y * b.y);
        xy += c / 24.0 * (a.x * b.y + 2.0 * a.x * a.y + 2.0 * b.x * b.y + b.x * a.y);
    }
    const Point middle = first / area;
    return {origin + middle, std::abs(area), xx / area - middle.x * middle.x, yy / area - middle.y * middle.y,
            xy / area - middle.x * middle.y};
}

double at_least_1_mm(double mm) {
    return std::max(mm, 1.0);
}

Json fitted_oval(const Path& line, const Ruler& ruler) {
    const Moments m = moments_of(line);
    const double mean = 0.5 * (m.xx + m.yy), spread = std::hypot(0.5 * (m.xx - m.yy), m.xy);
    // As good as round: no direction can be told.
    constexpr double roundest = 1e-3;
    double turn =
        spread < roundest * mean ? 0.0 : 0.5 * std::atan2(2.0 * m.xy, m.xx - m.yy) * geometry::degrees_per_radian;
    turn = to_multiple(turn, 0.1);
    const double mark_mm = ruler.finest_mm();
    const auto size = [&](double moment) {
        return ruler.written(at_least_1_mm(to_multiple(4.0 * std::sqrt(std::max(moment, 0.0)), mark_mm)));
    };
    Json oval = Json::object();
    oval["centre"] = ruler.written(rounded(ruler, m.middle));
    oval["length"] = size(mean + spread);
    oval["width"] = size(mean - spread);
    if (turn != 0.0) oval["turn_degrees"] = number_of(std::round(turn * 10.0) / 10.0);
    return oval;
}

Json fitted_circle(const Path& line, const Ruler& ruler) {
    const Moments m = moments_of(line);
    const double diameter_mm = 2.0 * std::sqrt(m.area / geometry::pi);
    Json circle = Json::object();
    circle["centre"] = ruler.written(rounded(ruler, m.middle));
    circle["diameter"] = ruler.written(at_least_1_mm(to_multiple(diameter_mm, ruler.finest_mm())));
    return circle;
}

}  // namespace

std::optional<As> as_of(std::string_view name) {
    for (const Named& one : names)
        if (one.name == name) return one.as;
    return std::nullopt;
}

std::string_view name_of(As as) {
    for (const Named& one : names)
        if (one.as == as) return one.name;
    return {};
}

bool is_closed(As as, bool line_closed) {
    return as == As::oval || as == As::circle || (as == As::pins && line_closed);
}

double rise_through(Point from, Point to, Point through) {
    const Point chord = to - from;
    const double length_mm = geometry::norm(chord);
    const Point u = chord / length_mm, n = geometry::left_of(u);
    const double half_mm = 0.5 * length_mm;
    const double x = dot(through - from, u) - half_mm, y = dot(through - from, n);
    if (y == 0.0) return 0.0;
    // The circle through (−h, 0), (h, 0), (x, y) has its centre at (0, c); the rise is on the side of the place.
    const double c = (x * x + y * y - half_mm * half_mm) / (2.0 * y);
    return y > 0.0 ? c + std::hypot(c, half_mm) : c - std::hypot(c, half_mm);
}

namespace {

/// Arcs and sprung sticks are written alike.
Json written_rise(const Ruler& ruler, Point from, Point to, double rise_mm) {
    Json curve = Json::object();
    curve["from"] = ruler.written(from);
    curve["to"] = ruler.written(to);
    curve["rise"] = ruler.written(std::max(std::abs(rise_mm), ruler.finest_mm()));
    curve["bulge"] = rise_mm < 0.0 ? "right" : "left";
    return curve;
}

}  // namespace

Json written_arc(const Ruler& ruler, Point from, Point to, double rise_mm) {
    return written_rise(ruler, from, to, rise_mm);
}
Json written_sprung(const Ruler& ruler, Point from, Point to, double rise_mm) {
    return written_rise(ruler, from, to, rise_mm);
}

Json written_wave(const Ruler& ruler, Point from, Point to, double half_height_mm, double length_mm, double shift) {
    Json term = Json::object();
    term["half_height"] = ruler.written(half_height_mm);
    term["length"] = ruler.written(to_multiple(length_mm, ruler.finest_mm()));
    if (shift != 0.0) term["shift"] = number_of(shift);
    Json wave = Json::object();
    wave["from"] = ruler.written(from);
    wave["to"] = ruler.written(to);
    wave["terms"] = Json::array({std::move(term)});
    return wave;
}

Json fitted(const Path& line, As as, const Ruler& ruler) {
    Json curve = Json::object();
    Json& drawn_as = curve[std::string(name_of(as))];
    switch (as) {
        case As::straight:
            drawn_as = {{"from", ruler.written(line.start())}, {"to", ruler.written(line.end())}};
            break;
        case As::arc: {
            const double rise_mm = rise_through(line.start(), line.end(), halfway(line));
            drawn_as = written_arc(ruler, line.start(), line.end(), rise_mm);
            break;
        }
        case As::sprung: {
            const double rise_mm = curves::sprung_rise_through(line.start(), line.end(), halfway(line));
            drawn_as = written_sprung(ruler, line.start(), line.end(), rise_mm);
            break;
        }
        case As::wave:
            drawn_as = fitted_wave(line, ruler);
            break;
        case As::pins:
            drawn_as = fitted_pins(line, ruler);
            break;
        case As::oval:
            drawn_as = fitted_oval(line, ruler);
            break;
        case As::circle:
            drawn_as = fitted_circle(line, ruler);
            break;
    }
    return curve;
}

}  // namespace seamwright::edit
