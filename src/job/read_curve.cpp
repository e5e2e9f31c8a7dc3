#include <fmt/format.h>

#include <cmath>

#include "curves/elastica.h"
#include "parts.h"

namespace seamwright::job {

namespace {

using curves::Curve;

bool need_ends(Checker& checker, const Group& group, Point& from, Point& to) {
    bool good = group.need_point("from", "where the curve starts, such as [-40, 150]", from);
    good = group.need_point("to", "where the curve ends, such as [1550, 130]", to) && good;
    if (!good) return false;
    if (geometry::distance(from, to) < ranges::shortest_chord_mm) {
        checker.error(group.node(), "a start and an end at the same place",
                      fmt::format("ends at least {} apart", checker.say_mm(ranges::shortest_chord_mm)),
                      "move one of the ends; for a closed line use \"circle\", \"oval\" or closed \"pins\"", from);
        return false;
    }
    return true;
}

std::optional<Curve> read_straight(Checker& checker, const Node& node) {
    const Group group(checker, node, {"from", "to"});
    curves::Straight straight;
    if (!need_ends(checker, group, straight.from, straight.to)) return std::nullopt;
    return straight;
}

/// 1 to the left, −1 to the right.
std::optional<double> need_bulge(Checker& checker, const Group& group) {
    const auto bulge =
        group.need("bulge", "\"left\" or \"right\": the side it bulges to, going from \"from\" to \"to\"");
    const auto choice = bulge ? read_choice(checker, *bulge, {"left", "right"}) : std::nullopt;
    if (!choice) return std::nullopt;
    return choice == "right" ? -1.0 : 1.0;
}

std::optional<Curve> read_arc(Checker& checker, const Node& node) {
    const Group group(checker, node, {"from", "to", "radius", "rise", "bulge"});
    if (!group) return std::nullopt;
    curves::Arc arc;
    const bool ends = need_ends(checker, group, arc.from, arc.to);
    const auto side = need_bulge(checker, group);
    const auto measure = group.exactly_one({"radius", "rise"}, "radius or rise");
    if (!measure) return std::nullopt;
    const Node size = *group.find(*measure);
    const auto length = read_length(checker, size, *measure == "radius" ? ranges::radius_mm : ranges::rise_mm);
    if (!length || !ends || !side) return std::nullopt;
    if (*measure == "rise") {
        arc.rise_mm = *side * *length;
        return arc;
    }
    const double half_chord = 0.5 * geometry::distance(arc.from, arc.to);
    // A half circle typed in decimals may miss by the last digit of a double.
    constexpr double rounding = 1e-12;
    if (*length < half_chord * (1.0 - rounding)) {
        checker.error(size, checker.say_mm(*length),
                      fmt::format("at least half the distance between the ends, {}", checker.say_mm(half_chord)),
                      "make the radius larger, or give the rise instead", midpoint(arc.from, arc.to));
        return std::nullopt;
    }
    arc.radius_mm = *side * std::max(*length, half_chord);
    return arc;
}

std::optional<Curve> read_sprung(Checker& checker, const Node& node) {
    const Group group(checker, node, {"from", "to", "length", "rise", "bulge"});
    if (!group) return std::nullopt;
    curves::Sprung sprung;
    const bool ends = need_ends(checker, group, sprung.from, sprung.to);
    const auto side = need_bulge(checker, group);
    const auto measure = group.exactly_one({"length", "rise"}, "length or rise");
    if (!measure) return std::nullopt;
    const Node size = *group.find(*measure);
    const bool by_length = *measure == "length";
    const auto length = read_length(checker, size, by_length ? ranges::stick_mm : ranges::rise_mm);
    if (!length || !ends || !side) return std::nullopt;
    (by_length ? sprung.length_mm : sprung.rise_mm) = *side * *length;
    if (std::holds_alternative<curves::SprungStick>(curves::stick_of(sprung))) return sprung;
    const double chord_mm = geometry::distance(sprung.from, sprung.to);
    const bool too_little = by_length ? *length < 2.0 * chord_mm : *length < chord_mm;
    checker.error(size, checker.say_mm(*length),
                  by_length && too_little
                      ? fmt::format("a stick longer than the distance between its ends, {}", checker.say_mm(chord_mm))
                  : too_little ? std::string("a rise that can be told from a straight stick")
                               : fmt::format("a stick whose ends do not meet, {} apart", checker.say_mm(chord_mm)),
                  too_little ? (by_length ? "take a longer stick, or give the rise instead"
                                          : "give it more rise, or use \"straight\"")
                             : "set the ends further apart, or bend the stick less",
                  midpoint(sprung.from, sprung.to));
    return std::nullopt;
}

std::optional<Curve> read_wave(Checker& checker, const Node& node) {
    const Group group(checker, node, {"from", "to", "terms"});
    curves::Wave wave;
    bool good = need_ends(checker, group, wave.from, wave.to);
    const auto terms = group.need("terms", "the waves that are added: [{ \"half_height\": 18, \"length\": 1590 }]");
    if (!terms) return std::nullopt;
    const auto items = read_list(checker, *terms, ranges::most_terms);
    if (items.empty() && terms->value->list() != nullptr && terms->value->list()->empty()) {
        checker.error(*terms, "no wave", fmt::format("1 to {} waves", ranges::most_terms),
                      "add a wave, or use \"straight\"");
    }
    for (const Node& item : items) {
        const Group one(checker, item, {"half_height", "length", "shift"});
        curves::Wave::Term term;
        good = one.need_length("half_height", ranges::half_height_mm,
                               "how far the crest stands from the middle line, such as 18", term.half_height_mm) &&
               good;
        good = one.need_length("length", ranges::wave_length_mm, "the length of one whole wave, such as 1590",
                               term.length_mm) &&
               good;
        if (const auto shift = one.find("shift")) {
            const auto part = read_number(checker, *shift, {0.0, 1.0}, "part of a wave");
            good = good && part;
            term.shift = part.value_or(0.0);
        }
        wave.terms.push_back(term);
    }
    if (!good || wave.terms.empty()) return std::nullopt;
    return wave;
}

std::optional<Curve> read_oval(Checker& checker, const Node& node) {
    const Group group(checker, node, {"centre", "length", "width", "turn_degrees"});
    curves::Oval oval;
    bool good = group.need_point("centre", "the middle of the oval, such as [450, 450]", oval.centre);
    good = group.need_length("length", ranges::oval_side_mm, "the length of the oval, such as 320", oval.length_mm) &&
           good;
    good =
        group.need_length("width", ranges::oval_side_mm, "the width of the oval, such as 200", oval.width_mm) && good;
    if (const auto turn = group.find("turn_degrees")) {
        const auto angle = read_angle(checker, *turn);
        good = good && angle;
        oval.turn_rad = angle.value_or(0.0);
    }
    if (!good) return std::nullopt;
    return oval;
}

std::optional<Curve> read_circle(Checker& checker, const Node& node) {
    const Group group(checker, node, {"centre", "diameter"});
    curves::Oval circle;
    bool good = group.need_point("centre", "the middle of the circle, such as [450, 450]", circle.centre);
    good = group.need_length("diameter", ranges::oval_side_mm, "the diameter of the circle, such as 300",
                             circle.length_mm) &&
           good;
    if (!good) return std::nullopt;
    circle.width_mm = circle.length_mm;
    return circle;
}

std::optional<Curve> read_pins(Checker& checker, const Node& node) {
    const Group group(checker, node, {"points", "closed", "start_degrees", "end_degrees", "batten"});
    curves::Pins pins;
    group.flag("closed", pins.closed);
    bool good = true;
    const auto read_end = [&](std::string_view name, std::optional<double>& heading) {
        const auto end = group.find(name);
        if (!end) return;
        if (pins.closed) {
            checker.error(*end, "the direction of an end on a closed line", "on open lines only",
                          fmt::format("take \"{}\" or \"closed\" out", name));
            good = false;
            return;
        }
        heading = read_angle(checker, *end);
        good = good && heading;
    };
    const std::size_t least = pins.closed ? 3 : 2;
    const auto list = group.need("points", "the pins the batten goes through: [[x, y], [x, y], ...]");
    auto points = list ? read_points(checker, *list, least) : std::nullopt;
    if (points && pins.closed && geometry::distance(points->front(), points->back()) < ranges::same_pin_mm) {
        checker.error(*list, "a last pin at the place of the first", "each pin once: a closed line returns by itself",
                      "take the last pin out", points->back());
        points.reset();
    }
    read_end("start_degrees", pins.start_heading_rad);
    read_end("end_degrees", pins.end_heading_rad);
    if (const auto batten = group.find("batten")) {
        const auto choice = read_choice(checker, *batten, {"even", "free"});
        good = good && choice;
        if (choice == "free") pins.batten = curves::Batten::free;
    }
    if (!points || !good) return std::nullopt;
    pins.points = std::move(*points);
    return pins;
}

template <typename Read>
std::optional<Curve> imported(std::optional<Read> read) {
    if (!read) return std::nullopt;
    return Curve(std::move(*read));
}

bool is_closed(const Curve& curve) {
    if (const auto* pins = std::get_if<curves::Pins>(&curve)) return pins->closed;
    if (const auto* path = std::get_if<curves::Imported>(&curve)) return path->path.closed;
    if (const auto* traced = std::get_if<curves::Traced>(&curve)) return traced->closed;
    return std::holds_alternative<curves::Oval>(curve);
}

}  // namespace

std::optional<Curve> read_curve(Checker& checker, const Node& node, Ends ends) {
    const std::vector<std::string_view> kinds{"straight", "arc",      "sprung", "wave",           "oval",  "circle",
                                              "pins",     "svg_path", "points", "lines_and_arcs", "traced"};
    const Group group(checker, node, kinds);
    const auto kind = group.exactly_one(kinds, "curve");
    if (!kind) return std::nullopt;
    const Node drawing = *group.find(*kind);
    std::optional<Curve> curve;
    if (*kind == "straight") curve = read_straight(checker, drawing);
    if (*kind == "arc") curve = read_arc(checker, drawing);
    if (*kind == "sprung") curve = read_sprung(checker, drawing);
    if (*kind == "wave") curve = read_wave(checker, drawing);
    if (*kind == "oval") curve = read_oval(checker, drawing);
    if (*kind == "circle") curve = read_circle(checker, drawing);
    if (*kind == "pins") curve = read_pins(checker, drawing);
    if (*kind == "svg_path") curve = imported(read_svg_path(checker, drawing));
    if (*kind == "points") curve = imported(read_points_file(checker, drawing));
    if (*kind == "lines_and_arcs") curve = imported(read_lines_and_arcs(checker, drawing));
    if (*kind == "traced") curve = imported(read_traced(checker, drawing));
    if (!curve || is_closed(*curve) == (ends == Ends::closed)) return curve;

    if (ends == Ends::closed) {
        const bool can_close = *kind == "pins" || *kind == "points" || *kind == "lines_and_arcs" || *kind == "traced";
        checker.error(drawing, "an open line", "a line that closes on itself",
                      can_close             ? "add \"closed\": true"
                      : *kind == "svg_path" ? "end the path with Z"
                                            : "use \"circle\", \"oval\" or closed \"pins\"");
    } else {
        checker.error(drawing, "a closed line", "an open line that crosses the top from edge to edge",
                      "say \"kind\": \"inlay\" for a piece set into another, or draw an open line");
    }
    return std::nullopt;
}

}  // namespace seamwright::job
