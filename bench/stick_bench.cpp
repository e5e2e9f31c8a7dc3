// Fair curves through pins while one of them is dragged: the real stick and the Euler-spiral spline.

#include <benchmark/benchmark.h>

#include <cmath>
#include <numbers>
#include <string>
#include <variant>
#include <vector>

#include "curves/clothoid.h"
#include "curves/stick.h"
#include "register.h"

namespace seamwright::bench {

namespace {

using curves::Point;

/// Pins along an edge 2.4 m long, unevenly spaced, off a wave by a little: as a maker sets them. Invented.
std::vector<Point> pins_on_an_edge(std::size_t count) {
    std::vector<Point> pins;
    for (std::size_t i = 0; i < count; ++i) {
        const auto n = static_cast<double>(i);
        const double x = 2400.0 * (n + 0.3 * std::sin(2.3 * n)) / static_cast<double>(count - 1);
        pins.push_back({x, 40.0 * std::sin(2.0 * std::numbers::pi * x / 900.0) + 3.0 * std::sin(5.1 * n)});
    }
    return pins;
}

/// The pins after so many moves of the mouse: one in the middle goes around a small circle, 2 mm at a time.
std::vector<Point> dragged(const std::vector<Point>& pins, int move) {
    std::vector<Point> out = pins;
    const double angle = 0.1 * move;
    Point& pin = out[out.size() / 2];
    pin = pin + Point{20.0 * std::cos(angle), 20.0 * std::sin(angle)};
    return out;
}

void drag_stick(benchmark::State& state, std::size_t count, bool warm, bool draw) {
    const auto pins = pins_on_an_edge(count);
    auto last = curves::stick(pins, false);
    int move = 0;
    int steps = 0;
    for (auto _ : state) {
        const auto now = dragged(pins, move++);
        auto next = curves::stick(now, false, {}, {}, warm ? std::get_if<curves::Stick>(&last) : nullptr);
        const auto* stick = std::get_if<curves::Stick>(&next);
        if (stick == nullptr) {
            state.SkipWithError("the stick escapes");
            return;
        }
        steps += stick->steps;
        if (draw) benchmark::DoNotOptimize(geometry::fit_arcs(stick->curve(), 0.002));
        last = std::move(next);
    }
    state.counters["steps"] = benchmark::Counter(steps, benchmark::Counter::kAvgIterations);
}

void drag_spline(benchmark::State& state, std::size_t count, bool draw) {
    const auto pins = pins_on_an_edge(count);
    int move = 0;
    int steps = 0;
    for (auto _ : state) {
        const auto spline = curves::euler_spline(dragged(pins, move++), false);
        if (!spline) {
            state.SkipWithError("no spline");
            return;
        }
        steps += spline->steps;
        if (draw) benchmark::DoNotOptimize(geometry::fit_arcs(spline->curve(), 0.002));
    }
    state.counters["steps"] = benchmark::Counter(steps, benchmark::Counter::kAvgIterations);
}

template <typename Work>
void add(const std::string& name, const Work& work) {
    benchmark::RegisterBenchmark(name.c_str(), work)->Unit(benchmark::kMillisecond);
}

}  // namespace

void register_all() {
    for (const std::size_t count : {std::size_t{5}, std::size_t{20}, std::size_t{60}}) {
        // GCC 12 sees a false overlap in " " + std::to_string(count).
        const std::string pins = std::string(" ").append(std::to_string(count)).append(" pins");
        add("stick" + pins, [count](benchmark::State& s) { drag_stick(s, count, true, false); });
        add("stick" + pins + ", from nothing", [count](benchmark::State& s) { drag_stick(s, count, false, false); });
        add("stick" + pins + ", with its arcs", [count](benchmark::State& s) { drag_stick(s, count, true, true); });
        add("spline" + pins, [count](benchmark::State& s) { drag_spline(s, count, false); });
        add("spline" + pins + ", with its arcs", [count](benchmark::State& s) { drag_spline(s, count, true); });
    }
}

}  // namespace seamwright::bench
