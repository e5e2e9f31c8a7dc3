// Curvature is straight between nodes, so its extremes are nodes and its zeros are exact.

#include "curves/fairness.h"

#include <algorithm>
#include <cmath>

namespace seamwright::curves {

namespace {

/// Extremes that alternate, each at least `threshold` away from the one before and after.
std::vector<std::size_t> extremes(const std::vector<CurvatureSample>& samples, double threshold) {
    std::vector<std::size_t> found;
    std::size_t highest = 0;
    std::size_t lowest = 0;
    int looking_for = 0;  // 1: a maximum to be confirmed, −1: a minimum
    for (std::size_t i = 1; i < samples.size(); ++i) {
        const double k = samples[i].curvature;
        if (k > samples[highest].curvature) highest = i;
        if (k < samples[lowest].curvature) lowest = i;
        if (looking_for >= 0 && samples[highest].curvature - k >= threshold) {
            if (highest != 0) found.push_back(highest);
            looking_for = -1;
            lowest = i;
        } else if (looking_for <= 0 && k - samples[lowest].curvature >= threshold) {
            if (lowest != 0) found.push_back(lowest);
            looking_for = 1;
            highest = i;
        }
    }
    return found;
}

void find_inflections(const std::vector<CurvatureSample>& samples, double least_turn_rad, Fairness& out) {
    // Stretches of one sign with the turn each makes; those that turn too little are passed over.
    struct Lobe {
        double from_mm;
        double to_mm;
        double turn;
    };
    std::vector<Lobe> lobes;
    const auto add = [&](double from, double to, double turn) {
        if (turn == 0.0) return;
        if (!lobes.empty() && (lobes.back().turn > 0.0) == (turn > 0.0)) {
            lobes.back().to_mm = to;
            lobes.back().turn += turn;
        } else {
            lobes.push_back({from, to, turn});
        }
    };
    for (std::size_t i = 0; i + 1 < samples.size(); ++i) {
        const auto& a = samples[i];
        const auto& b = samples[i + 1];
        if ((a.curvature > 0.0 && b.curvature < 0.0) || (a.curvature < 0.0 && b.curvature > 0.0)) {
            const double zero = a.at_mm + (b.at_mm - a.at_mm) * a.curvature / (a.curvature - b.curvature);
            add(a.at_mm, zero, 0.5 * (zero - a.at_mm) * a.curvature);
            add(zero, b.at_mm, 0.5 * (b.at_mm - zero) * b.curvature);
        } else {
            add(a.at_mm, b.at_mm, 0.5 * (b.at_mm - a.at_mm) * (a.curvature + b.curvature));
        }
    }
    const Lobe* last = nullptr;
    for (const Lobe& lobe : lobes) {
        if (std::abs(lobe.turn) < least_turn_rad) continue;
        if (last != nullptr && (last->turn > 0.0) != (lobe.turn > 0.0))
            out.inflections_mm.push_back(0.5 * (last->to_mm + lobe.from_mm));
        last = &lobe;
    }
}

template <typename PlaceOf>
std::vector<Bump> bumps_in(const std::vector<CurvatureSample>& samples, double threshold, const PlaceOf& place_of) {
    std::vector<Bump> bumps;
    const std::vector<std::size_t> found = extremes(samples, threshold);
    for (std::size_t i = 0; i < found.size(); ++i) {
        const std::size_t before = i > 0 ? found[i - 1] : 0;
        const std::size_t after = i + 1 < found.size() ? found[i + 1] : samples.size() - 1;
        const CurvatureSample& here = samples[found[i]];
        Bump bump;
        bump.at_mm = here.at_mm;
        bump.at = place_of(found[i]);
        bump.curvature = here.curvature;
        const double up = here.curvature - samples[before].curvature;
        const double down = here.curvature - samples[after].curvature;
        bump.high = up + down > 0.0;
        bump.stands_out = std::fmin(std::abs(up), std::abs(down));
        bumps.push_back(bump);
    }
    return bumps;
}

}  // namespace

std::vector<Bump> bumps_of(const Drawn& drawn, double threshold) {
    std::vector<CurvatureSample> samples;
    for (const CurvatureAt& c : drawn.curvature) samples.push_back({c.at_mm, c.curvature, 0.0});
    if (samples.size() < 3) return {};
    const auto running = geometry::running_length_mm(drawn.path);
    return bumps_in(samples, threshold, [&](std::size_t i) {
        return geometry::point_at(drawn.path, geometry::station_at(drawn.path, running, samples[i].at_mm));
    });
}

Fairness fairness_of(const FairCurve& curve, double threshold, double least_turn_rad) {
    Fairness out;
    double at = 0.0;
    double squares = 0.0;
    for (const Clothoid& span : curve.spans) {
        const double slope = (span.curvature1 - span.curvature0) / span.length_mm;
        out.curvature.push_back({at, span.curvature0, slope});
        out.steepest = std::fmax(out.steepest, std::abs(slope));
        squares += slope * slope * span.length_mm;
        at += span.length_mm;
    }
    out.curvature.push_back({at, curve.spans.back().curvature1, out.curvature.back().slope});
    out.steepest_by_length = out.steepest * at * at;
    out.rms_slope = std::sqrt(squares / at);
    out.bumps = bumps_in(out.curvature, threshold, [&](std::size_t i) {
        return i < curve.spans.size() ? curve.spans[i].start : curve.spans.back().point(curve.spans.back().length_mm);
    });
    find_inflections(out.curvature, least_turn_rad, out);
    return out;
}

}  // namespace seamwright::curves
