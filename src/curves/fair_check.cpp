#include "fair_fit.h"
#include "shapes.h"

namespace seamwright::curves {

std::optional<FairProblem> refused_fit(std::span<const Point> trace, std::span<const double> weights,
                                       const FairSettings& settings) {
    const auto refuse = [](std::string reason, std::string remedy, std::optional<Point> at = {}) {
        return FairProblem{std::move(reason), std::move(remedy), at, 0.0, {}, std::nullopt};
    };
    if (trace.size() < 3) {
        return refuse("The trace has " + std::to_string(trace.size()) + " points.",
                      "Give at least three, in order along the edge.");
    }
    if (!weights.empty() && weights.size() != trace.size())
        return refuse("The weights are not one for each point.", "Give one for each point, or none.");
    geometry::Box box;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        if (!usable(trace[i])) {
            return refuse("Point " + std::to_string(i + 1) + " of the trace is not a usable number.",
                          "Give plain numbers of no more than a kilometre.");
        }
        box.add(trace[i]);
    }
    double sum = weights.empty() ? 1.0 : 0.0;
    for (const double w : weights) {
        if (!(w >= 0.0) || !std::isfinite(w))
            return refuse("A weight is negative or not a number.", "Give weights of nothing or more.");
        sum += w;
    }
    if (!(sum > 0.0)) return refuse("All weights are nothing.", "Give some point a weight.");
    if (!(std::fmax(box.width_mm(), box.height_mm()) > 0.0))
        return refuse("All points of the trace are at one place.", "Trace along the edge.", trace.front());
    if (!(settings.wave_mm > 0.0) || !usable(settings.wave_mm))
        return refuse("The wave is " + plain(settings.wave_mm) + " mm.", "Give a length above nothing.");
    for (const auto& radius : {settings.least_radius_left_mm, settings.least_radius_right_mm}) {
        if (radius && (!(*radius >= least_radius_mm) || !std::isfinite(*radius))) {
            return refuse("The tightest radius allowed is " + plain(*radius) + " mm.",
                          "Give a radius of at least " + plain(least_radius_mm) + " mm.");
        }
    }
    if (settings.step_mm && (!(*settings.step_mm > 0.0) || !usable(*settings.step_mm)))
        return refuse("The step is " + plain(*settings.step_mm) + " mm.", "Give a length above nothing.");
    if (!(settings.band_left_mm >= 0.0) || !(settings.band_right_mm >= 0.0))
        return refuse("The band is less than nothing.", "Give how far the curve may lie to each side.");
    for (std::size_t i = 0; i < settings.pins.size(); ++i) {
        const FairPin& pin = settings.pins[i];
        if (!usable(pin.at) || !(pin.tolerance_mm >= 0.0)) {
            return refuse("The place or tolerance of pin " + std::to_string(i + 1) + " is not a usable number.",
                          "Give plain numbers; the tolerance is nothing or more.");
        }
    }
    for (const FairEnd* end : {&settings.start, &settings.end}) {
        if (end->heading_rad && !std::isfinite(*end->heading_rad))
            return refuse("The direction at an end is not a usable number.", "Give an angle.");
        if (end->curvature && !std::isfinite(*end->curvature))
            return refuse("The curvature at an end is not a usable number.", "Give one over the radius.");
    }
    return std::nullopt;
}

}  // namespace seamwright::curves
