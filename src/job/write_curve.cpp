#include "write_curve.h"

#include <cmath>

#include "checker.h"
#include "curves/import.h"
#include "job/read.h"

namespace seamwright::job {

namespace {

void write(JsonWriter& w, const curves::Straight& straight) {
    w.begin_group("straight");
    w.point("from", straight.from);
    w.point("to", straight.to);
    w.end_group();
}

void write(JsonWriter& w, const curves::Arc& arc) {
    const double size = arc.radius_mm ? *arc.radius_mm : arc.rise_mm.value_or(0.0);
    w.begin_group("arc");
    w.point("from", arc.from);
    w.point("to", arc.to);
    w.number(arc.radius_mm ? "radius" : "rise", std::abs(size));
    w.text("bulge", size < 0.0 ? "right" : "left");
    w.end_group();
}

void write(JsonWriter& w, const curves::Sprung& sprung) {
    const double size = sprung.length_mm ? *sprung.length_mm : sprung.rise_mm.value_or(0.0);
    w.begin_group("sprung");
    w.point("from", sprung.from);
    w.point("to", sprung.to);
    w.number(sprung.length_mm ? "length" : "rise", std::abs(size));
    w.text("bulge", size < 0.0 ? "right" : "left");
    w.end_group();
}

void write(JsonWriter& w, const curves::Wave& wave) {
    w.begin_group("wave");
    w.point("from", wave.from);
    w.point("to", wave.to);
    w.begin_list("terms");
    for (const curves::Wave::Term& term : wave.terms) {
        w.begin_group();
        w.number("half_height", term.half_height_mm);
        w.number("length", term.length_mm);
        w.number("shift", term.shift);
        w.end_group();
    }
    w.end_list();
    w.end_group();
}

void write(JsonWriter& w, const curves::Oval& oval) {
    w.begin_group("oval");
    w.point("centre", oval.centre);
    w.number("length", oval.length_mm);
    w.number("width", oval.width_mm);
    w.number("turn_degrees", degrees_of(oval.turn_rad));
    w.end_group();
}

void write(JsonWriter& w, const curves::Pins& pins) {
    w.begin_group("pins");
    w.points("points", pins.points);
    w.flag("closed", pins.closed);
    if (pins.start_heading_rad) w.number("start_degrees", degrees_of(*pins.start_heading_rad));
    if (pins.end_heading_rad) w.number("end_degrees", degrees_of(*pins.end_heading_rad));
    if (pins.batten == curves::Batten::free) w.text("batten", "free");
    w.end_group();
}

/// Lines from point to point without a bound: what a list of points gives, and can be written as one.
bool is_list_of_points(const curves::Imported& imported) {
    const auto& segments = imported.path.segments;
    if (imported.bound_mm != 0.0) return false;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const geometry::Segment& s = segments[i];
        if (s.is_arc() || s.start == s.end) return false;
        if (i > 0 && segments[i - 1].end != s.start) return false;
    }
    const bool returns = imported.path.start() == imported.path.end();
    return imported.path.closed == returns && (!returns || segments.size() >= 3);
}

void write(JsonWriter& w, const curves::Imported& imported) {
    const auto& segments = imported.path.segments;
    if (!segments.empty() && is_list_of_points(imported)) {
        std::string csv;
        const auto add = [&](geometry::Point p) { csv += shortest(p.x) + ',' + shortest(p.y) + '\n'; };
        for (const geometry::Segment& s : segments) add(s.start);
        if (!imported.path.closed) add(segments.back().end);
        w.begin_group("points");
        w.text("csv", csv);
        w.flag("closed", imported.path.closed);
        w.end_group();
        return;
    }
    w.begin_group("lines_and_arcs");
    geometry::Point at = segments.empty() ? geometry::Point{} : segments.front().start;
    w.point("start", at);
    w.flag("closed", imported.path.closed);
    w.number("bound", imported.bound_mm);
    w.begin_list("segments");
    for (const geometry::Segment& s : segments) {
        w.begin_group();
        if (s.start != at) w.point("from", s.start);
        w.point("to", s.end);
        if (s.is_arc()) {
            w.point("centre", s.centre);
            w.number("radius", s.radius_mm);
            w.number("sweep_radians", s.sweep_rad);
        }
        w.end_group();
        at = s.end;
    }
    w.end_list();
    w.end_group();
}

void write_source(JsonWriter& w, const curves::Traced& traced) {
    if (!traced.source) return;
    const curves::Traced::Source& source = *traced.source;
    w.begin_group("picture");
    w.text("kind", source.scan ? "scan" : "photo");
    if (!source.picture.empty()) w.text("file", source.picture);
    if (!source.sha256.empty()) w.text("sha256", source.sha256);
    if (source.width_px > 0) {
        w.numbers("pixels", {static_cast<double>(source.width_px), static_cast<double>(source.height_px)});
    }
    w.number("pixel_mm", source.mm_per_px);
    w.whole("marks", source.marks);
    w.number("residual_pixels", source.residual_px);
    w.number("worst_residual_pixels", source.worst_residual_px);
    w.number("near_mm", source.near_mm);
    w.number("overall_mm", source.overall_mm);
    w.end_group();
}

void write(JsonWriter& w, const curves::Traced& traced) {
    w.begin_group("traced");
    w.text("csv", curves::write_trace_points(traced.points, traced.scatter_mm));
    w.number("smooth_below", traced.wave_mm);
    if (traced.band_mm) w.number("band", *traced.band_mm);
    w.flag("closed", traced.closed);
    w.point("at", traced.at);
    w.number("turn_degrees", degrees_of(traced.turn_rad));
    if (!traced.closed) {
        w.number("run_on_start", traced.run_on_start_mm);
        w.number("run_on_end", traced.run_on_end_mm);
    }
    write_source(w, traced);
    w.end_group();
}

}  // namespace

void write_curve(JsonWriter& w, std::string_view name, const curves::Curve& curve) {
    w.begin_group(name);
    std::visit([&](const auto& one) { write(w, one); }, curve);
    w.end_group();
}

std::string write_traced(const curves::Traced& traced) {
    JsonWriter w;
    w.begin_group();
    w.text("csv", curves::write_trace_points(traced.points, traced.scatter_mm));
    w.text("smooth_below", shortest(traced.wave_mm) + " mm");
    if (traced.band_mm) w.text("band", shortest(*traced.band_mm) + " mm");
    w.flag("closed", traced.closed);
    write_source(w, traced);
    w.end_group();
    return w.take();
}

}  // namespace seamwright::job
