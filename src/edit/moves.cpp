#include "moves.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

using Measure = Sizing::Measure;

Grip grip_of(Bench& bench, std::string_view id) {
    const auto steps = steps_of(id.substr(0, id.find('#')));
    if (steps && !steps->empty()) {
        const View view{bench.tree(), bench.document(), nullptr, bench.outline(), bench.ruler()};
        const auto index = steps->size() > 1 && steps->front() == "seams" ? index_of((*steps)[1]) : std::nullopt;
        auto grips = index ? seam_grips(view, *index) : outline_grips(view);
        for (Grip& grip : grips) {
            if (grip.handle.id == id) return std::move(grip);
        }
    }
    refuse(std::string(id.substr(0, id.find('#'))), "a handle that the drawing no longer has",
           "a handle of the drawing as it is now", "load the page anew; the job may have been changed elsewhere");
}

std::string moved_words(const Bench& bench, const Steps& steps, const Handle& handle) {
    const std::string owner = owner_words(bench.tree(), steps);
    std::string name = handle.name;
    // "Pin 3 of 5" counts for the eye; in the history the pin is enough.
    if (handle.kind == Handle::Kind::pin) name = name.substr(0, name.find(" of "));
    if (steps.front() == "top" && handle.name.find(" edge") != std::string::npos)
        return fmt::format("{} of the {} edge moved", name, steps[3]);
    return fmt::format("{} of {} moved", name, owner);
}

/// The farthest place from `was` towards `wanted` that is allowed, after the pointer's own has been found not to be.
std::optional<Point> as_near_as_allowed(Point was, Point wanted, const std::function<bool(Point)>& allowed) {
    if (!allowed(was)) return std::nullopt;
    constexpr int halvings = 10;
    double good = 0.0, bad = 1.0;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (good + bad);
        (allowed(was + middle * (wanted - was)) ? good : bad) = middle;
    }
    return was + good * (wanted - was);
}

void put_place(Bench& bench, const Grip& grip, const Placing& placing, Point wanted, const Aim& aim) {
    const Ruler ruler = bench.ruler();
    const geometry::Box& room = placing.room;
    wanted = {std::clamp(wanted.x, room.low.x, room.high.x), std::clamp(wanted.y, room.low.y, room.high.y)};
    const auto on_marks = [&](Point p, const Aim& how) {
        const Point written = p - placing.shift;
        return Point{ruler.aimed(written.x, how), ruler.aimed(written.y, how)};
    };
    Point target = on_marks(wanted, aim);
    if (placing.allowed && !placing.allowed(target + placing.shift)) {
        const auto near = as_near_as_allowed(grip.handle.at, target + placing.shift, placing.allowed);
        if (near) target = on_marks(*near, {aim.mm_per_px, true});
    }
    put(bench.change(), placing.point, ruler.written(target));
}

void put_size(Bench& bench, const Sizing& size, double value) {
    if (std::abs(value) < size.smallest) value = std::copysign(size.smallest, value);
    value = std::clamp(value, size.least, size.most);
    if (size.measure == Measure::part && value >= 1.0) value = 0.0;
    size.write(bench.change(), bench.ruler(), value);
}

constexpr std::array<double, 4> degree_marks{0.5, 1.0, 5.0, 15.0};
constexpr std::array<double, 4> part_marks{0.01, 0.05, 0.1, 0.25};

/// Decimal marks come out as the decimal they are.
double decimal(double value) {
    return std::round(value * 1000.0) / 1000.0 + 0.0;
}

double aimed_size(const Ruler& ruler, const Sizing& size, double value, const Aim& aim) {
    const double at_least = steady_px * aim.mm_per_px * size.gain;
    if (size.measure == Measure::length) return ruler.aimed(value, {aim.mm_per_px * size.gain, aim.free});
    if (aim.free) return decimal(value);
    const double mark =
        size.measure == Measure::angle ? mark_of(degree_marks, at_least) : mark_of(part_marks, at_least);
    return decimal(to_multiple(value, mark));
}

double stride_of(const Ruler& ruler, Measure measure, Stride stride) {
    if (measure == Measure::length) return ruler.stride_mm(stride);
    if (measure == Measure::angle) return stride == Stride::fine ? 0.5 : stride == Stride::rule ? 1.0 : 15.0;
    return stride == Stride::fine ? 0.01 : stride == Stride::rule ? 0.05 : 0.25;
}

const curves::Curve& curve_of(Bench& bench, std::size_t seam) {
    return bench.document().job.seams[seam].curve;
}

[[noreturn]] void refuse_edge(const Grip& grip) {
    refuse(grip.handle.id, "a top whose outline cannot be drawn", "an edge for the seam's end to slide along",
           "put the outline right first");
}

void put_end(Bench& bench, const Grip& grip, const Ending& ending, const geometry::PathIndex& edge,
             const EdgePlace& place) {
    const curves::Curve curve = curve_of(bench, ending.seam);
    auto end = slid_end(curve, ending.start, edge, place);
    if (!end) {
        // No such course from here: straight out from the place is where a seam can start anew.
        const Point out = place.at + past_edge_mm * place.outward;
        if (drawn(with_end(curve, ending.start, out))) end = out;
    }
    if (!end) {
        refuse(grip.handle.id, "a place from where this seam cannot be drawn",
               "an end that leaves the seam a fair curve", "move the end less far, or move the pins beside it first");
    }
    const Ruler ruler = bench.ruler();
    put(bench.change(), end_steps(bench.tree(), ending.curve, ending.start), ruler.written(*end));
}

std::string size_words(Bench& bench, const Steps& steps, const Handle& handle) {
    // The handle as it is now tells its value.
    const Grip now = grip_of(bench, handle.id);
    const std::string owner = owner_words(bench.tree(), steps);
    const bool complete = handle.name.find(" of the ") != std::string::npos;
    if (complete) return fmt::format("{}: {}", handle.name, now.handle.value);
    return fmt::format("{} of {}: {}", handle.name, owner, now.handle.value);
}

Steps steps_of_id(std::string_view id) {
    return *steps_of(id.substr(0, id.find('#')));
}

}  // namespace

std::string move_handle(Bench& bench, std::string_view id, Point to, const Aim& aim) {
    const Grip grip = grip_of(bench, id);
    const Steps steps = steps_of_id(id);
    if (const auto* placing = std::get_if<Placing>(&grip.how)) {
        put_place(bench, grip, *placing, to, aim);
        return moved_words(bench, steps, grip.handle);
    }
    if (const auto* ending = std::get_if<Ending>(&grip.how)) {
        if (bench.field().empty()) refuse_edge(grip);
        const geometry::PathIndex edge(bench.field());
        put_end(bench, grip, *ending, edge, place_on_mark(edge, to, bench.ruler(), aim));
        return moved_words(bench, steps, grip.handle);
    }
    const auto& size = std::get<Sizing>(grip.how);
    put_size(bench, size, aimed_size(bench.ruler(), size, size.at(to), aim));
    return size_words(bench, steps, grip.handle);
}

std::string nudge_handle(Bench& bench, std::string_view id, Point by, Stride stride) {
    const Grip grip = grip_of(bench, id);
    const Steps steps = steps_of_id(id);
    const Ruler ruler = bench.ruler();
    const double step_mm = ruler.stride_mm(stride);
    if (const auto* placing = std::get_if<Placing>(&grip.how)) {
        put_place(bench, grip, *placing, grip.handle.at + step_mm * by, {1.0, true});
        return moved_words(bench, steps, grip.handle);
    }
    if (const auto* ending = std::get_if<Ending>(&grip.how)) {
        if (bench.field().empty()) refuse_edge(grip);
        const geometry::PathIndex edge(bench.field());
        const auto line = drawn(curve_of(bench, ending->seam));
        const auto met = line ? crossing_at(line->path, edge, ending->start) : std::nullopt;
        const EdgePlace was = nearest_place(edge, met.value_or(grip.handle.at));
        // Up and right are onwards, whichever way the edge runs.
        const bool upright = std::abs(was.along.y) >= std::abs(was.along.x);
        const double sign = (upright ? was.along.y : was.along.x) >= 0.0 ? 1.0 : -1.0;
        put_end(bench, grip, *ending, edge, nearest_place(edge, was.at + sign * (by.x + by.y) * step_mm * was.along));
        return moved_words(bench, steps, grip.handle);
    }
    const auto& size = std::get<Sizing>(grip.how);
    const auto sign = [](double component) {
        constexpr double hardly = 0.3;  // of the handle's way: an arrow across it means "more"
        return component < -hardly ? -1.0 : 1.0;
    };
    const double amount = by.x * sign(size.grows.x) + by.y * sign(size.grows.y);
    double value = size.value + amount * stride_of(ruler, size.measure, stride);
    if (size.measure == Measure::part) value = decimal(value - std::floor(value));
    if (size.measure == Measure::angle) value = decimal(value);
    put_size(bench, size, value);
    return size_words(bench, steps, grip.handle);
}

}  // namespace seamwright::edit
