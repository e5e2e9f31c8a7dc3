// Making a drawn edge routable: a fair fit with a band and bounds on the curvature, and an account of what moved.
//
// The drawn edge is sampled at a quarter of the fair curve's step. Between samples it may stray out of the band; how
// far is measured on samples four times as dense, and the band is narrowed by that much for one more fit. Where the
// band has no room to be narrowed, some micrometres of straying stay.

#include "curves/routable.h"

#include <algorithm>
#include <cmath>

#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr double waves_per_radius = 4.0;
constexpr double steps_per_radius = 12.0;
constexpr double steps_per_wave = 40.0;
constexpr double least_steps = 120.0;
/// The band counts as kept when it is missed by no more than this part of it.
constexpr double band_slack = 1e-4;
/// What the smallest band that works is widened by, so that a fair curve has some room in it.
constexpr double room = 0.02;
/// The band holds at so many places to the step.
constexpr double samples_per_step = 4.0;
/// Dense samples per step.
constexpr double dense = 16.0;

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
    double most_mm = 0.0;
};

Compared compare(const Drawn& drawn, const FairCurve& fair, double step_mm, double shown_mm) {
    const double whole = geometry::length_mm(drawn.path);
    const std::vector<Point> points = trace_of(drawn.path, step_mm / dense);
    const std::vector<TraceOffset> offsets = offsets_from(fair, points);
    const double pitch = whole / static_cast<double>(points.size() - 1);
    Compared out;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double move = -offsets[i].off_mm;
        const double at = pitch * static_cast<double>(i);
        out.most_mm = std::fmax(out.most_mm, std::abs(move));
        if (std::abs(move) > std::abs(out.largest.largest_mm)) out.largest = {at, at, move, at, points[i]};
        if (std::abs(move) < shown_mm) continue;
        const bool joins = !out.stretches.empty() && out.stretches.back().to_mm >= at - 1.5 * pitch &&
                           (out.stretches.back().largest_mm > 0.0) == (move > 0.0);
        if (!joins) out.stretches.push_back({at, at, move, at, points[i]});
        MovedStretch& stretch = out.stretches.back();
        stretch.to_mm = at;
        if (std::abs(move) > std::abs(stretch.largest_mm)) {
            stretch.largest_mm = move;
            stretch.at_mm = at;
            stretch.at = points[i];
        }
    }
    for (const MovedStretch& stretch : out.stretches) {
        if (stretch.at_mm == out.largest.at_mm) out.largest = stretch;
    }
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
    if (drawn.path.closed) {
        return refused("This edge is closed.", "Cut it open where it is straightest, and make each part routable.");
    }
    const double whole = geometry::length_mm(drawn.path);
    double smaller = HUGE_VAL;
    double larger = 0.0;
    for (const auto& radius : {settings.least_radius_left_mm, settings.least_radius_right_mm}) {
        if (!radius) continue;
        smaller = std::fmin(smaller, *radius);
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
    const double step =
        std::fmin(std::fmin(fit.wave_mm / steps_per_wave, smaller / steps_per_radius), whole / least_steps);
    fit.step_mm = step;
    const std::vector<Point> trace = trace_of(drawn.path, step / samples_per_step);
    auto fitted = fit_fair(trace, fit);
    if (auto* problem = std::get_if<FairProblem>(&fitted)) {
        if (problem->widen_mm > 0.0) {
            FairSettings wide = fit;
            const double by = problem->widen_mm * (1.0 + room);
            wide.band_left_mm += by;
            wide.band_right_mm += by;
            for (FairPin& pin : wide.pins) pin.tolerance_mm += by;
            auto nearest = fit_fair(trace, wide);
            if (auto* fair = std::get_if<FairCurve>(&nearest)) problem->nearest = std::move(*fair);
        }
        return std::move(*problem);
    }
    FairCurve fair = std::get<FairCurve>(std::move(fitted));
    Compared compared = compare(drawn, fair, step, settings.shown_mm);
    const double excess = compared.most_mm - settings.band_mm;
    if (excess > band_slack * settings.band_mm && excess < 0.5 * settings.band_mm) {
        fit.band_left_mm = fit.band_right_mm = settings.band_mm - excess * (1.0 + room);
        auto again = fit_fair(trace, fit);
        // Where the narrowed band leaves no room, the samples' own band was kept; that is what was asked for.
        if (auto* better = std::get_if<FairCurve>(&again)) {
            fair = std::move(*better);
            compared = compare(drawn, fair, step, settings.shown_mm);
        }
    }
    auto laid = fair.drawn();
    if (auto* problem = std::get_if<CurveProblem>(&laid)) return refused(problem->reason, problem->remedy);
    Routable out;
    out.drawn = std::get<Drawn>(std::move(laid));
    out.fair = std::move(fair);
    out.largest = compared.largest;
    out.stretches = std::move(compared.stretches);
    return out;
}

}  // namespace seamwright::curves
