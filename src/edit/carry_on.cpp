#include "carry_on.h"

#include <algorithm>
#include <cmath>

#include "curves/elastica.h"
#include "fit.h"
#include "values.h"

namespace seamwright::edit {
namespace {

using geometry::Path;
using geometry::PathIndex;

/// How far a straight run has to go from `from` in direction `way` until it is past_edge_mm clear of the wood.
std::optional<double> run_mm(const PathIndex& edge, Point from, Point way) {
    const auto leaves = last_crossing(edge, from, way);
    double run = leaves ? geometry::distance(from, *leaves) : 0.0;
    // Each step is what is still missing, as if straight out; on a slant several are needed.
    constexpr int most_steps = 60;
    constexpr double near_enough_mm = 0.05;
    for (int i = 0; i < most_steps; ++i) {
        const double missing_mm = past_edge_mm - clear_mm(edge, from + run * way);
        if (missing_mm <= near_enough_mm) return run;
        run += missing_mm;
    }
    return std::nullopt;
}

double up_to_whole(double mm) {
    return std::ceil(mm);
}

struct Missing {
    bool start = false, end = false;
};

/// How far the ends have to run on straight.
std::optional<CarriedOn> run_ends(const Path& line, const PathIndex& edge, const Missing& missing) {
    CarriedOn result;
    const Point back = -geometry::tangent_at(line.segments.front(), 0.0);
    const Point ahead = geometry::tangent_at(line.segments.back(), 1.0);
    for (const bool start : {true, false}) {
        if (!(start ? missing.start : missing.end)) continue;
        const auto run = run_mm(edge, start ? line.start() : line.end(), start ? back : ahead);
        if (!run) return std::nullopt;
        (start ? result.start_mm : result.end_mm) = up_to_whole(*run);
    }
    return result;
}

std::optional<CarriedOn> straight_on(const curves::Curve& curve, const Path& line, const PathIndex& edge,
                                     const Missing& missing) {
    const auto run = run_ends(line, edge, missing);
    if (!run) return std::nullopt;
    CarriedOn result = *run;
    const Point back = -geometry::tangent_at(line.segments.front(), 0.0);
    const Point ahead = geometry::tangent_at(line.segments.back(), 1.0);
    const Point from = line.start() + result.start_mm * back, to = line.end() + result.end_mm * ahead;
    if (std::holds_alternative<curves::Straight>(curve)) {
        result.curve = curves::Straight{from, to};
    } else if (const auto* pins = std::get_if<curves::Pins>(&curve)) {
        // A pin well inside the wood stays and holds the course; one at the edge is moved out.
        constexpr double inside_mm = 60.0;
        curves::Pins longer = *pins;
        for (const bool start : {true, false}) {
            if ((start ? result.start_mm : result.end_mm) == 0.0) continue;
            const Point end = start ? from : to;
            Point& pin = start ? longer.points.front() : longer.points.back();
            // A direction that was held at the end is held at the new end: the run is straight.
            if (clear_mm(edge, pin) > -inside_mm) {
                pin = end;
            } else {
                longer.points.insert(start ? longer.points.begin() : longer.points.end(), end);
            }
        }
        result.curve = longer;
    } else if (const auto* traced = std::get_if<curves::Traced>(&curve)) {
        curves::Traced longer = *traced;
        longer.run_on_start_mm += result.start_mm;
        longer.run_on_end_mm += result.end_mm;
        result.curve = std::move(longer);
    } else {
        const auto* imported = std::get_if<curves::Imported>(&curve);
        if (imported == nullptr) return std::nullopt;
        result.to_document = true;
        result.curve =
            curves::Imported{geometry::extended(imported->path, result.start_mm, result.end_mm), imported->bound_mm};
    }
    return result;
}

std::optional<CarriedOn> along_middle_line(curves::Wave wave, const PathIndex& edge, const Missing& missing) {
    CarriedOn result;
    const Point u = (wave.to - wave.from) / geometry::distance(wave.from, wave.to);
    double height_mm = 0.0;
    for (const auto& term : wave.terms) height_mm += term.half_height_mm;
    for (const bool start : {true, false}) {
        if (!(start ? missing.start : missing.end)) continue;
        // The line itself swings to both sides of its middle.
        const auto run = run_mm(edge, start ? wave.from : wave.to, start ? -u : u);
        if (!run) return std::nullopt;
        double longer_mm = up_to_whole(std::max(*run, 1.0));
        constexpr int most_tries = 40;
        for (int i = 0; i < most_tries; ++i) {
            curves::Wave longer = wave;
            (start ? longer.from : longer.to) = (start ? wave.from - longer_mm * u : wave.to + longer_mm * u);
            if (start)
                for (auto& term : longer.terms) term.shift -= longer_mm / term.length_mm;
            const auto line = drawn(longer);
            if (line && clear_mm(edge, start ? line->path.start() : line->path.end()) >= least_past_edge_mm) break;
            longer_mm += std::max(10.0, 0.1 * height_mm);
        }
        (start ? result.start_mm : result.end_mm) = longer_mm;
    }
    wave.from = wave.from - result.start_mm * u;
    wave.to = wave.to + result.end_mm * u;
    for (auto& term : wave.terms) {
        term.shift -= result.start_mm / term.length_mm;
        term.shift -= std::floor(term.shift);
        // To a millionth of a wave: what is left is no length anyone could draw.
        constexpr double parts = 1e6;
        term.shift = std::round(term.shift * parts) / parts;
        if (term.shift >= 1.0) term.shift = 0.0;
    }
    result.curve = wave;
    return result;
}

std::optional<CarriedOn> along_circle(const curves::Arc& arc, const Path& line, const PathIndex& edge,
                                      const Missing& missing) {
    CarriedOn result;
    const geometry::Segment& segment = line.segments.front();
    if (segment.is_line()) return std::nullopt;
    const double direction = segment.sweep_rad > 0.0 ? 1.0 : -1.0;
    // Not farther than the arc stays the shorter way round, if it is given by its radius.
    const double most_rad = (arc.radius_mm ? 1.0 : 1.5) * geometry::pi;
    double sweep_rad = std::abs(segment.sweep_rad);
    Point from = arc.from, to = arc.to;
    for (const bool start : {true, false}) {
        if (!(start ? missing.start : missing.end)) continue;
        constexpr double step_mm = 1.0;
        double run = 0.0;
        Point end = start ? arc.from : arc.to;
        while (clear_mm(edge, end) < past_edge_mm) {
            run += std::max(step_mm, 0.5 * (past_edge_mm - clear_mm(edge, end)));
            if (sweep_rad + run / segment.radius_mm > most_rad) return std::nullopt;
            const double turn = (start ? -direction : direction) * run / segment.radius_mm;
            end = geometry::arc_about(segment.centre, start ? arc.from : arc.to, turn).end;
        }
        sweep_rad += run / segment.radius_mm;
        (start ? result.start_mm : result.end_mm) = run;
        (start ? from : to) = end;
    }
    curves::Arc longer{from, to, arc.radius_mm, std::nullopt};
    if (!arc.radius_mm) {
        const double half_mm = 0.5 * geometry::distance(from, to);
        // rise = r (1 − cos(sweep / 2)), which tan(sweep / 4) gives without cancellation.
        longer.rise_mm = std::copysign(half_mm * std::tan(0.25 * sweep_rad), *arc.rise_mm);
    }
    result.curve = longer;
    return result;
}

/// A longer stick between ends farther out, through the crest of the one before.
std::optional<CarriedOn> longer_stick(const curves::Sprung& sprung, const Path& line, const PathIndex& edge,
                                      const Missing& missing) {
    auto result = run_ends(line, edge, missing);
    if (!result) return std::nullopt;
    const Point from = line.start() - result->start_mm * geometry::tangent_at(line.segments.front(), 0.0);
    const Point to = line.end() + result->end_mm * geometry::tangent_at(line.segments.back(), 1.0);
    const auto running = geometry::running_length_mm(line);
    const Point crest = geometry::point_at(line, geometry::station_at(line, running, 0.5 * running.back()));
    curves::Sprung longer{from, to, std::nullopt, curves::sprung_rise_through(from, to, crest)};
    if (sprung.length_mm) {
        const auto stick = curves::stick_of(longer);
        const auto* s = std::get_if<curves::SprungStick>(&stick);
        if (s == nullptr) return std::nullopt;
        longer.length_mm = std::copysign(s->length_mm, *sprung.length_mm);
        longer.rise_mm.reset();
    }
    result->curve = longer;
    return result;
}

}  // namespace

std::optional<CarriedOn> carried_on(const curves::Curve& curve, const Path& field) {
    if (field.empty()) return std::nullopt;
    const auto line = drawn(curve);
    if (!line || line->path.closed || line->path.empty()) return std::nullopt;
    const PathIndex edge(field);
    const Missing missing{clear_mm(edge, line->path.start()) < least_past_edge_mm,
                          clear_mm(edge, line->path.end()) < least_past_edge_mm};
    if (!missing.start && !missing.end) return std::nullopt;
    if (const auto* wave = std::get_if<curves::Wave>(&curve)) return along_middle_line(*wave, edge, missing);
    if (const auto* arc = std::get_if<curves::Arc>(&curve)) return along_circle(*arc, line->path, edge, missing);
    if (const auto* sprung = std::get_if<curves::Sprung>(&curve))
        return longer_stick(*sprung, line->path, edge, missing);
    return straight_on(curve, line->path, edge, missing);
}

void carry_seams_on(Bench& bench) {
    // Seams that were wrong before stay as they are: what is meant by them is not known.
    if (bench.before().plan.seams.empty() || bench.outline().empty()) return;
    const job::Job job = bench.document().job;
    const geometry::Path field = bench.field();
    for (std::size_t i = 0; i < job.seams.size(); ++i) {
        if (job.seams[i].kind != job::SeamKind::open) continue;
        const auto longer = carried_on(job.seams[i].curve, field);
        if (longer && !longer->to_document) put_curve(bench, Steps{"seams"} / i / "curve", longer->curve);
    }
}

void put_curve(Bench& bench, const Steps& steps, const curves::Curve& curve) {
    const Ruler ruler = bench.ruler();
    if (const auto* imported = std::get_if<curves::Imported>(&curve)) {
        // The one form that keeps lines and arcs to the last digit is the writer's own.
        job::Document one;
        one.job.seams.emplace_back().curve = *imported;
        auto written = parsed(job::write_document(one));
        Json* group = written ? find(*written, {"seams", "0", "curve"}) : nullptr;
        if (group == nullptr)
            refuse(pointer_of(steps), "a curve that cannot be written", "lines and arcs", "draw it anew");
        visit_lengths(*group,
                      [&](const Steps&, Json& value) { keep_size(value, units::Unit::millimetre, ruler.bare); });
        put(bench.change(), steps, std::move(*group));
        return;
    }
    Json& tree = bench.change();
    if (const auto* traced = std::get_if<curves::Traced>(&curve)) {
        put(tree, steps / "traced" / "run_on_start", ruler.written(traced->run_on_start_mm));
        put(tree, steps / "traced" / "run_on_end", ruler.written(traced->run_on_end_mm));
        return;
    }
    const auto ends = ends_of(curve);
    if (const auto* pins = std::get_if<curves::Pins>(&curve)) {
        // Pins that stay keep the maker's own words.
        Json& points = *find(tree, steps / "pins" / "points");
        Json renewed = Json::array();
        std::size_t old = 0;
        std::vector<std::optional<Point>> before;
        for (const Json& point : points) before.push_back(ruler.point(&point));
        for (const Point p : pins->points) {
            while (old < before.size() && before[old] && geometry::distance(*before[old], p) > 1e-9 &&
                   std::find(pins->points.begin(), pins->points.end(), *before[old]) == pins->points.end())
                ++old;
            const bool stays = old < before.size() && before[old] && geometry::distance(*before[old], p) <= 1e-9;
            renewed.push_back(stays ? points[old++] : ruler.written(p));
        }
        points = std::move(renewed);
        return;
    }
    if (!ends) return;
    put(tree, end_steps(tree, steps, true), ruler.written(ends->from));
    put(tree, end_steps(tree, steps, false), ruler.written(ends->to));
    if (const auto* arc = std::get_if<curves::Arc>(&curve); arc != nullptr && arc->rise_mm)
        put(tree, steps / "arc" / "rise", ruler.written(std::abs(*arc->rise_mm)));
    if (const auto* sprung = std::get_if<curves::Sprung>(&curve)) {
        const double size_mm = sprung->length_mm ? *sprung->length_mm : sprung->rise_mm.value_or(0.0);
        put(tree, steps / "sprung" / (sprung->length_mm ? "length" : "rise"), ruler.written(std::abs(size_mm)));
    }
    if (const auto* wave = std::get_if<curves::Wave>(&curve)) {
        for (std::size_t i = 0; i < wave->terms.size(); ++i) {
            const Steps shift = steps / "wave" / "terms" / i / "shift";
            if (wave->terms[i].shift != 0.0 || find(tree, shift) != nullptr)
                put(tree, shift, number_of(wave->terms[i].shift));
        }
    }
}

}  // namespace seamwright::edit
