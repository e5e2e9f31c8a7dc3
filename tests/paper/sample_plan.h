#pragma once

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "geometry/path.h"
#include "plan/plan.h"

namespace seamwright::paper::test {

using geometry::Path;
using geometry::Point;

/// A parallel of a smooth path, + to the left. Every arc must stay an arc.
inline Path shifted(const Path& path, double left_mm) {
    Path out;
    out.closed = path.closed;
    for (const auto& s : path.segments) {
        if (s.is_line()) {
            const Point n = left_mm * geometry::left_of(geometry::unit(geometry::heading(s.end - s.start)));
            out.segments.push_back(geometry::line(s.start + n, s.end + n));
        } else {
            const double factor = 1.0 - (s.sweep_rad > 0.0 ? left_mm : -left_mm) / s.radius_mm;
            out.segments.push_back(
                geometry::arc_about(s.centre, s.centre + factor * (s.start - s.centre), s.sweep_rad));
        }
    }
    return out;
}

/// Arcs from point to point, each leaving as the one before arrived.
inline Path arcs_through(const std::vector<Point>& points, double heading_rad) {
    Path p;
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
        p.segments.push_back(geometry::arc_from_heading(points[i], heading_rad, points[i + 1]));
        heading_rad = geometry::heading_at(p.segments.back(), 1.0);
    }
    return p;
}

inline Path ring(std::vector<Path> parts) {
    Path out;
    for (const auto& p : parts) {
        if (!out.empty() && geometry::distance(out.end(), p.start()) > 1e-9)
            out.segments.push_back(geometry::line(out.end(), p.start()));
        out.segments.insert(out.segments.end(), p.segments.begin(), p.segments.end());
    }
    if (geometry::distance(out.end(), out.start()) > 1e-9)
        out.segments.push_back(geometry::line(out.end(), out.start()));
    out.closed = true;
    return out;
}

inline plan::TemplatePlan template_of(const std::string& seam_name, const Path& seam, bool left, double offset_mm,
                                      double run_mm, double body_mm) {
    plan::TemplatePlan t;
    t.seam = seam_name;
    t.hand = left ? "left" : "right";
    t.title = seam_name + ", " + t.hand + " template";
    t.master = left;
    t.body_on_left = left;
    t.offset_mm = offset_mm;
    t.rides = "30 mm guide, 10 mm cutter";
    const double sign = left ? 1.0 : -1.0;
    const auto edge = [&](double n) {
        const Path p = shifted(seam, n);
        return seam.closed ? p : geometry::extended(p, run_mm, run_mm);
    };
    t.edge = edge(sign * offset_mm);
    t.seam_line = seam;
    t.mating_edge = edge(-sign * offset_mm);
    t.rough_cut = shifted(seam, -sign * 6.0);
    const Path back = shifted(t.edge, sign * body_mm);
    if (!seam.closed) t.body = ring({t.edge, geometry::reversed(back)});
    const auto running = geometry::running_length_mm(t.edge);
    for (double at = 50.0; at < running.back() - 40.0; at += 190.0) {
        const auto station = geometry::station_at(t.edge, running, at);
        const Point n = sign * geometry::left_of(geometry::tangent_at(t.edge, station));
        t.fastening.push_back(geometry::point_at(t.edge, station) + 70.0 * n);
    }
    for (const double at : {25.0, running.back() - 25.0}) {
        const auto station = geometry::station_at(t.edge, running, at);
        const Point n = sign * geometry::left_of(geometry::tangent_at(t.edge, station));
        t.registration.push_back(geometry::point_at(t.edge, station) + 30.0 * n);
    }
    return t;
}

inline plan::SeamPlan seam_of(const std::string& name, const Path& seam) {
    plan::SeamPlan s;
    s.name = name;
    s.kind = seam.closed ? job::SeamKind::inlay : job::SeamKind::open;
    s.in_wood = seam;
    s.length_mm = geometry::length_mm(seam);
    for (const bool left : {true, false}) s.templates.push_back(template_of(name, seam, left, 10.0, 60.0, 120.0));
    return s;
}

inline plan::PiecePlan piece_of(const std::string& name, const std::string& species, double grain, const Path& outer,
                                Point label) {
    plan::PiecePlan p;
    p.name = name;
    p.species = species;
    p.grain_rad = grain;
    p.region.outer = outer;
    p.area_mm2 = geometry::area_mm2(outer);
    p.weight_kg = p.area_mm2 * 30.0 * 0.65e-6;
    p.box = geometry::bounding_box(outer);
    p.label_at = label;
    p.named = true;
    return p;
}

/// A hall console, invented: three pieces, two seams of different bend, the insert widens to the right.
inline plan::Plan console() {
    plan::Plan p;
    p.name = "Hall console";
    p.thickness_mm = 30.0;
    p.outline = geometry::rectangle({0.0, 0.0}, {1510.0, 380.0});
    p.box = geometry::bounding_box(p.outline);
    p.area_mm2 = geometry::area_mm2(p.outline);
    const Path front = arcs_through({{0.0, 130.0}, {500.0, 190.0}, {1000.0, 120.0}, {1510.0, 110.0}}, 0.25);
    const Path back = arcs_through({{0.0, 205.0}, {620.0, 250.0}, {1510.0, 240.0}}, -0.05);
    p.seams = {seam_of("Front seam", front), seam_of("Back seam", back)};
    const Path low = geometry::polyline(std::vector<Point>{{0.0, 0.0}, {1510.0, 0.0}});
    const Path high = geometry::polyline(std::vector<Point>{{1510.0, 380.0}, {0.0, 380.0}});
    p.pieces = {piece_of("Front panel", "European oak", 0.0, ring({low, geometry::reversed(front)}), {700.0, 70.0}),
                piece_of("Insert", "Sycamore", 0.12, ring({front, geometry::reversed(back)}), {1100.0, 190.0}),
                piece_of("Back panel", "European oak", 0.0, ring({back, high}), {700.0, 310.0})};
    return p;
}

/// A round top with a round inlay, invented, in inches.
inline plan::Plan round_top() {
    plan::Plan p;
    p.name = "Round table <no. 2> & spare";
    p.style.unit = units::Unit::inch;
    p.style.denominator = 16;
    p.thickness_mm = 25.4;
    p.outline = geometry::circle({400.0, 400.0}, 400.0);
    p.box = geometry::bounding_box(p.outline);
    p.area_mm2 = geometry::area_mm2(p.outline);
    const Path seam = geometry::circle({400.0, 400.0}, 170.0);
    p.seams = {seam_of("Inlay", seam)};
    p.pieces = {piece_of("Field", "Black walnut", 0.0, p.outline, {400.0, 700.0}),
                piece_of("Inlay", "Hard maple", 0.8, seam, {400.0, 400.0})};
    p.pieces[0].region.holes.push_back(geometry::reversed(seam));
    p.paper.size = "Letter";
    p.paper.correction = {99.6, 100.2};
    return p;
}

}  // namespace seamwright::paper::test
