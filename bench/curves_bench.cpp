// Fair curves under an invented 2.4 m edge, traced with 0.05 mm of scatter: time, and how far the answer lies from the
// edge that was meant (root mean square, 75 mm clear of the ends).

#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include "curves/fair.h"
#include "curves/high_spots.h"
#include "curves/routable.h"
#include "register.h"

namespace seamwright::bench {

namespace {

using curves::Point;

constexpr double length_mm = 2400.0;

double edge_y(double x) {
    return 40.0 * std::sin(2.0 * geometry::pi * x / 1200.0) + 10.0 * std::sin(2.0 * geometry::pi * x / 700.0 + 1.0);
}
double edge_slope(double x) {
    constexpr double a = 2.0 * geometry::pi / 1200.0;
    constexpr double b = 2.0 * geometry::pi / 700.0;
    return 40.0 * a * std::cos(a * x) + 10.0 * b * std::cos(b * x + 1.0);
}

std::vector<Point> traced(double step_mm) {
    std::uint64_t state = 0x9E3779B97F4A7C15ULL;
    const auto uniform = [&state] {
        state ^= state << 13U;
        state ^= state >> 7U;
        state ^= state << 17U;
        return (static_cast<double>(state >> 11U) + 0.5) * 0x1p-53;
    };
    std::vector<Point> out;
    for (int i = 0; i * step_mm <= length_mm; ++i) {
        const double normal = std::sqrt(-2.0 * std::log(uniform())) * std::cos(2.0 * geometry::pi * uniform());
        out.push_back({i * step_mm, edge_y(i * step_mm) + 0.05 * normal});
    }
    return out;
}

void fit(benchmark::State& state, double step_mm, const curves::FairSettings& settings) {
    const std::vector<Point> trace = traced(step_mm);
    curves::FairCurve curve;
    for (auto _ : state) {
        auto result = curves::fit_fair(trace, settings);
        if (std::holds_alternative<curves::FairProblem>(result)) {
            state.SkipWithError("no fair curve");
            return;
        }
        curve = std::get<curves::FairCurve>(std::move(result));
    }
    double sum = 0.0;
    double count = 0.0;
    for (const curves::Clothoid& span : curve.spans) {
        const Point p = span.start;
        if (p.x < 75.0 || p.x > length_mm - 75.0) continue;
        const double off = (p.y - edge_y(p.x)) / std::hypot(1.0, edge_slope(p.x));
        sum += off * off;
        count += 1.0;
    }
    state.counters["points"] = static_cast<double>(trace.size());
    state.counters["spans"] = static_cast<double>(curve.spans.size());
    state.counters["rounds"] = curve.rounds;
    state.counters["steps"] = curve.steps;
    state.counters["truth_rms_um"] = 1e3 * std::sqrt(sum / count);
}

void routable(benchmark::State& state) {
    const auto drawn = std::get<curves::Drawn>(
        curves::draw(curves::Wave{{0, 0}, {length_mm, 0}, {{45.0, 900.0, 0.0}, {5.0, 500.0, 0.2}}}));
    curves::RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = 450.0;
    settings.band_mm = 6.0;
    double moved = 0.0;
    for (auto _ : state) {
        const auto result = curves::make_routable(drawn, settings);
        if (const auto* problem = std::get_if<curves::FairProblem>(&result)) {
            state.SkipWithError(problem->reason.c_str());
            return;
        }
        moved = std::get<curves::Routable>(result).largest.largest_mm;
    }
    state.counters["moved_mm"] = moved;
}

void map(benchmark::State& state) {
    const std::vector<Point> trace = traced(0.5);
    curves::MapSettings settings;
    settings.roughness_wave_mm = 8.0;
    for (auto _ : state) benchmark::DoNotOptimize(curves::high_low(trace, settings));
}

}  // namespace

void register_all() {
    curves::FairSettings plain;
    curves::FairSettings band = plain;
    band.band_left_mm = band.band_right_mm = 0.3;
    curves::FairSettings radius = plain;
    radius.band_left_mm = radius.band_right_mm = 5.0;
    radius.least_radius_left_mm = radius.least_radius_right_mm = 750.0;
    for (const double step : {3.0, 0.5}) {
        const std::string points = std::to_string(static_cast<int>(length_mm / step) + 1) + " points";
        for (const auto& [name, settings] :
             {std::pair{"smooth", plain}, std::pair{"band", band}, std::pair{"band and radius", radius}}) {
            benchmark::RegisterBenchmark(("fair/" + std::string(name) + "/" + points).c_str(),
                                         [step, s = settings](benchmark::State& state) { fit(state, step, s); })
                ->Unit(benchmark::kMillisecond);
        }
    }
    benchmark::RegisterBenchmark("routable", routable)->Unit(benchmark::kMillisecond);
    benchmark::RegisterBenchmark("high and low/4801 points", map)->Unit(benchmark::kMillisecond);
}

}  // namespace seamwright::bench
