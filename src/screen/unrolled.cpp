#include "unrolled.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/path_index.h"

namespace seamwright::screen {
namespace {

/// Two stations closer than this part of a step are drawn as one.
constexpr double same_part_of_step = 0.02;
}  // namespace

Unrolled::Unrolled(const plan::SeamPlan& seam)
    : seam_(&seam), running_mm_(geometry::running_length_mm(seam.in_wood)), length_mm_(running_mm_.back()) {
    if (!seam.in_wood.closed && !seam.drawn.path.empty()) {
        const geometry::PathIndex drawn(seam.drawn.path);
        const auto begins = drawn.nearest(seam.in_wood.start()).at;
        const auto whole_mm = geometry::running_length_mm(seam.drawn.path);
        starts_mm_ = geometry::length_to(whole_mm, begins);
    }
    std::vector<double> places;
    for (double i = 0.0; i <= station_steps; i += 1.0) places.push_back(length_mm_ * i / station_steps);
    const auto add = [&](std::optional<double> at_mm) {
        if (at_mm && *at_mm >= 0.0 && *at_mm <= length_mm_) places.push_back(*at_mm);
    };
    for (const auto& tightest : {seam.drawn.tightest_left, seam.drawn.tightest_right}) {
        if (tightest) add(in_wood(tightest->at_mm));
    }
    if (seam.simulation.carried_out) add(seam.simulation.largest_gap_at_mm);
    for (const auto& problem : seam.simulation.problems) add(problem.at_mm);
    std::sort(places.begin(), places.end());
    const double same_mm = same_part_of_step * length_mm_ / station_steps;
    places.erase(std::unique(places.begin(), places.end(), [&](double a, double b) { return b - a < same_mm; }),
                 places.end());
    // Written short: a place along a seam is not told closer than this, and there are hundreds of them.
    constexpr double told_to_mm = 0.01;
    stations_.reserve(places.size());
    for (const double at : places)
        stations_.push_back(station(std::min(length_mm_, std::round(at / told_to_mm) * told_to_mm)));
}

Station Unrolled::station(double at_mm) const {
    const auto s = geometry::station_at(seam_->in_wood, running_mm_, at_mm);
    return {at_mm, geometry::point_at(seam_->in_wood, s), geometry::heading(geometry::tangent_at(seam_->in_wood, s)),
            between_samples(seam_->drawn.curvature, starts_mm_ + at_mm,
                            [](const curves::CurvatureAt& c) { return c.curvature; })};
}

std::optional<double> Unrolled::in_wood(double along_drawn_mm) const {
    const double at_mm = along_drawn_mm - starts_mm_;
    if (at_mm < 0.0 || at_mm > length_mm_) return std::nullopt;
    return at_mm;
}

std::vector<double> Unrolled::turns_mm() const {
    std::vector<double> turns;
    for (const double along : seam_->drawn.inflections_mm) {
        if (const auto at = in_wood(along)) turns.push_back(*at);
    }
    return turns;
}

double Unrolled::room_mm(const seam::ReachOfStep& reach, double curvature) {
    if (std::abs(curvature) * straightest_mm < 1.0) return std::numeric_limits<double>::infinity();
    return 1.0 / std::abs(curvature) - (curvature > 0.0 ? reach.least_left_mm : reach.least_right_mm);
}

std::optional<Stretch> Unrolled::tight(const seam::ReachProblem& problem) const {
    if (!problem.at_mm) return std::nullopt;
    const auto reach = std::find_if(seam_->simulation.reach.begin(), seam_->simulation.reach.end(),
                                    [&](const auto& r) { return r.step == problem.step; });
    const double at_mm = std::clamp(*problem.at_mm, 0.0, length_mm_);
    const double step_mm = length_mm_ / station_steps;
    Stretch stretch{std::max(0.0, at_mm - step_mm), std::min(length_mm_, at_mm + step_mm)};
    if (reach == seam_->simulation.reach.end()) return stretch;
    const auto too_tight = [&](const Station& s) { return room_mm(*reach, s.curvature) < 0.0; };
    const auto here = std::lower_bound(stations_.begin(), stations_.end(), at_mm,
                                       [](const Station& s, double at) { return s.at_mm < at; });
    for (auto s = here; s != stations_.end() && too_tight(*s); ++s) stretch.to_mm = std::max(stretch.to_mm, s->at_mm);
    for (auto s = here; s != stations_.begin() && too_tight(*(s - 1)); --s)
        stretch.from_mm = std::min(stretch.from_mm, (s - 1)->at_mm);
    return stretch;
}

}  // namespace seamwright::screen
