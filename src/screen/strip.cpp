#include "strip.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "geometry/path_index.h"
#include "tracks.h"
#include "unrolled.h"

namespace seamwright::screen {
namespace {

using units::show;

/// Large and small marks of a rule, in mm.
struct Rule {
    double large_mm = 0.0;
    int small_in_large = 1;
};

Rule rule_for(double length_mm, units::Unit unit) {
    constexpr double most_large = 20.0;
    if (unit == units::Unit::inch) {
        // Whole inches in quarters, then feet and yards in the steps a rule shows.
        constexpr std::array<std::pair<double, int>, 7> inches{
            {{1.0, 4}, {2.0, 4}, {3.0, 3}, {6.0, 6}, {12.0, 4}, {36.0, 3}, {120.0, 10}}};
        for (const auto& [large, small] : inches) {
            if (length_mm <= most_large * large * units::mm_per_inch) return {large * units::mm_per_inch, small};
        }
        return {10.0 * 120.0 * units::mm_per_inch, 10};
    }
    for (double decade = 1.0;; decade *= 10.0) {
        for (const double step : {1.0, 2.0, 5.0}) {
            if (length_mm <= most_large * step * decade) return {step * decade, step == 2.0 ? 4 : 5};
        }
    }
}

void write_ticks(job::JsonWriter& json, double length_mm, units::LengthStyle style) {
    const Rule rule = rule_for(length_mm, style.unit);
    style.decimals = 0;
    style.feet = false;
    const double small_mm = rule.large_mm / rule.small_in_large;
    json.begin_list("ticks");
    const double count = std::floor(length_mm / small_mm);
    for (double i = 0.0; i <= count; i += 1.0) {
        const bool large = std::fmod(i, rule.small_in_large) == 0.0;
        json.begin_group();
        json.number("at", i * small_mm);
        json.text("says", large ? show(i * small_mm, style) : std::string());
        json.flag("large", large);
        json.end_group();
    }
    json.end_list();
}

void write_mark(job::JsonWriter& json, Stretch where, std::string_view kind, const std::string& says) {
    json.begin_group();
    json.number("at", where.from_mm);
    json.number("to", where.to_mm);
    json.text("kind", kind);
    json.text("says", says);
    json.end_group();
}

void write_marks(job::JsonWriter& json, const edit::OpenJob& job, std::size_t index, const Unrolled& unrolled) {
    const auto& style = job.plan().style;
    const seam::Simulation& simulation = unrolled.seam().simulation;
    const auto along = [&](double at_mm) { return show(at_mm, style) + " from the start"; };
    json.begin_list("marks");
    for (const double at : unrolled.turns_mm()) write_mark(json, {at, at}, "turn", "turns the other way, " + along(at));
    for (const auto& problem : simulation.problems) {
        const auto stretch = unrolled.tight(problem);
        if (!stretch) continue;
        write_mark(json, *stretch, "tight", fmt::format("step {}: {}", problem.step + 1, problem.says));
    }
    const bool misses = simulation.carried_out && simulation.largest_gap_mm > job.plan().limits.gap_mm;
    if (misses) {
        const double at = simulation.largest_gap_at_mm;
        write_mark(json, {at, at}, "gap",
                   fmt::format("the edges miss each other by {}, {}",
                               units::show_thin(simulation.largest_gap_mm, style.unit), along(at)));
    }
    // What the simulation found stands above; here only the rest.
    const std::string pointer = fmt::format("/seams/{}", index);
    const geometry::PathIndex line(unrolled.seam().in_wood);
    const auto running_mm = geometry::running_length_mm(unrolled.seam().in_wood);
    for (const job::Problem& problem : job.problems()) {
        if (!job::is_within(problem, pointer) || !problem.at || problem.pointer == pointer) continue;
        const double at = geometry::length_to(running_mm, line.nearest(*problem.at).at);
        write_mark(json, {at, at}, "problem", problem.found);
    }
    json.end_list();
}

}  // namespace

void write_strip(job::JsonWriter& json, const edit::OpenJob& job, std::size_t index) {
    const plan::Plan& plan = job.plan();
    const plan::SeamPlan* seam = index < plan.seams.size() ? &plan.seams[index] : nullptr;
    if (seam == nullptr || seam->in_wood.empty() || seam->chains.empty()) {
        json.nothing("strip");
        return;
    }
    const Unrolled unrolled(*seam);
    std::vector<Track> tracks{radius_track(unrolled, plan.style), reach_track(unrolled, plan.style, true),
                              reach_track(unrolled, plan.style, false), gap_track(unrolled, plan)};
    if (seam->as_made) tracks.push_back(made_track(unrolled, plan));
    json.begin_group("strip");
    json.number("length", unrolled.length_mm());
    json.text("length_says", show(unrolled.length_mm(), plan.style) + " long");
    write_ticks(json, unrolled.length_mm(), plan.style);
    json.begin_list("stations");
    for (std::size_t i = 0; i < unrolled.stations().size(); ++i) {
        const Station& s = unrolled.stations()[i];
        json.begin_group();
        json.number("at", s.at_mm);
        json.point("place", s.place);
        json.number("heading", std::round(s.heading_rad * geometry::degrees_per_radian * 10.0) / 10.0);
        json.begin_list("tells");
        for (const Track& track : tracks) json.text({}, track.tells[i]);
        json.end_list();
        json.text("says", show(s.at_mm, plan.style) + " from the start");
        json.end_group();
    }
    json.end_list();
    json.begin_list("tracks");
    for (const Track& track : tracks) write_track(json, track);
    json.end_list();
    write_marks(json, job, index, unrolled);
    json.end_group();
}

}  // namespace seamwright::screen
