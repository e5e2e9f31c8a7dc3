// The pictures of docs/method.md. Every line in them comes out of the program: chains from seam, edges from geometry,
// curves from curves, and the SVG from paper.
//
//   draw_method FOLDER

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>
#include <stdexcept>

#include "curves/clothoid.h"
#include "curves/drawn.h"
#include "geometry/parallel.h"
#include "geometry/path_index.h"
#include "picture.h"
#include "seam/simulate.h"

namespace {

using namespace seamwright;
using geometry::Parallel;
using geometry::Side;
using namespace seamwright::pictures;

constexpr double degree = geometry::pi / 180.0;
const Fill wood = hatch(3.0, 0.25 * geometry::pi);
const Fill sheet = hatch(1.5, -0.25 * geometry::pi);

Path drawn(const curves::Curve& curve) {
    auto result = curves::draw(curve);
    if (const auto* problem = std::get_if<curves::CurveProblem>(&result)) throw std::runtime_error(problem->reason);
    return std::get<curves::Drawn>(result).path;
}

/// The stretch of a path from x = low to x = high.
Path between(const Path& path, double low, double high) {
    const geometry::PathIndex index(path);
    const auto running = geometry::running_length_mm(path);
    const auto at_x = [&](double x) {
        const Path upright = geometry::polyline(std::vector<Point>{{x, -1000.0}, {x, 1000.0}});
        const auto met = geometry::crossings(index, geometry::PathIndex(upright));
        if (met.empty()) throw std::runtime_error("the path does not reach so far");
        const auto& s = met.front().on_a;
        return running[s.segment] + s.u * (running[s.segment + 1] - running[s.segment]);
    };
    return geometry::part(path, at_x(low), at_x(high));
}

shelf::Shelf one_pair(double B_mm, double b_mm, std::optional<double> measured_b_mm = {}) {
    shelf::Shelf shelf;
    shelf.guides.push_back({"G", {B_mm, {}}, 9.0, B_mm - 3.0});
    shelf.cutters.push_back({"C", {b_mm, measured_b_mm}, 50.0, 8.0, {}, {}, 2, {}});
    return shelf;
}
constexpr seam::Depths depths{.top_mm = 18.0, .sheet_mm = 12.0, .below_mm = 1.0};

seam::Chain same_pair_chain(const shelf::Shelf& shelf) {
    auto chain = seam::chain_of_id(shelf, depths, "left:far(G/C)-G/C-G/C");
    if (!chain) throw std::runtime_error("the pair cannot be used");
    return *chain;
}

/// The body of a template or piece between an edge and a straight back.
Path body(const Path& edge, double back_y) {
    Path outline = edge;
    const Point a = edge.end();
    const Point b = edge.start();
    outline.segments.push_back(geometry::line(a, {a.x, back_y}));
    outline.segments.push_back(geometry::line({a.x, back_y}, {b.x, back_y}));
    outline.segments.push_back(geometry::line({b.x, back_y}, b));
    outline.closed = true;
    return outline;
}

// ---- the section of both cuts ----

void draw_cut(Picture& pic, const Frame& f, const shelf::Shelf& shelf, const seam::Step& step) {
    const seam::Pair& pair = *step.pair;
    const double into_piece = step.template_on_left ? -1.0 : 1.0;
    const double back = into_piece * 46.0;
    const double middle = step.rides_at_mm - into_piece * 0.5 * pair.B_mm;
    const double top = depths.top_mm;
    const double sheet_top = top + depths.sheet_mm;
    const double base_top = sheet_top + 5.0;
    const auto bar = [&](double n0, double n1, double y0, double y1, const Stroke& stroke, const Fill& fill) {
        pic.path(f.at(geometry::rectangle({std::min(n0, n1), y0}, {std::max(n0, n1), y1})), stroke, fill);
    };
    bar(back, step.edge_at_mm, 0.0, top, solid(0.5), wood);
    bar(step.edge_at_mm, -into_piece * 6.0, 0.0, top, dashed(0.25, {1.5, 1.0}), {});
    bar(back, step.rides_at_mm, top, sheet_top, solid(0.5), sheet);
    bar(back + into_piece * 2.0, -into_piece * 36.0, sheet_top, base_top, solid(0.25), plain("#e4e4e4"));
    const double barrel = shelf.guides[pair.rider].barrel_length_mm;
    const double wall = 0.5 * (pair.B_mm - shelf.guides[pair.rider].bore_or_default_mm());
    for (const double side : {-1.0, 1.0}) {
        const double outer = middle + side * 0.5 * pair.B_mm;
        bar(outer, outer - side * wall, sheet_top - barrel, base_top, solid(0.25), plain("#404040"));
    }
    bar(middle - 0.5 * pair.b_mm, middle + 0.5 * pair.b_mm, -depths.below_mm, base_top + 6.0, solid(0.35),
        plain("#ffffff"));
    pic.line(f.at(Point{middle, -4.0}), f.at(Point{middle, base_top + 9.0}), dash_dot());
    pic.line(f.at(Point{0.0, -6.0}), f.at(Point{0.0, top + 6.0}), solid(0.35));
    const bool left = step.template_on_left;
    pic.text_on_white(f.at(Point{into_piece * 27.0, 8.0}), left ? "left piece" : "right piece", Anchor::middle);
    pic.text_on_white(f.at(Point{into_piece * 29.0, top + 4.5}), left ? "left template" : "right template",
                      Anchor::middle);
    pic.text(f.at(Point{-into_piece * 28.0, sheet_top + 1.4}), "router", Anchor::middle);
    pic.text(f.at(Point{-into_piece * 6.8, -6.0}), "seam, n = 0", left ? Anchor::left : Anchor::right);
    pic.line(f.at(Point{-into_piece * 6.4, -5.2}), f.at(Point{0.0, -5.2}), solid(0.15));
    const double o_at = top + 6.0;
    pic.measure(f.at(Point{std::min(step.rides_at_mm, step.edge_at_mm), o_at - 4.0}),
                f.at(Point{std::max(step.rides_at_mm, step.edge_at_mm), o_at - 4.0}), "o");
    const double B_at = base_top + 12.0;
    for (const double side : {-0.5, 0.5}) {
        pic.line(f.at(Point{middle + side * pair.B_mm, base_top}), f.at(Point{middle + side * pair.B_mm, B_at + 1.0}),
                 solid(0.12));
    }
    pic.measure(f.at(Point{middle - 0.5 * pair.B_mm, B_at}), f.at(Point{middle + 0.5 * pair.B_mm, B_at}), "guide B");
    pic.text(f.at(Point{-into_piece * 12.0, 5.0}), "cutter b", left ? Anchor::left : Anchor::right);
    const double axis = -12.0;
    pic.line(f.at(Point{-46.0, axis}), f.at(Point{46.0, axis}), solid(0.18));
    for (int n = -40; n <= 40; n += 10) {
        pic.line(f.at(Point{1.0 * n, axis}), f.at(Point{1.0 * n, axis - 1.0}), solid(0.18));
        pic.text(f.at(Point{1.0 * n, axis - 4.0}), fmt::format("{}", n), Anchor::middle);
    }
    pic.text(f.at(Point{48.0, axis - 0.8}), "n");
}

Picture section() {
    const shelf::Shelf shelf = one_pair(30.0, 10.0);
    const seam::Chain chain = same_pair_chain(shelf);
    Picture pic("Section: cutting the left and the right piece");
    for (const seam::Step& step : chain.steps) {
        if (step.kind == seam::Step::Kind::cut_left) draw_cut(pic, {{0.0, 0.0}, 1.7, 1.7}, shelf, step);
        if (step.kind == seam::Step::Kind::cut_right) draw_cut(pic, {{0.0, -125.0}, 1.7, 1.7}, shelf, step);
    }
    return pic;
}

// ---- copying ----

Picture copying() {
    const seam::Chain chain = same_pair_chain(one_pair(30.0, 10.0));
    const seam::Pair pair = chain.steps.at(1).pair.value();
    const Path whole = drawn(curves::Wave{{-60.0, 0.0}, {270.0, 0.0}, {{16.0, 230.0, 0.79}}});
    const Parallel centre = geometry::parallel(whole, Side::right, 0.5 * pair.B_mm);
    const auto shown = [](const Path& p) { return between(p, 0.0, 190.0); };
    const Path edge = shown(whole);
    const Path middles = shown(geometry::main_path(centre.paths));
    const Path near = shown(geometry::main_path(geometry::edge_behind(centre, pair.offset_mm())));
    const Path far = shown(geometry::main_path(geometry::parallel(whole, Side::right, pair.far_mm()).paths));

    Picture pic("Copying a template: near and far edge of the groove");
    const Frame f{{0.0, 0.0}, 0.75, 0.75};
    pic.path(f.at(body(near, 44.0)), solid(0.5), hatch(4.0, 0.5 * geometry::pi));
    pic.path(f.at(body(edge, 44.0)), solid(0.5), sheet);
    pic.path(f.at(body(far, -72.0)), solid(0.5), wood);
    pic.path(f.at(middles), dash_dot());
    const auto running = geometry::running_length_mm(edge);
    const auto placed = [&](double part) { return geometry::station_at(edge, running, part * running.back()); };
    const auto across = [&](double part, double by_mm) {
        const auto s = placed(part);
        return f.at(geometry::point_at(edge, s) + by_mm * geometry::right_of(geometry::tangent_at(edge, s)));
    };
    const Point middle = across(0.47, 0.5 * pair.B_mm);
    pic.path(geometry::circle(middle, 0.5 * 0.75 * pair.B_mm), solid(0.35));
    pic.path(geometry::circle(middle, 0.5 * 0.75 * pair.b_mm), solid(0.35), plain("#9a9a9a"));
    pic.dot(across(0.47, 0.0));
    pic.text_on_white(f.at(Point{7.0, 36.0}), "the template the guide runs along");
    pic.text_on_white(f.at(Point{7.0, -66.0}), "far copy: what stays beyond the groove, other hand");
    pic.call_out(f.at(Point{82.0, -46.0}), middle - Point{-4.0, 8.0}, "guide B");
    pic.call_out(f.at(Point{38.0, -46.0}), middle - Point{2.0, 1.5}, "cutter b");
    pic.measure(across(0.12, 0.0), across(0.12, pair.offset_mm()), "o");
    pic.measure(across(0.2, 0.0), across(0.2, pair.far_mm()), "f");
    const double words_x = 200.0;
    const auto leader = [&](double words_y, Point what, const std::string& words) {
        const Point at = f.at(Point{words_x, words_y});
        pic.line(at + Point{-1.0, 1.2}, what, solid(0.15));
        pic.text(at, words);
    };
    leader(edge.end().y + 6.0, f.at(edge.end()), "edge of the template");
    leader(near.end().y + 3.5, f.at(near.end()), "near edge, that of a near copy (same hand)");
    leader(middles.end().y - 1.5, f.at(middles.end()), "way of the cutter's middle");
    leader(far.end().y - 5.5, f.at(far.end()), "far edge, that of a far copy");
    return pic;
}

// ---- a hollow too tight, and a bumpy edge ----

/// Places where the disc rests on two places of the source at once.
std::vector<Point> resting_places(const Parallel& rolled) {
    std::vector<Point> places;
    for (const auto& way : geometry::edge_behind(rolled, 0.0)) {
        for (const auto& t : way.segments) {
            if (t.from == geometry::TracedSegment::From::crossing) places.push_back(t.segment.centre);
        }
    }
    return places;
}

void draw_all(Picture& pic, const Frame& f, const std::vector<geometry::TracedPath>& paths, const Stroke& stroke) {
    for (const auto& p : paths) pic.path(f.at(p.path()), stroke);
}

Picture hollow() {
    constexpr double guide_mm = 15.0;
    Path edge;
    Point at{-62.0, 0.0};
    double heading = 0.0;
    const auto straight = [&](double length_mm) {
        edge.segments.push_back(geometry::line(at, at + length_mm * geometry::unit(heading)));
        at = edge.end();
    };
    const auto bend = [&](double radius_mm, double turn_rad) {
        const Point centre =
            at + (turn_rad > 0.0 ? radius_mm : -radius_mm) * geometry::left_of(geometry::unit(heading));
        edge.segments.push_back(geometry::arc_about(centre, at, turn_rad));
        at = edge.end();
        heading += turn_rad;
    };
    straight(22.0);
    bend(24.0, -52.0 * degree);
    straight(14.0);
    bend(7.0, 104.0 * degree);
    straight(14.0);
    bend(24.0, -52.0 * degree);
    straight(22.0);
    const Parallel rolled = geometry::parallel(edge, Side::left, guide_mm);
    const auto missed = geometry::unreached(edge, rolled);
    const auto running = geometry::running_length_mm(edge);

    Picture pic("A hollow the guide does not reach");
    const Frame f{{0.0, 0.0}, 1.25, 1.25};
    pic.path(f.at(body(edge, -48.0)), solid(0.35), sheet);
    for (const auto& s : edge.segments) {
        Path alone;
        alone.segments.push_back(s);
        if (s.is_arc() && s.sweep_rad > 0.0 && s.radius_mm < guide_mm) continue;
        draw_all(pic, f, geometry::parallel(alone, Side::left, guide_mm).paths, dashed(0.25, {0.5, 1.2}));
    }
    draw_all(pic, f, rolled.paths, solid(0.6));
    const Point centre = resting_places(rolled).at(0);
    pic.path(f.at(geometry::circle(centre, guide_mm)), solid(0.35));
    pic.dot(f.at(centre));
    const auto place = [&](const geometry::Station& s) {
        return running[s.segment] + s.u * (running[s.segment + 1] - running[s.segment]);
    };
    for (const auto& u : missed) {
        pic.path(f.at(geometry::part(edge, place(u.from), place(u.to))), solid(1.4));
        pic.dot(f.at(geometry::point_at(edge, u.from)), 1.2);
        pic.dot(f.at(geometry::point_at(edge, u.to)), 1.2);
        const Point under = centre + (guide_mm / geometry::distance(u.deepest, centre)) * (u.deepest - centre);
        pic.line(f.at(under), f.at(u.deepest), solid(0.3));
        pic.call_out(f.at(Point{16.0, -42.0}), f.at(geometry::midpoint(under, u.deepest)),
                     fmt::format("missed by {:.1f} mm", u.depth_mm));
        pic.call_out(f.at(Point{-56.0, -42.0}),
                     f.at(geometry::point_at(
                         edge, geometry::station_at(edge, running, 0.7 * place(u.from) + 0.3 * place(u.to)))),
                     "never touched");
    }
    pic.text_on_white(f.at(Point{-58.0, -8.0}), "template");
    pic.call_out(f.at(Point{34.0, 21.0}), f.at(centre + guide_mm * geometry::unit(0.3 * geometry::pi)), "guide");
    pic.call_out(f.at(Point{-62.0, 30.0}), f.at(geometry::point_at(rolled.paths.at(0).segments.at(0).segment, 0.6)),
                 "way of the guide's middle");
    Path flank;
    flank.segments.push_back(edge.segments.at(4));
    const Path front = geometry::main_path(geometry::parallel(flank, Side::left, guide_mm).paths);
    pic.call_out(f.at(Point{10.0, 30.0}), f.at(geometry::point_at(front.segments[0], 0.12)),
                 "dotted: fronts that lie too near, cut off at the crossing");
    return pic;
}

Picture closing() {
    constexpr double guide_mm = 12.0;
    constexpr double cutter_mm = 4.0;
    // Bumps of several lengths: a bad edge, the same on every run.
    std::vector<Point> points;
    for (int i = -25; i <= 160; ++i) {
        const double x = i;
        points.push_back({x, 3.2 * std::sin(x / 10.3) + 1.6 * std::sin(x / 3.1 + 1.0) + 0.6 * std::sin(x * 1.9)});
    }
    const Path edge = geometry::polyline(points);
    const Parallel rolled = geometry::parallel(edge, Side::left, guide_mm);

    const auto shown = [](const std::vector<geometry::TracedPath>& paths) {
        return between(geometry::main_path(paths), 0.0, 120.0);
    };
    const Path middles = shown(rolled.paths);
    const Path felt = shown(geometry::edge_behind(rolled, 0.0));
    const Path left = shown(geometry::edge_behind(rolled, guide_mm - cutter_mm));

    Picture pic("What a guide feels and what its cutter leaves");
    const Frame f{{0.0, 0.0}, 1.15, 1.15};
    pic.path(f.at(body(between(edge, 0.0, 120.0), -14.0)), solid(0.2), sheet);
    Point last{6.0, 0.0};
    for (const Point& p : resting_places(rolled)) {
        if (p.x < last.x + 14.0 || p.x > 110.0) continue;
        last = p;
        pic.path(f.at(geometry::circle(p, guide_mm)), solid(0.2, 0.45));
        pic.path(f.at(geometry::circle(p, cutter_mm)), solid(0.2, 0.45));
    }
    pic.path(f.at(middles), dash_dot());
    pic.path(f.at(felt), solid(0.7));
    pic.path(f.at(left), solid(0.5));
    const Point beside{3.0, -1.1};
    pic.text(f.at(middles.end()) + beside, "way of the guide's middle");
    pic.text(f.at(left.end()) + beside, "edge the cutter leaves");
    pic.text(f.at(felt.end()) + beside, "edge the guide feels (thick)");
    pic.text(f.at(Point{120.0, -10.0}) + beside, "template as made (thin)");
    return pic;
}

// ---- batten ----

Picture batten() {
    const std::vector<Point> pins{{0.0, 60.0},   {170.0, 128.0}, {420.0, 96.0},
                                  {640.0, 22.0}, {860.0, 40.0},  {1100.0, 150.0}};
    constexpr double within_mm = 0.05;
    const auto spline = curves::euler_spline(pins, false);
    if (!spline) throw std::runtime_error("no curve through these pins");
    const geometry::SmoothCurve curve = spline->curve();
    const geometry::ArcFit fit = geometry::fit_arcs(curve, within_mm);
    const geometry::PathIndex arcs(fit.path);

    Picture pic("A curve through pins, its curvature, and its arcs");
    const Frame f{{0.0, 112.0}, 0.15, 0.15};
    pic.path(f.at(fit.path), solid(0.5));
    for (const auto& s : fit.path.segments) {
        const Point across = 9.0 * geometry::left_of(geometry::tangent_at(s, 0.0));
        pic.line(f.at(s.start - across), f.at(s.start + across), solid(0.2));
    }
    for (const Point& p : pins) pic.path(geometry::circle(f.at(p), 1.3), solid(0.35), plain("#ffffff"));
    pic.text({-10.0, 139.0}, "pins (circles), the curve, and where its arcs meet (ticks)");

    constexpr int samples = 1200;
    std::vector<Point> meant, off;
    for (int i = 0; i <= samples; ++i) {
        const double t = curve.t_begin + (curve.t_end - curve.t_begin) * i / samples;
        const Point p = curve.point(t);
        const auto near = arcs.nearest(p);
        const double side = geometry::dot(near.point - p, geometry::left_of(geometry::unit(curve.heading_rad(t))));
        meant.push_back({t, 1000.0 * curve.curvature(t)});
        off.push_back({t, side < 0.0 ? -near.distance_mm : near.distance_mm});
    }
    const Graph bends{{0.0, 58.0}, {165.0, 98.0}, curve.t_begin, curve.t_end, -4.0, 4.0};
    bends.axes(pic, 200.0, "", 2.0, "{:.0f}", "curvature in 1/m: of the curve (thick), of its arcs (steps)");
    std::vector<Point> steps;
    double from_mm = 0.0;
    for (const auto& s : fit.path.segments) {
        const double to_mm = from_mm + geometry::length_mm(s);
        steps.push_back({from_mm, 1000.0 * geometry::curvature(s)});
        steps.push_back({std::min(to_mm, curve.t_end), 1000.0 * geometry::curvature(s)});
        from_mm = to_mm;
    }
    bends.curve(pic, steps, solid(0.2));
    bends.curve(pic, meant, solid(0.6));
    const Graph misses{{0.0, 0.0}, {165.0, 40.0}, curve.t_begin, curve.t_end, -0.06, 0.06};
    misses.axes(pic, 200.0, "{:.0f}", 0.02, "{:.2f}",
                "distance of the arcs from the curve in mm; dashed: ±|κ'| L³/324, where κ' is constant");
    for (std::size_t i = 0; i + 1 < fit.at.size(); ++i) {
        const double length = fit.at[i + 1] - fit.at[i];
        pic.line(misses.at(fit.at[i], misses.y0), misses.at(fit.at[i], misses.y1), solid(0.1, 0.75));
        // At a pin κ' changes, and the formula does not speak of spans that hold one.
        bool holds_pin = false;
        double pin_mm = 0.0;
        for (const curves::Clothoid& span : spline->spans) {
            pin_mm += span.length_mm;
            holds_pin = holds_pin || (pin_mm > fit.at[i] && pin_mm < fit.at[i + 1]);
        }
        if (holds_pin) continue;
        const auto just_inside = [&](double part) { return curve.curvature(fit.at[i] + part * length); };
        const double rise = (just_inside(0.999) - just_inside(0.001)) / 0.998;
        const double formula = std::abs(rise) * length * length / 324.0;
        for (const double side : {-1.0, 1.0}) {
            misses.curve(pic, {{fit.at[i], side * formula}, {fit.at[i + 1], side * formula}}, dashed(0.25, {1.2, 0.8}));
        }
    }
    misses.curve(pic, off, solid(0.5));
    pic.text({165.0, -9.5}, "length along the curve in mm", Anchor::right);
    return pic;
}

// ---- a mismatch brought together ----

struct Sample {
    double at_mm, heading_rad;
    Point point;
};

/// Signed distances from places of the left edge to the right edge moved by `by`.
std::vector<double> gaps(const std::vector<Sample>& samples, const Path& right, Point by) {
    const Path moved = geometry::moved(right, by);
    const geometry::PathIndex index(moved);
    std::vector<double> all;
    for (const Sample& s : samples) {
        const auto near = index.nearest(s.point);
        const double side = geometry::dot(near.point - s.point, geometry::right_of(geometry::unit(s.heading_rad)));
        all.push_back(side < 0.0 ? -near.distance_mm : near.distance_mm);
    }
    return all;
}

/// The gaps once the pieces, moved apart in direction `apart`, just touch.
std::vector<double> touching(const std::vector<Sample>& samples, const Path& right, Point apart) {
    double low = 0.0, high = 3.0;
    for (int i = 0; i < 50; ++i) {
        const double d = 0.5 * (low + high);
        const auto g = gaps(samples, right, d * apart);
        (*std::min_element(g.begin(), g.end()) < 0.0 ? low : high) = d;
    }
    return gaps(samples, right, high * apart);
}

Picture mismatch() {
    const shelf::Shelf shelf = one_pair(30.0, 10.0, 9.8);
    const seam::Chain chain = same_pair_chain(shelf);
    const Path seam_path = drawn(curves::Wave{{0.0, 0.0}, {630.0, 0.0}, {{60.0, 420.0, 0.0}}});
    const seam::Simulation sim = seam::simulate(seam_path, chain, shelf, {depths, 60.0});
    const auto lengths = geometry::running_length_mm(sim.left_edge);
    std::vector<Sample> samples;
    // Nearer to the ends the other edge may end first.
    for (double at = 2.0; at < lengths.back() - 2.0; at += 2.0) {
        const auto s = geometry::station_at(sim.left_edge, lengths, at);
        samples.push_back(
            {at, geometry::heading(geometry::tangent_at(sim.left_edge, s)), geometry::point_at(sim.left_edge, s)});
    }
    const auto apart = [](double turn_rad) { return geometry::unit(turn_rad - 0.5 * geometry::pi); };
    // Section 3: stand apart until the steepest stretch touches.
    const double m = std::abs(chain.mismatch_mm);
    const auto formula = [&](double turn_rad, double heading_rad) {
        double least = 1.0;
        for (const Sample& s : samples) least = std::min(least, std::cos(s.heading_rad - turn_rad));
        return m * (std::cos(heading_rad - turn_rad) / least - 1.0);
    };

    Picture pic("A mismatch does not close on a curve");
    const Graph along{{0.0, 62.0}, {165.0, 112.0}, 0.0, lengths.back(), 0.0, 0.5};
    const Frame f{{0.0, 146.0}, 165.0 / 630.0, 165.0 / 630.0};
    pic.path(f.at(seam_path), solid(0.6));
    pic.text(f.at(Point{150.0, 84.0}), "left piece", Anchor::middle);
    pic.text(f.at(Point{150.0, -40.0}), "right piece");
    const Point foot = f.at(Point{300.0, -34.0});
    constexpr double turned = 20.0 * degree;
    pic.arrow(foot, foot + 14.0 * apart(0.0));
    pic.arrow(foot, foot + 14.0 * apart(turned));
    pic.text(foot + 14.0 * apart(0.0) + Point{-2.0, 0.0}, "0°", Anchor::right);
    pic.text(foot + 14.0 * apart(turned) + Point{2.0, 0.0}, "20°: right piece drawn off until nothing overlaps");

    along.axes(pic, 100.0, "{:.0f}", 0.1, "{:.1f}",
               fmt::format("gap in mm once they touch; overlap as cut {:.2f} mm; thick: 0°, dashed: 20°", m));
    for (const double turn : {0.0, turned}) {
        const auto g = touching(samples, sim.right_edge, apart(turn));
        std::vector<Point> values;
        for (std::size_t i = 0; i < g.size(); ++i) values.push_back({samples[i].at_mm, g[i]});
        along.curve(pic, values, turn == 0.0 ? solid(0.6) : dashed(0.35, {2.0, 1.0}));
    }
    pic.text({165.0, 52.5}, "length along the seam in mm", Anchor::right);

    const Graph by_turn{{0.0, 0.0}, {165.0, 40.0}, -30.0, 30.0, 0.0, 0.8};
    by_turn.axes(pic, 10.0, "{:.0f}°", 0.2, "{:.1f}",
                 "widest gap in mm against that direction; line: cut edges moved, crosses: the formula");
    std::vector<Point> widest;
    for (int turn = -30; turn <= 30; turn += 1) {
        const auto g = touching(samples, sim.right_edge, apart(turn * degree));
        widest.push_back({1.0 * turn, *std::max_element(g.begin(), g.end())});
        if (turn % 5 != 0) continue;
        double most = 0.0;
        for (const Sample& s : samples) most = std::max(most, formula(turn * degree, s.heading_rad));
        const Point p = by_turn.at(turn, most);
        pic.line(p - Point{1.2, 1.2}, p + Point{1.2, 1.2}, solid(0.25));
        pic.line(p - Point{1.2, -1.2}, p + Point{1.2, -1.2}, solid(0.25));
    }
    by_turn.curve(pic, widest, solid(0.5));
    return pic;
}

}  // namespace

int main(int count, char** words) try {
    if (count != 2) {
        fmt::print(stderr, "draw_method FOLDER\n");
        return 2;
    }
    const std::filesystem::path folder = words[1];
    save(folder / "section.svg", section());
    save(folder / "copying.svg", copying());
    save(folder / "hollow.svg", hollow());
    save(folder / "closing.svg", closing());
    save(folder / "batten.svg", batten());
    save(folder / "mismatch.svg", mismatch());
    return 0;
} catch (const std::exception& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return 1;
}
