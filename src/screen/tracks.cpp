#include "tracks.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "geometry/path_index.h"

namespace seamwright::screen {
namespace {

using units::show;
using units::Unit;

/// Radii whose marks would stand closer than this part of the half axis are left out.
constexpr double marks_apart = 0.12;
/// Free room above the outermost line of a track.
constexpr double headroom = 1.12;
/// Bows wider than this are drawn nearly in proportion, tighter turns by their ratio: so the wide bows of a top and the
/// tightest turn a guide can follow, a thousand times tighter, both show their shape (our choice).
constexpr double even_to_mm = 10000.0;
/// A seam straighter than this does not fill the track.
constexpr double gentlest_axis_mm = 1500.0;

std::string bend_says(double curvature, const units::LengthStyle& style) {
    if (std::abs(curvature) * straightest_mm < 1.0) return "straight";
    return fmt::format("radius {}, turning {}", show(1.0 / std::abs(curvature), style),
                       curvature > 0.0 ? "left" : "right");
}

/// Round radii of a rule in that unit, wide to tight.
std::vector<double> round_radii_mm(Unit unit) {
    if (unit == Unit::inch) {
        std::vector<double> radii;
        for (const double inches : {400.0, 120.0, 40.0, 12.0, 4.0, 1.0, 0.5})
            radii.push_back(inches * units::mm_per_inch);
        return radii;
    }
    return {10000.0, 3000.0, 1000.0, 300.0, 100.0, 30.0, 10.0};
}

units::LengthStyle whole(units::LengthStyle style) {
    style.decimals = 0;
    return style;
}

struct Least {
    double left_mm = 0.0, right_mm = 0.0;
    bool any = false;
};

/// Of all steps, or of those with the template ridden on (or made) on that hand.
Least least_radii(const plan::SeamPlan& seam, std::optional<bool> on_left = std::nullopt) {
    Least least;
    if (seam.chosen >= seam.chains.size()) return least;
    const auto& steps = seam.chains[seam.chosen].steps;
    for (const seam::ReachOfStep& r : seam.simulation.reach) {
        if (r.step >= steps.size() || (on_left && steps[r.step].template_on_left != *on_left)) continue;
        least.left_mm = std::max(least.left_mm, r.least_left_mm);
        least.right_mm = std::max(least.right_mm, r.least_right_mm);
        least.any = true;
    }
    return least;
}

}  // namespace

double turn_value(double curvature) {
    return std::asinh(curvature * even_to_mm);
}

Track radius_track(const Unrolled& unrolled, const units::LengthStyle& style) {
    Track track;
    track.id = "radius";
    track.title = "How tight it turns";
    track.line_says = "radius of the seam";
    const Least least = least_radii(unrolled.seam());
    const Station* tightest = nullptr;
    double reach = turn_value(1.0 / gentlest_axis_mm);
    for (const Station& s : unrolled.stations()) {
        const double value = turn_value(s.curvature);
        track.line.push_back({s.at_mm, value});
        track.tells.push_back(bend_says(s.curvature, style));
        reach = std::max(reach, std::abs(value));
        if (tightest == nullptr || std::abs(s.curvature) > std::abs(tightest->curvature)) tightest = &s;
    }
    const auto limit = [&](double least_mm, double sign, std::string_view hand) {
        if (least_mm <= 0.0) return;
        const double value = sign * turn_value(1.0 / least_mm);
        track.limits.push_back(
            {value, fmt::format("tightest the tools follow turning {}: radius {}", hand, show(least_mm, style))});
        reach = std::max(reach, std::abs(value));
    };
    limit(least.left_mm, 1.0, "left");
    limit(least.right_mm, -1.0, "right");
    track.high = headroom * reach;
    track.low = -track.high;
    track.marks.push_back({0.0, "straight"});
    double last = 0.0;
    for (const double radius_mm : round_radii_mm(style.unit)) {
        const double value = turn_value(1.0 / radius_mm);
        if (value > track.high || value - last < marks_apart * track.high) continue;
        last = value;
        track.marks.push_back({value, show(radius_mm, whole(style))});
        track.marks.push_back({-value, show(radius_mm, whole(style))});
    }
    if (tightest != nullptr && std::abs(tightest->curvature) * straightest_mm >= 1.0) {
        track.worst = Track::Worst{tightest->at_mm, turn_value(tightest->curvature),
                                   "tightest: " + bend_says(tightest->curvature, style)};
    }
    return track;
}

Track reach_track(const Unrolled& unrolled, const units::LengthStyle& style, bool left) {
    // Twice the largest guides in common use: more room than this is plenty for any of them.
    const double plenty_mm = style.unit == Unit::inch ? 4.0 * units::mm_per_inch : 100.0;
    const double least_below_mm = 0.25 * plenty_mm;
    Track track;
    track.id = left ? "reach_left" : "reach_right";
    track.title = left ? "Room for the left template" : "Room for the right template";
    track.line_says = "radius of the seam beyond the least that can be followed";
    track.high = plenty_mm;
    track.low = -least_below_mm;
    const Least least = least_radii(unrolled.seam(), left);
    if (!least.any) {
        track.empty = fmt::format("This way of copying needs no {} template.", left ? "left" : "right");
        track.tells.resize(unrolled.stations().size());
        return track;
    }
    const seam::ReachOfStep together{0, least.left_mm, least.right_mm, 0.0};
    const Station* worst = nullptr;
    double worst_mm = std::numeric_limits<double>::infinity();
    for (const Station& s : unrolled.stations()) {
        const double room_mm = Unrolled::room_mm(together, s.curvature);
        if (room_mm < worst_mm) {
            worst_mm = room_mm;
            worst = &s;
        }
        track.line.push_back({s.at_mm, std::min(room_mm, track.high)});
        track.tells.push_back(room_mm < 0.0              ? show(-room_mm, style) + " too tight"
                              : room_mm > straightest_mm ? std::string("plenty of room")
                                                         : show(room_mm, style) + " to spare");
    }
    track.low = std::min(track.low, std::isfinite(worst_mm) ? headroom * worst_mm : 0.0);
    track.marks = {{0.0, show(0.0, whole(style))},
                   {0.5 * plenty_mm, show(0.5 * plenty_mm, whole(style))},
                   {plenty_mm, show(plenty_mm, whole(style)) + " or more"}};
    track.limits.push_back({0.0, "below this the template or the guide no longer follows", true});
    if (worst != nullptr) {
        track.worst = Track::Worst{
            worst->at_mm, std::min(worst_mm, track.high),
            worst_mm < 0.0 ? show(-worst_mm, style) + " too tight" : "least room: " + show(worst_mm, style)};
    }
    return track;
}

Track gap_track(const Unrolled& unrolled, const plan::Plan& plan) {
    const Unit unit = plan.style.unit;
    const auto& simulation = unrolled.seam().simulation;
    const double per_mm = unit == Unit::inch ? 1000.0 / units::mm_per_inch : 100.0;
    const double limit = plan.limits.gap_mm * per_mm;
    Track track;
    track.id = "gap";
    track.title = "Gap as cut";
    track.line_says = "gap between the two edges; below nought they would overlap";
    track.high = 1.5 * limit;
    track.low = -track.high;
    if (!simulation.carried_out || simulation.gap.empty()) {
        track.empty = "The two edges cannot both be cut, so there is no gap to show.";
        track.tells.resize(unrolled.stations().size());
        return track;
    }
    const auto& gap = simulation.gap;
    const auto gap_at = [&](double at_mm) {
        return between_samples(gap, at_mm, [](const seam::GapAt& g) { return g.gap_mm; });
    };
    const auto says = [&](double mm) {
        const std::string size = units::show_thin(std::abs(mm), unit);
        // What rounds to nothing has no sign.
        const bool nothing = size == units::show_thin(0.0, unit);
        return size + (nothing ? "" : mm < 0.0 ? " overlap" : " open");
    };
    double largest = 0.0;
    for (const Station& s : unrolled.stations()) {
        const double mm = gap_at(s.at_mm);
        largest = std::max(largest, std::abs(mm) * per_mm);
        track.line.push_back({s.at_mm, mm * per_mm});
        track.tells.push_back(says(mm));
    }
    largest = std::max(largest, simulation.largest_gap_mm * per_mm);
    track.high = std::max(track.high, headroom * largest);
    track.low = -track.high;
    const std::string limit_says = units::show_thin(plan.limits.gap_mm, unit);
    track.marks = {{0.0, units::show_thin(0.0, unit)}, {limit, limit_says}, {-limit, limit_says}};
    track.limits = {{0.0, "the edges meet", true},
                    {limit, "your limit, open: " + limit_says, false},
                    {-limit, "your limit, overlapping: " + limit_says, false}};
    const double there = gap_at(simulation.largest_gap_at_mm);
    track.worst = Track::Worst{simulation.largest_gap_at_mm, std::copysign(simulation.largest_gap_mm, there) * per_mm,
                               "largest: " + units::show_thin(simulation.largest_gap_mm, unit)};
    return track;
}

Track made_track(const Unrolled& unrolled, const plan::Plan& plan) {
    const Unit unit = plan.style.unit;
    const plan::MadePlan& made = *unrolled.seam().as_made;
    const double per_mm = unit == Unit::inch ? 1000.0 / units::mm_per_inch : 100.0;
    Track track;
    track.id = "made";
    track.title = "Template as made";
    track.line_says = "how far its edge stands proud of the fair line; below nought it lies low";
    // Places along the template's edge, brought to the seam beside it.
    const geometry::PathIndex seam(unrolled.seam().in_wood);
    const auto running = geometry::running_length_mm(unrolled.seam().in_wood);
    const auto edge_running = geometry::running_length_mm(made.edge);
    struct Place {
        double at_mm = 0.0, height_mm = 0.0;
    };
    std::vector<Place> places;
    for (const curves::HeightAt& h : made.made.map.heights) {
        const double along = std::clamp(h.at_mm, 0.0, made.length_mm);
        const auto on_edge = geometry::point_at(made.edge, geometry::station_at(made.edge, edge_running, along));
        const double at = geometry::length_to(running, seam.nearest(on_edge).at);
        if (places.empty() || at > places.back().at_mm) places.push_back({at, h.height_mm});
    }
    const auto says = [&](double mm) {
        const std::string size = units::show_thin(std::abs(mm), unit);
        const bool nothing = size == units::show_thin(0.0, unit);
        return size + (nothing ? "" : mm < 0.0 ? " low" : " proud");
    };
    double largest = made.fair_mm * per_mm;
    for (const Station& s : unrolled.stations()) {
        const double mm = between_samples(places, s.at_mm, [](const Place& p) { return p.height_mm; });
        largest = std::max(largest, std::abs(mm) * per_mm);
        track.line.push_back({s.at_mm, mm * per_mm});
        track.tells.push_back(says(mm));
    }
    track.high = headroom * std::max(largest, 1.5 * made.fair_mm * per_mm);
    track.low = -track.high;
    const double fair = made.fair_mm * per_mm;
    const std::string fair_says = units::show_thin(made.fair_mm, unit);
    track.marks = {{0.0, units::show_thin(0.0, unit)}, {fair, fair_says}, {-fair, fair_says}};
    track.limits = {{0.0, "the fair line", true},
                    {fair, "proud by " + fair_says + ": within it counts as fair", false},
                    {-fair, "low by " + fair_says + ": within it counts as fair", false}};
    const auto worst = std::max_element(places.begin(), places.end(), [](const Place& a, const Place& b) {
        return std::abs(a.height_mm) < std::abs(b.height_mm);
    });
    if (worst != places.end())
        track.worst = Track::Worst{worst->at_mm, worst->height_mm * per_mm, "largest: " + says(worst->height_mm)};
    return track;
}

namespace {

/// Of a level run only its ends: nothing else is to be seen in between.
std::vector<geometry::Point> without_level_runs(const std::vector<geometry::Point>& line) {
    constexpr double level = 0.0005;  // half of what is written
    std::vector<geometry::Point> kept;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const bool inside = i > 0 && i + 1 < line.size() && std::abs(line[i].y - kept.back().y) < level &&
                            std::abs(line[i].y - line[i + 1].y) < level;
        if (!inside) kept.push_back(line[i]);
    }
    return kept;
}

}  // namespace

void write_track(job::JsonWriter& json, const Track& track) {
    json.begin_group();
    json.text("id", track.id);
    json.text("title", track.title);
    json.number("low", track.low);
    json.number("high", track.high);
    json.begin_list("marks");
    for (const auto& mark : track.marks) {
        json.begin_group();
        json.number("at", mark.at);
        json.text("says", mark.says);
        json.end_group();
    }
    json.end_list();
    json.begin_list("limits");
    for (const auto& limit : track.limits) {
        json.begin_group();
        json.number("at", limit.at);
        json.text("says", limit.says);
        json.text("kind", limit.zero ? "zero" : "limit");
        json.end_group();
    }
    json.end_list();
    json.begin_list("lines");
    if (!track.line.empty()) {
        json.begin_group();
        json.text("kind", "value");
        json.text("says", track.line_says);
        json.points("points", without_level_runs(track.line));
        json.end_group();
    }
    json.end_list();
    if (track.worst) {
        json.begin_group("worst");
        json.number("at", track.worst->at_mm);
        json.number("value", track.worst->value);
        json.text("says", track.worst->says);
        json.end_group();
    }
    if (!track.spans.empty()) {
        json.begin_list("spans");
        for (const auto& span : track.spans) {
            json.begin_group();
            json.number("from", span.from_mm);
            json.number("to", span.to_mm);
            json.text("row", span.row);
            json.text("says", span.says);
            json.end_group();
        }
        json.end_list();
    }
    if (!track.strokes.empty()) {
        json.begin_list("strokes");
        for (const auto& stroke : track.strokes) {
            json.begin_group();
            json.text("kind", stroke.kind);
            json.count("number", stroke.number);
            json.points("parts", stroke.parts);
            json.text("says", stroke.says);
            json.end_group();
        }
        json.end_list();
    }
    if (!track.empty.empty()) json.text("empty", track.empty);
    json.end_group();
}

void write_tracks(job::JsonWriter& json, const std::vector<Track>& tracks) {
    json.begin_list("tracks");
    for (const Track& track : tracks) write_track(json, track);
    json.end_list();
    // Of the stations of the seam's strip, one list for each track.
    json.begin_list("tells");
    for (const Track& track : tracks) {
        json.begin_group();
        json.texts("stations", track.tells);
        json.end_group();
    }
    json.end_list();
}

}  // namespace seamwright::screen
