// High and low spots.
//
// Readings are laid out on the unrolled edge, position against height, and the fair curve under that nearly straight
// trace is found like any other. Its offsets are measured straight across, since the slope of a deviation is slight.
//
// Sanding only: the same fit with a band that ends at the edge itself on the proud side (no wood is added) and at the
// range of the heights on the other (no more is removed than a plain shift would remove, so there always is an answer).

#include "curves/high_spots.h"

#include <algorithm>
#include <cmath>

#include "curves/profile_filter.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

FairProblem refused(std::string reason, std::string remedy) {
    return {std::move(reason), std::move(remedy), std::nullopt, 0.0, {}, std::nullopt};
}

std::optional<FairProblem> check(const MapSettings& settings) {
    if (!(settings.fair_mm > 0.0) || !usable(settings.fair_mm))
        return refused("What counts as fair is " + plain(settings.fair_mm) + " mm.", "Give a height above nothing.");
    if (!(settings.roughness_wave_mm >= 0.0) || !usable(settings.roughness_wave_mm) ||
        settings.roughness_wave_mm > settings.wave_mm) {
        return refused("The wave below which all is roughness is " + plain(settings.roughness_wave_mm) + " mm.",
                       "Give a length between nothing and the wave of the form.");
    }
    if (settings.clamp_pressure_mpa.has_value() != settings.contact_modulus_mpa.has_value() ||
        (settings.clamp_pressure_mpa &&
         (!(*settings.clamp_pressure_mpa > 0.0) || !(*settings.contact_modulus_mpa > 0.0)))) {
        return refused("Pressure and modulus of the clamps' contact do not go together.",
                       "Give both above nothing, or neither.");
    }
    return std::nullopt;
}

void judge(Spot& spot, const MapSettings& settings) {
    const double size = std::abs(spot.height_mm);
    spot.felt = size >= felt_by_hand_mm(spot.length_mm());
    if (settings.clamp_pressure_mpa) {
        // A single hump of this length is one wave of 1 − cos, whose peak is twice its amplitude.
        spot.clamps_close = 0.5 * size <= closed_by_clamps_mm(spot.length_mm(), *settings.clamp_pressure_mpa,
                                                              *settings.contact_modulus_mpa);
    }
}

/// Stretches on which |height| is above the threshold throughout; ends where the line between two places crosses it.
std::vector<Spot> spots_of(const std::vector<HeightAt>& heights, const MapSettings& settings) {
    std::vector<Spot> out;
    const double t = settings.fair_mm;
    const auto side = [t](double h) { return h > t ? 1 : (h < -t ? -1 : 0); };
    int now = 0;
    for (std::size_t i = 0; i < heights.size(); ++i) {
        const HeightAt& here = heights[i];
        const int next = side(here.height_mm);
        const auto crossing = [&](int sign) {
            const HeightAt& before = heights[i - 1];
            const double rise = here.height_mm - before.height_mm;
            const double part = (sign * t - before.height_mm) / rise;
            return before.at_mm + std::clamp(part, 0.0, 1.0) * (here.at_mm - before.at_mm);
        };
        if (next != now) {
            if (now != 0) out.back().to_mm = crossing(now);
            if (next != 0) {
                Spot spot;
                spot.from_mm = i == 0 ? here.at_mm : crossing(next);
                spot.at_mm = here.at_mm;
                out.push_back(spot);
            }
        }
        now = next;
        if (now == 0) continue;
        Spot& spot = out.back();
        spot.to_mm = here.at_mm;
        if (std::abs(here.height_mm) > std::abs(spot.height_mm)) {
            spot.height_mm = here.height_mm;
            spot.at_mm = here.at_mm;
        }
    }
    // Areas by the trapezium rule, from the places themselves and the ends at the threshold.
    std::size_t i = 0;
    for (Spot& spot : out) {
        const double end_height = spot.height_mm > 0.0 ? t : -t;
        while (i < heights.size() && heights[i].at_mm < spot.from_mm) ++i;
        double at = spot.from_mm;
        double h = i < heights.size() && heights[i].at_mm == spot.from_mm ? heights[i].height_mm : end_height;
        for (; i < heights.size() && heights[i].at_mm <= spot.to_mm; ++i) {
            spot.area_mm2 += 0.5 * (heights[i].at_mm - at) * std::abs(h + heights[i].height_mm);
            at = heights[i].at_mm;
            h = heights[i].height_mm;
        }
        spot.area_mm2 += 0.5 * (spot.to_mm - at) * std::abs(h + end_height);
    }
    const double from = heights.front().at_mm + 0.5 * settings.wave_mm;
    const double to = heights.back().at_mm - 0.5 * settings.wave_mm;
    for (Spot& spot : out) {
        spot.uncertain = spot.at_mm < from || spot.at_mm > to;
        judge(spot, settings);
    }
    return out;
}

HighLow map_of(std::vector<HeightAt> heights, const MapSettings& settings) {
    std::stable_sort(heights.begin(), heights.end(),
                     [](const HeightAt& a, const HeightAt& b) { return a.at_mm < b.at_mm; });
    HighLow out;
    if (settings.roughness_wave_mm > 0.0) {
        std::vector<double> at;
        std::vector<double> raw;
        for (const HeightAt& h : heights) {
            at.push_back(h.at_mm);
            raw.push_back(h.raw_mm);
        }
        const std::vector<double> line = gaussian_line(at, raw, settings.roughness_wave_mm);
        for (std::size_t i = 0; i < heights.size(); ++i) heights[i].height_mm = line[i];
    }
    double squares = 0.0;
    for (std::size_t i = 0; i < heights.size(); ++i) {
        const double h = heights[i].height_mm;
        out.highest_mm = std::fmax(out.highest_mm, h);
        out.lowest_mm = std::fmin(out.lowest_mm, h);
        if (i == 0) continue;
        const double before = heights[i - 1].height_mm;
        squares += 0.5 * (heights[i].at_mm - heights[i - 1].at_mm) * (h * h + before * before);
    }
    const double whole = heights.back().at_mm - heights.front().at_mm;
    out.rms_mm = whole > 0.0 ? std::sqrt(squares / whole) : 0.0;
    out.uncertain_mm = 0.5 * settings.wave_mm;
    out.spots = spots_of(heights, settings);
    out.heights = std::move(heights);
    return out;
}

SandOnly removal_of(std::vector<HeightAt> depths, const MapSettings& settings) {
    std::stable_sort(depths.begin(), depths.end(),
                     [](const HeightAt& a, const HeightAt& b) { return a.at_mm < b.at_mm; });
    SandOnly out;
    for (std::size_t i = 0; i < depths.size(); ++i) {
        // The band is met to a millionth of a step; a depth of less than nothing is that rounding.
        depths[i].height_mm = std::fmax(0.0, depths[i].height_mm);
        out.removal.push_back({depths[i].at_mm, depths[i].height_mm});
        out.deepest_mm = std::fmax(out.deepest_mm, depths[i].height_mm);
        if (i > 0) {
            out.area_mm2 +=
                0.5 * (depths[i].at_mm - depths[i - 1].at_mm) * (depths[i].height_mm + depths[i - 1].height_mm);
        }
    }
    out.spots = spots_of(depths, settings);
    return out;
}

std::optional<FairProblem> check(std::span<const Reading> readings) {
    if (readings.size() < 3)
        return refused("There are " + std::to_string(readings.size()) + " readings.", "Take at least three.");
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (!usable(readings[i].at_mm) || !usable(readings[i].height_mm)) {
            return refused("Reading " + std::to_string(i + 1) + " is not a usable number.",
                           "Give plain numbers of no more than a kilometre.");
        }
        if (i > 0 && !(readings[i].at_mm > readings[i - 1].at_mm)) {
            return refused("Reading " + std::to_string(i + 1) + " does not lie beyond the one before it.",
                           "Give the readings in order along the edge, one for each place.");
        }
    }
    return std::nullopt;
}

/// Position to the right, proud upwards: the wood lies to the right of the unrolled edge.
std::vector<Point> unrolled(std::span<const Reading> readings) {
    std::vector<Point> out;
    out.reserve(readings.size());
    for (const Reading& r : readings) out.push_back({r.at_mm - readings.front().at_mm, r.height_mm});
    return out;
}

double sign_of(WoodSide wood) {
    return wood == WoodSide::right ? 1.0 : -1.0;
}

}  // namespace

std::variant<HighLow, FairProblem> high_low(std::span<const Point> trace, const MapSettings& settings) {
    if (auto problem = check(settings)) return *problem;
    FairSettings fit;
    fit.wave_mm = settings.wave_mm;
    fit.robust = settings.robust;
    auto fitted = fit_fair(trace, fit);
    if (auto* problem = std::get_if<FairProblem>(&fitted)) return std::move(*problem);
    std::vector<HeightAt> heights;
    for (const TraceOffset& o : std::get<FairCurve>(fitted).offsets) {
        const double h = sign_of(settings.wood) * o.off_mm;
        heights.push_back({o.at_mm, h, h});
    }
    return map_of(std::move(heights), settings);
}

std::variant<HighLow, FairProblem> high_low(std::span<const Reading> readings, const MapSettings& settings) {
    if (auto problem = check(settings)) return *problem;
    if (auto problem = check(readings)) return *problem;
    FairSettings fit;
    fit.wave_mm = settings.wave_mm;
    fit.robust = settings.robust;
    auto fitted = fit_fair(unrolled(readings), fit);
    if (auto* problem = std::get_if<FairProblem>(&fitted)) return std::move(*problem);
    std::vector<HeightAt> heights;
    const auto& offsets = std::get<FairCurve>(fitted).offsets;
    for (std::size_t i = 0; i < readings.size(); ++i)
        heights.push_back({readings[i].at_mm, offsets[i].off_mm, offsets[i].off_mm});
    return map_of(std::move(heights), settings);
}

std::variant<SandOnly, FairProblem> sand_only(std::span<const Point> trace, const MapSettings& settings) {
    if (auto problem = check(settings)) return *problem;
    FairSettings fit;
    fit.wave_mm = settings.wave_mm;
    auto free = fit_fair(trace, fit);
    if (auto* problem = std::get_if<FairProblem>(&free)) return std::move(*problem);
    double low = HUGE_VAL;
    double high = -HUGE_VAL;
    for (const TraceOffset& o : std::get<FairCurve>(free).offsets) {
        low = std::fmin(low, o.off_mm);
        high = std::fmax(high, o.off_mm);
    }
    const bool right = settings.wood == WoodSide::right;
    fit.band_left_mm = right ? 0.0 : high - low;
    fit.band_right_mm = right ? high - low : 0.0;
    auto fitted = fit_fair(trace, fit);
    if (auto* problem = std::get_if<FairProblem>(&fitted)) return std::move(*problem);
    std::vector<HeightAt> depths;
    for (const TraceOffset& o : std::get<FairCurve>(fitted).offsets) {
        const double depth = sign_of(settings.wood) * o.off_mm;
        depths.push_back({o.at_mm, depth, depth});
    }
    return removal_of(std::move(depths), settings);
}

std::variant<SandOnly, FairProblem> sand_only(std::span<const Reading> readings, const MapSettings& settings) {
    if (auto problem = check(settings)) return *problem;
    if (auto problem = check(readings)) return *problem;
    const auto [low, high] = std::minmax_element(
        readings.begin(), readings.end(), [](const Reading& a, const Reading& b) { return a.height_mm < b.height_mm; });
    FairSettings fit;
    fit.wave_mm = settings.wave_mm;
    fit.averaged = false;
    fit.band_left_mm = 0.0;
    fit.band_right_mm = high->height_mm - low->height_mm;
    auto fitted = fit_fair(unrolled(readings), fit);
    if (auto* problem = std::get_if<FairProblem>(&fitted)) return std::move(*problem);
    std::vector<HeightAt> depths;
    const auto& offsets = std::get<FairCurve>(fitted).offsets;
    for (std::size_t i = 0; i < readings.size(); ++i)
        depths.push_back({readings[i].at_mm, offsets[i].off_mm, offsets[i].off_mm});
    return removal_of(std::move(depths), settings);
}

}  // namespace seamwright::curves
