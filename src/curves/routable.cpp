// Making a drawn edge routable: a fair fit with a band and bounds on the curvature, and an account of what moved.
//
// The band asked of the fit is a little narrower than that asked of the edge, so that arcs and what lies between the
// places looked at stay within it.

#include "curves/routable.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "fair_closed.h"
#include "fair_fit.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr double waves_per_radius = 4.0;
/// Arcs lie within this of the curve, mm.
constexpr double within_mm = 0.002;

bool complies(const std::optional<Drawn::Tightest>& tightest, const std::optional<double>& radius_mm) {
    // A radius exactly at the limit is allowed, rounding included.
    constexpr double rounding = 1e-9;
    return !radius_mm || !tightest || tightest->radius_mm >= *radius_mm * (1.0 - rounding);
}

FairProblem refused(std::string reason, std::string remedy) {
    return {std::move(reason), std::move(remedy), std::nullopt, 0.0, {}, std::nullopt};
}

bool passes_pins(const Drawn& drawn, const RoutableSettings& settings) {
    constexpr double rounding_mm = 1e-6;
    for (const FairPin& pin : settings.pins) {
        double near = HUGE_VAL;
        for (const auto& s : drawn.path.segments) near = std::fmin(near, geometry::nearest(s, pin.at).distance_mm);
        if (near > pin.tolerance_mm + rounding_mm) return false;
    }
    return true;
}

struct Compared {
    std::vector<MovedStretch> stretches;
    MovedStretch largest;
};

/// What moved, from the offsets of places along the drawn edge.
Compared compare(const DrawnEdge& edge, const std::vector<double>& at_mm, const std::vector<TraceOffset>& offsets,
                 double shown_mm) {
    Compared out;
    bool open = false;
    for (std::size_t i = 0; i < at_mm.size(); ++i) {
        const double move = -offsets[i].off_mm;
        const double at = at_mm[i];
        if (std::abs(move) > std::abs(out.largest.largest_mm)) out.largest = {at, at, move, at, edge.point(at)};
        const bool joins = open && (out.stretches.back().largest_mm > 0.0) == (move > 0.0);
        open = std::abs(move) >= shown_mm;
        if (!open) continue;
        if (!joins) out.stretches.push_back({at, at, move, at, edge.point(at)});
        MovedStretch& stretch = out.stretches.back();
        stretch.to_mm = at;
        if (std::abs(move) > std::abs(stretch.largest_mm)) {
            stretch.largest_mm = move;
            stretch.at_mm = at;
            stretch.at = edge.point(at);
        }
    }
    for (const MovedStretch& stretch : out.stretches) {
        if (stretch.at_mm == out.largest.at_mm) out.largest = stretch;
    }
    return out;
}

/// Stretches, by length, of the arcs that turn tighter than allowed.
std::vector<std::pair<double, double>> too_tight(const Path& path, const RoutableSettings& settings) {
    // The span's own limit is met to rounding; an arc of it is turned by its ends' positions.
    constexpr double rounding = 1.0 + 1e-7;
    std::vector<std::pair<double, double>> out;
    double at = 0.0;
    for (const geometry::Segment& s : path.segments) {
        const double k = geometry::curvature(s);
        const double length = geometry::length_mm(s);
        const auto& radius = k > 0.0 ? settings.least_radius_left_mm : settings.least_radius_right_mm;
        if (radius && std::abs(k) * *radius > rounding) out.emplace_back(at, at + length);
        at += length;
    }
    return out;
}

/// As lines and arcs none of which turns tighter than allowed. A pair of arcs that stands for a curve whose curvature
/// falls late turns a little tighter than the curve does; there arcs are made to end where the curve's spans do, within
/// which curvature is straight.
std::variant<Drawn, CurveProblem> drawn_within_radii(const FairCurve& fair, const RoutableSettings& settings) {
    geometry::SmoothCurve curve = fair.curve();
    std::vector<double> nodes;
    double at = 0.0;
    for (const Clothoid& span : fair.spans) nodes.push_back(at += span.length_mm);
    if (!nodes.empty()) nodes.pop_back();
    std::vector<bool> chosen(nodes.size(), false);
    constexpr int most_passes = 6;
    for (int pass = 0;; ++pass) {
        auto drawn = draw_smooth(curve, within_mm);
        if (std::holds_alternative<CurveProblem>(drawn) || pass == most_passes) return drawn;
        const auto tight = too_tight(std::get<Drawn>(drawn).path, settings);
        bool more = false;
        for (const auto& [from, to] : tight) {
            // The arc's partner belongs to it, and lengths of path and curve differ in the last digits.
            const double reach = to - from;
            for (std::size_t i = 0; i < nodes.size(); ++i) {
                if (nodes[i] < from - reach || nodes[i] > to + reach || chosen[i]) continue;
                chosen[i] = more = true;
            }
        }
        if (!more) return drawn;
        curve.breaks.clear();
        for (std::size_t i = 0; i < nodes.size(); ++i)
            if (chosen[i]) curve.breaks.push_back(nodes[i]);
    }
}

FittedEdge fit_edge(const Path& edge, const FairSettings& settings) {
    if (edge.closed) return fit_closed(edge, settings);
    FairFit fitting(edge, settings);
    FittedEdge out;
    out.fit = fitting.run();
    out.at_mm = fitting.sampled_at_mm();
    return out;
}

}  // namespace

std::variant<Routable, FairProblem> make_routable(const Drawn& drawn, const RoutableSettings& settings) {
    if (drawn.path.empty()) return refused("There is no edge.", "Draw one first.");
    if (!(settings.band_mm > 0.0) || !std::isfinite(settings.band_mm))
        return refused("The band is " + plain(settings.band_mm) + " mm.",
                       "Give how far the edge may move, above nothing.");
    if (!(settings.shown_mm > 0.0)) return refused("The least move shown is not above nothing.", "Give a length.");
    if (complies(drawn.tightest_left, settings.least_radius_left_mm) &&
        complies(drawn.tightest_right, settings.least_radius_right_mm) && passes_pins(drawn, settings) &&
        geometry::largest_corner_rad(drawn.path) < 1e-6) {
        Routable out;
        out.unchanged = true;
        out.drawn = drawn;
        return out;
    }
    const double whole = geometry::length_mm(drawn.path);
    double larger = 0.0;
    for (const auto& radius : {settings.least_radius_left_mm, settings.least_radius_right_mm}) {
        if (!radius) continue;
        larger = std::fmax(larger, *radius);
    }
    FairSettings fit;
    fit.wave_mm = settings.wave_mm.value_or(std::fmin(larger > 0.0 ? waves_per_radius * larger : whole, 0.5 * whole));
    fit.least_radius_left_mm = settings.least_radius_left_mm;
    fit.least_radius_right_mm = settings.least_radius_right_mm;
    fit.band_left_mm = fit.band_right_mm = settings.band_mm;
    fit.pins = settings.pins;
    fit.start.held = fit.end.held = settings.hold_ends;
    fit.averaged = false;
    // The arcs stray from the curve, and curve and edge from each other between the places looked at.
    const double spare = std::fmin(within_mm + 2.0 * most_sag_mm, 0.05 * settings.band_mm);
    fit.band_left_mm = fit.band_right_mm = settings.band_mm - spare;
    FittedEdge fitted = fit_edge(drawn.path, fit);
    if (auto* problem = std::get_if<FairProblem>(&fitted.fit)) return std::move(*problem);
    auto& fair = std::get<FairCurve>(fitted.fit);
    auto laid = drawn_within_radii(fair, settings);
    if (auto* problem = std::get_if<CurveProblem>(&laid)) return refused(problem->reason, problem->remedy);
    Routable out;
    out.drawn = std::get<Drawn>(std::move(laid));
    const DrawnEdge edge(drawn.path, 0.0);
    Compared compared = compare(edge, fitted.at_mm, fair.offsets, settings.shown_mm);
    out.fair = std::move(fair);
    out.largest = compared.largest;
    out.stretches = std::move(compared.stretches);
    return out;
}

}  // namespace seamwright::curves
