// The linear programme of small_closing.h, by exchange: only a few places press at the answer, so it is solved for a
// few, all others are looked at, and the one that is let in furthest and the one that gapes most come in. The places
// that pressed the last time are tried first: from one sample of a tolerance to the next they hardly change.

#include "seam/small_closing.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "small_lp.h"

namespace seamwright::seam {
namespace {

/// A place counts as let in, or as gaping, beyond this part of the largest gap, mm.
constexpr double let_in_mm = 1e-9;
constexpr std::size_t most_kept = 24;
constexpr int most_exchanges = 200;
constexpr double least_apart_mm = 1e-6;
/// A line that trembles turns over without end; its places lie close enough as they are.
constexpr std::size_t most_turns = 40;

/// Where the seam changes from one way of turning to the other: there its direction is farthest out.
std::vector<double> turns_over(const Path& seam, const std::vector<double>& running_mm) {
    std::vector<double> out;
    double before = 0.0;
    for (std::size_t i = 0; i < seam.segments.size(); ++i) {
        const double sweep = seam.segments[i].is_arc() ? seam.segments[i].sweep_rad : 0.0;
        if (sweep == 0.0) continue;
        if (before * sweep < 0.0) out.push_back(running_mm[i]);
        before = sweep;
    }
    return out;
}

}  // namespace

std::vector<SeamPlace> places_along(const Path& seam, double apart_mm, std::size_t most) {
    if (!(apart_mm > 0.0) || most < 8) throw std::invalid_argument("places_along: no such spacing");
    std::vector<SeamPlace> places;
    if (seam.empty()) return places;
    const auto running = geometry::running_length_mm(seam);
    const double length = running.back();
    const double most_spans = static_cast<double>(seam.closed ? most : most - 1);
    double spans = std::clamp(std::ceil(length / apart_mm), 7.0, most_spans);
    // An even number: the middle is a place.
    if (std::fmod(spans, 2.0) != 0.0) spans += spans < most_spans ? 1.0 : -1.0;
    std::vector<double> stations;
    for (double i = 0.0; i <= (seam.closed ? spans - 1.0 : spans); i += 1.0) stations.push_back(length * i / spans);
    const auto turns = turns_over(seam, running);
    if (turns.size() <= most_turns) stations.insert(stations.end(), turns.begin(), turns.end());
    std::sort(stations.begin(), stations.end());
    for (const double at : stations) {
        if (!places.empty() && at - places.back().at_mm < least_apart_mm) continue;
        const auto s = geometry::station_at(seam, running, at);
        places.push_back({at, geometry::point_at(seam, s), geometry::right_of(geometry::tangent_at(seam, s))});
    }
    return places;
}

SmallCloser::SmallCloser(std::vector<SeamPlace> places) : places_(std::move(places)) {
    if (places_.size() < 3) throw std::invalid_argument("SmallCloser: fewer than three places");
    geometry::Box box;
    for (const SeamPlace& p : places_) box.add(p.at);
    middle_ = geometry::midpoint(box.low, box.high);
    half_mm_ = std::fmax(0.5 * std::hypot(box.width_mm(), box.height_mm()), 1.0);
    rows_.reserve(places_.size());
    for (const SeamPlace& p : places_) {
        rows_.push_back(
            {p.normal.x, p.normal.y, geometry::dot(p.normal, geometry::left_of(p.at - middle_)) / half_mm_});
    }
    for (std::size_t k = 0; k < 8; ++k) looked_at_.push_back(k * (places_.size() - 1) / 7);
    looked_at_.erase(std::unique(looked_at_.begin(), looked_at_.end()), looked_at_.end());
}

bool SmallCloser::solve(std::span<const double> gap_mm, bool overlap_only, double floor_mm, Motion& motion) {
    double reach = 1e-3;
    for (const double g : gap_mm) reach = std::fmax(reach, std::abs(g));
    reach *= 50.0;
    // Costs apart by a hair keep the method from going round in circles, and the motion small.
    constexpr double hair = 1e-11;
    std::vector<HalfSpace> within;
    // What is measured never falls below this: an overlap below nothing is none.
    within.push_back({{0.0, 0.0, 0.0, 1.0}, overlap_only ? -reach : 0.0});
    for (const double sign : {1.0, -1.0}) {
        for (std::size_t k = 0; k < 3; ++k) {
            HalfSpace bound;
            bound.normal[k] = sign;
            bound.at_least = -reach;
            within.push_back(bound);
        }
    }
    const std::size_t bounds = within.size();
    const auto take_in = [&](std::size_t i) {
        const Row& r = rows_[i];
        if (overlap_only) {
            within.push_back({{r.x, r.y, r.turn, 1.0}, -gap_mm[i]});
        } else {
            within.push_back({{r.x, r.y, r.turn, 0.0}, floor_mm - gap_mm[i]});
            within.push_back({{-r.x, -r.y, -r.turn, 1.0}, gap_mm[i]});
        }
    };
    for (const std::size_t i : looked_at_) take_in(i);
    std::vector<std::size_t> pressing;
    for (int exchange = 0; exchange < most_exchanges; ++exchange) {
        const auto x = smallest({hair, 2.0 * hair, 3.0 * hair, 1.0}, within);
        if (!x) return false;
        motion = {(*x)[0], (*x)[1], (*x)[2], (*x)[3]};
        const double allowed = let_in_mm + 1e-9 * std::abs(motion.t);
        double lowest = HUGE_VAL, highest = -HUGE_VAL;
        std::size_t low = 0, high = 0;
        for (std::size_t i = 0; i < rows_.size(); ++i) {
            const Row& r = rows_[i];
            const double g = gap_mm[i] + r.x * motion.x + r.y * motion.y + r.turn * motion.turn;
            if (g < lowest) {
                lowest = g;
                low = i;
            }
            if (g > highest) {
                highest = g;
                high = i;
            }
        }
        const bool let_in = lowest < (overlap_only ? -motion.t : floor_mm) - allowed;
        const bool gapes = !overlap_only && highest > motion.t + allowed;
        for (const std::size_t i : {low, high}) {
            const auto known = std::find(looked_at_.begin(), looked_at_.end(), i);
            if (known != looked_at_.end()) looked_at_.erase(known);
            looked_at_.push_back(i);  // last: it pressed just now
        }
        if (!let_in && !gapes) {
            if (looked_at_.size() > most_kept)
                looked_at_.erase(looked_at_.begin(),
                                 looked_at_.begin() + static_cast<std::ptrdiff_t>(looked_at_.size() - most_kept));
            return within.size() > bounds;
        }
        if (let_in) take_in(low);
        if (gapes) take_in(high);
    }
    return false;
}

SmallClosing SmallCloser::close(std::span<const double> gap_mm) {
    if (gap_mm.size() != places_.size()) throw std::invalid_argument("SmallCloser: one gap for each place");
    SmallClosing out;
    for (const double g : gap_mm)
        if (!std::isfinite(g)) return out;
    Motion motion;
    double floor = 0.0;
    if (!solve(gap_mm, false, floor, motion)) {
        // The pieces cannot be kept apart: how little they overlap at best.
        if (!solve(gap_mm, true, 0.0, motion) || !(motion.t > 0.0)) return out;
        out.overlap_mm = motion.t;
        constexpr double room = 1e-9;
        floor = -motion.t * (1.0 + room) - room;
        if (!solve(gap_mm, false, floor, motion)) return out;
    }
    out.found = true;
    out.largest_gap_mm = motion.t;
    out.shift = {motion.x, motion.y};
    out.turn_rad = motion.turn / half_mm_;
    return out;
}

std::vector<double> SmallCloser::after(std::span<const double> gap_mm, const SmallClosing& closing) const {
    std::vector<double> out;
    out.reserve(places_.size());
    for (std::size_t i = 0; i < places_.size(); ++i) {
        const Row& r = rows_[i];
        out.push_back(gap_mm[i] + r.x * closing.shift.x + r.y * closing.shift.y + r.turn * closing.turn_rad * half_mm_);
    }
    return out;
}

}  // namespace seamwright::seam
