// Straight lines and arcs through two points: exact, nothing is fitted.

#include <cmath>

#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr const char* within_a_kilometre = "Give a plain number of no more than a kilometre.";

std::optional<CurveProblem> check_ends(Point from, Point to) {
    for (const Point p : {from, to}) {
        if (!usable(p)) {
            return CurveProblem{"An end point is not a usable number.", within_a_kilometre, std::nullopt, std::nullopt};
        }
    }
    const double size =
        std::fmax(std::fmax(std::abs(from.x), std::abs(from.y)), std::fmax(std::abs(to.x), std::abs(to.y)));
    if (geometry::distance(from, to) <= coincident_part * size) {
        return CurveProblem{"Both ends are the same point.", "Move one end, so that the curve has a length.",
                            std::nullopt, from};
    }
    return std::nullopt;
}

}  // namespace

std::variant<Drawn, CurveProblem> draw_straight(const Straight& straight) {
    if (auto problem = check_ends(straight.from, straight.to)) return *problem;
    Drawn out;
    out.path.segments.push_back(geometry::line(straight.from, straight.to));
    describe_arcs(out);
    return out;
}

std::variant<Drawn, CurveProblem> draw_arc(const Arc& arc) {
    if (auto problem = check_ends(arc.from, arc.to)) return *problem;
    const double chord = geometry::distance(arc.from, arc.to);
    if (arc.radius_mm.has_value() == arc.rise_mm.has_value()) {
        return CurveProblem{
            arc.radius_mm ? "The arc has both a radius and a rise." : "The arc has no radius and no rise.",
            "Give exactly one of the two.", std::nullopt, std::nullopt};
    }
    const double given = arc.radius_mm ? *arc.radius_mm : *arc.rise_mm;
    const char* name = arc.radius_mm ? "radius" : "rise";
    // A flat arc may have a radius of many kilometres; its rise is what must stay on the drawing.
    constexpr double most_radius_mm = 1e9;
    if (!std::isfinite(given) || std::abs(given) > (arc.radius_mm ? most_radius_mm : most_coordinate_mm)) {
        return CurveProblem{std::string("The ") + name + " of the arc is not a usable number.", within_a_kilometre,
                            std::nullopt, std::nullopt};
    }
    double rise = 0.0;
    double radius = 0.0;
    const double half = 0.5 * chord;
    if (arc.radius_mm) {
        radius = std::abs(given);
        // Half the chord typed with few digits still means a half circle.
        constexpr double typing = 1e-9;
        if (radius < half * (1.0 - typing)) {
            return CurveProblem{
                "A radius of " + plain(radius) + " mm cannot span two points " + plain(chord) + " mm apart.",
                "Use a radius of at least half that distance, " + plain(half) + " mm, or move the ends closer.",
                std::nullopt, geometry::midpoint(arc.from, arc.to)};
        }
        radius = std::fmax(radius, half);
        rise = half * half / (radius + std::sqrt(std::fmax(0.0, (radius - half) * (radius + half))));
    } else {
        rise = std::abs(given);
        if (!(rise > coincident_part * chord)) {
            return CurveProblem{"The arc has no rise.", "Give it a rise, or draw a straight line.", std::nullopt,
                                geometry::midpoint(arc.from, arc.to)};
        }
        radius = 0.5 * (half * half / rise + rise);
    }
    const double side = given > 0.0 ? 1.0 : -1.0;
    const Point left = geometry::left_of(arc.to - arc.from) / chord;
    const Point centre = geometry::midpoint(arc.from, arc.to) + side * (rise - radius) * left;
    // Bulging to the left of the way means turning right along it.
    const double sweep = -side * 4.0 * std::atan2(rise, half);
    geometry::Segment segment = geometry::arc_about(centre, arc.from, sweep);
    segment.radius_mm = radius;
    segment.end = arc.to;
    Drawn out;
    out.path.segments.push_back(segment);
    describe_arcs(out);
    if (radius < least_radius_mm) {
        return CurveProblem{"The arc's radius is " + plain(radius) + " mm: that is a corner, not a curve.",
                            "Use a radius of at least " + plain(least_radius_mm) + " mm.", std::nullopt, centre};
    }
    return out;
}

}  // namespace seamwright::curves
