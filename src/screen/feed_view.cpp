#include "screen/feed_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "job/json_writer.h"
#include "plan/effort.h"
#include "plan/feed_study.h"
#include "plan/words.h"
#include "told.h"
#include "tracks.h"
#include "unrolled.h"

namespace seamwright::screen {
namespace {

using process::FeedRun;
using process::FeedWay;
using process::TearStretch;
using process::TearZone;

double degrees(double rad) {
    return rad * geometry::degrees_per_radian;
}

/// A length of the edge as lengths that do not go over its end, in the order of the edge.
std::vector<Stretch> unwrapped(double from_mm, double length_mm, double whole_mm) {
    const double to_mm = from_mm + length_mm;
    if (to_mm <= whole_mm + 1e-6) return {{from_mm, std::min(to_mm, whole_mm)}};
    return {{from_mm, whole_mm}, {0.0, to_mm - whole_mm}};
}

bool covers(double from_mm, double length_mm, double whole_mm, double at_mm) {
    for (const Stretch& part : unwrapped(from_mm, length_mm, whole_mm))
        if (part.from_mm - 1e-6 <= at_mm && at_mm <= part.to_mm + 1e-6) return true;
    return false;
}

std::string angle_says(double phi_rad) {
    const double angle = std::round(degrees(phi_rad));
    if (angle == 0.0) return "along the fibres";
    if (std::abs(angle) > degrees(wood::end_grain_from_rad)) return fmt::format("{:.0f}°, end grain", std::abs(angle));
    return angle > 0.0 ? fmt::format("{:.0f}° with the grain", angle)
                       : fmt::format("{:.0f}° against the grain", -angle);
}

std::string_view kind_of(FeedWay way) {
    return way == FeedWay::conventional ? "conventional" : way == FeedWay::conventional_skim ? "skim" : "climb";
}

Track feed_track(const Unrolled& unrolled, const plan::FeedStudy& study, std::size_t seam, bool left,
                 const plan::Plan& plan) {
    Track track;
    track.id = left ? "feed_left" : "feed_right";
    track.title = left ? "Feeding the left edge" : "Feeding the right edge";
    track.line_says =
        "angle between edge and fibres; above nought with the grain, below it the fibres dive under the edge";
    const auto edge = std::find_if(study.edges.begin(), study.edges.end(),
                                   [&](const plan::RoutedEdge& e) { return e.seam == seam && e.on_left == left; });
    if (edge == study.edges.end()) {
        track.empty = fmt::format("No piece is routed on the {} of this seam.", left ? "left" : "right");
        track.tells.resize(unrolled.stations().size());
        return track;
    }
    const double whole = unrolled.length_mm();
    double least = 0.0, most = 0.0;
    for (const Station& s : unrolled.stations()) {
        const double phi = process::phi_at(edge->cut, geometry::station_at(edge->edge, unrolled.running_mm(), s.at_mm));
        track.line.push_back({s.at_mm, degrees(phi)});
        least = std::min(least, degrees(phi));
        most = std::max(most, degrees(phi));
        std::string tells = angle_says(phi);
        for (const TearStretch& stretch : edge->feed.stretches) {
            if (stretch.zone == TearZone::clean || !covers(stretch.from_mm, stretch.length_mm, whole, s.at_mm))
                continue;
            tells += stretch.zone == TearZone::tears ? "; fibres lift" : "; slowly";
            break;
        }
        for (std::size_t i = 0; i < edge->feed.runs.size(); ++i) {
            const FeedRun& run = edge->feed.runs[i];
            if (!covers(run.from_mm, run.length_mm, whole, s.at_mm)) continue;
            tells += fmt::format("; stroke {}, {}, toward the {}", i + 1, plan::words::way_text(run.way),
                                 run.along_path ? "end" : "start");
            break;
        }
        track.tells.push_back(std::move(tells));
    }
    // Room above the line for the strokes, and below it for what lifts.
    constexpr double least_axis = 20.0, stroke_room = 1.9;
    const double reach = std::max({least_axis, -least, most});
    track.high = stroke_room * reach;
    track.low = -stroke_room * reach;
    track.marks.push_back({0.0, "along"});
    for (const double mark : {15.0, 30.0, 45.0, 60.0, 90.0}) {
        if (mark > 1.05 * reach || (mark < 0.4 * reach && mark < 45.0)) continue;
        track.marks.push_back({mark, fmt::format("{:.0f}° with", mark)});
        track.marks.push_back({-mark, fmt::format("{:.0f}° against", mark)});
    }
    track.limits = {{0.0, "along the fibres", true}};
    for (const TearStretch& stretch : edge->feed.stretches) {
        if (stretch.zone == TearZone::clean) continue;
        const bool tears = stretch.zone == TearZone::tears;
        for (const Stretch& part : unwrapped(stretch.from_mm, stretch.length_mm, whole))
            track.spans.push_back({part.from_mm, part.to_mm, tears ? "fibres lift" : "slowly",
                                   fmt::format("{}, up to {}", tears ? "expected to tear" : "feed slowly here",
                                               angle_says(stretch.worst_phi_rad))});
    }
    for (std::size_t i = 0; i < edge->feed.runs.size(); ++i) {
        const FeedRun& run = edge->feed.runs[i];
        Track::FeedStroke stroke;
        stroke.kind = kind_of(run.way);
        stroke.number = i + 1;
        for (const Stretch& part : unwrapped(run.from_mm, run.length_mm, whole))
            stroke.parts.push_back(run.along_path ? geometry::Point{part.from_mm, part.to_mm}
                                                  : geometry::Point{part.to_mm, part.from_mm});
        if (!run.along_path) std::reverse(stroke.parts.begin(), stroke.parts.end());
        stroke.says = fmt::format("stroke {}, {}: {}", i + 1, plan::words::way_text(run.way),
                                  units::show(run.length_mm, plan.style));
        track.strokes.push_back(std::move(stroke));
    }
    const auto worst = std::max_element(edge->feed.stretches.begin(), edge->feed.stretches.end(),
                                        [](const TearStretch& a, const TearStretch& b) { return a.risk < b.risk; });
    if (worst != edge->feed.stretches.end() && worst->zone != TearZone::clean)
        track.worst = Track::Worst{worst->worst_at_mm, degrees(worst->worst_phi_rad),
                                   "worst: " + angle_says(worst->worst_phi_rad)};
    return track;
}

}  // namespace

std::string write_feed(const edit::OpenJob& job, std::size_t seam_index, std::int64_t version) {
    const plan::Plan& plan = job.plan();
    const job::Job& asked = job.document().job;
    const shelf::Shelf& shelf = job.document().shelf;
    plan::FeedStudy study;
    const plan::SeamPlan* seam = seam_index < plan.seams.size() ? &plan.seams[seam_index] : nullptr;
    if (seam != nullptr && !seam->in_wood.empty()) {
        const auto boards = plan::study_boards(plan, asked, shelf, plan::effort_of_page);
        study = plan::study_feed(plan, shelf, plan::study_rough_cut(plan, asked), boards ? &*boards : nullptr);
    }
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.json("version", fmt::format("{}", version));
    json.count("seam", seam_index);
    std::vector<Track> tracks;
    if (std::any_of(study.edges.begin(), study.edges.end(), [&](const auto& e) { return e.seam == seam_index; })) {
        const Unrolled unrolled(*seam);
        for (const bool left : {true, false}) tracks.push_back(feed_track(unrolled, study, seam_index, left, plan));
    }
    json.text("verdict", !tracks.empty()   ? std::string()
                         : seam != nullptr ? seam->verdict
                                           : std::string("There is no such seam."));
    json.begin_list("parts");
    if (!tracks.empty()) {
        for (const plan::RoutedEdge& edge : study.edges)
            if (edge.seam == seam_index) write_told(json, {}, plan::words::feed_text(edge, plan, asked));
        write_told(json, {}, plan::words::feed_cautions_text(study, shelf, asked.style));
    }
    json.end_list();
    write_tracks(json, tracks);
    json.end_group();
    return json.take();
}

}  // namespace seamwright::screen
