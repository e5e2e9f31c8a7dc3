#include "screen/closing_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "job/json_writer.h"
#include "plan/closing_study.h"
#include "plan/words.h"
#include "told.h"
#include "tracks.h"
#include "unrolled.h"

namespace seamwright::screen {
namespace {

using plan::ClosingStudy;

struct Value {
    double at_mm = 0.0, value = 0.0;
};
std::vector<Value> along(const ClosingStudy& study, const std::vector<double>& values) {
    std::vector<Value> out;
    for (std::size_t i = 0; i < values.size() && i < study.places.size(); ++i)
        out.push_back({study.places[i].at_mm, values[i]});
    return out;
}
double at(const std::vector<Value>& values, double at_mm) {
    return between_samples(values, at_mm, [](const Value& v) { return v.value; });
}
/// Free room above the highest line of a track.
constexpr double headroom = 1.12;

/// What is left between the edges once they are pushed together, in a seam of which 95 in 100 are better.
Track left_track(const Unrolled& unrolled, const ClosingStudy& study, const plan::Plan& plan) {
    const units::Unit unit = plan.style.unit;
    const double per_mm = unit == units::Unit::inch ? 1000.0 / units::mm_per_inch : 100.0;
    Track track;
    track.id = "closed_gap";
    track.title = "Gap left, pushed together";
    track.line_says = "gap that is left once the pieces are pushed together; 95 in 100 such seams close better";
    const auto gap = along(study, study.tolerance.sampled.most_gap_mm);
    double largest = study.tolerance.limit_mm;
    const Value* worst = nullptr;
    for (const Value& v : gap)
        if (worst == nullptr || v.value > worst->value) worst = &v;
    if (worst != nullptr) largest = std::max(largest, worst->value);
    for (const Station& s : unrolled.stations()) {
        const double mm = std::max(0.0, at(gap, s.at_mm));
        track.line.push_back({s.at_mm, mm * per_mm});
        track.tells.push_back(units::show_thin(mm, unit) + " left");
    }
    const double limit = study.tolerance.limit_mm * per_mm;
    const std::string limit_says = units::show_thin(study.tolerance.limit_mm, unit);
    track.low = 0.0;
    track.high = headroom * largest * per_mm;
    track.marks = {{0.0, units::show_thin(0.0, unit)}, {limit, limit_says}};
    track.limits = {{limit, "your limit: " + limit_says, false}};
    if (worst != nullptr) {
        track.worst =
            Track::Worst{worst->at_mm, worst->value * per_mm, "widest: " + units::show_thin(worst->value, unit)};
    }
    return track;
}

/// What wants stops, clamps or another joint, and where.
std::vector<Track::Span> glue_spans(const ClosingStudy& study) {
    std::vector<Track::Span> spans;
    const auto& pressure = study.pressing->pressure;
    for (const auto& s : pressure.steep) {
        spans.push_back({s.from_mm, s.to_mm, "slips on glue",
                         pressure.slides ? "slides on wet glue: set stops" : "too steep for wet glue alone to hold"});
    }
    for (const auto& s : pressure.lifted)
        spans.push_back({s.from_mm, s.to_mm, "no pressure", "no pressure: set a clamp"});
    for (std::size_t side = 0; side < study.sides.size(); ++side) {
        for (const auto& s : study.sides[side].stretches) {
            const bool ends = s.grain == wood::SeamGrain::end_grain;
            spans.push_back({s.from_mm, s.to_mm, side == 0 ? "grain, left" : "grain, right",
                             ends ? "end grain of " + s.piece : "fibres of " + s.piece + " run out"});
        }
    }
    return spans;
}

Track pressure_track(const Unrolled& unrolled, const ClosingStudy& study, const plan::Plan& plan) {
    const units::Unit unit = plan.style.unit;
    Track track;
    track.id = "pressure";
    track.title = "Pressure of the clamps";
    track.line_says = "pressure on the seam";
    if (!study.pressing) {
        track.empty = "No clamps press this seam together from outside.";
        track.tells.resize(unrolled.stations().size());
        track.high = 1.0;
        return track;
    }
    const auto pressure = along(study, study.pressing->pressure.pressure_mpa);
    for (const Station& s : unrolled.stations()) {
        const double mpa = at(pressure, s.at_mm);
        track.line.push_back({s.at_mm, mpa});
        track.tells.push_back(plan::words::pressure_text(mpa, unit));
    }
    const auto least = std::min_element(pressure.begin(), pressure.end(),
                                        [](const Value& a, const Value& b) { return a.value < b.value; });
    const double most = std::max(study.pressing->pressure.largest_mpa, study.pressing->needed_mpa);
    track.low = 0.0;
    track.high = headroom * most;
    track.marks = {{0.0, plan::words::pressure_text(0.0, unit)}, {most, plan::words::pressure_text(most, unit)}};
    track.spans = glue_spans(study);
    for (std::size_t i = 0; i < track.tells.size(); ++i) {
        const double here = unrolled.stations()[i].at_mm;
        for (const Track::Span& span : track.spans)
            if (span.from_mm <= here && here <= span.to_mm) track.tells[i] += "; " + span.says;
    }
    if (least != pressure.end()) {
        track.worst =
            Track::Worst{least->at_mm, least->value, "least: " + plan::words::pressure_text(least->value, unit)};
    }
    return track;
}

/// The order of all glue-ups, each seam studied as it is when it is shown; one of them is studied already.
plan::words::Told order_told(const edit::OpenJob& job, std::size_t shown, const ClosingStudy& study) {
    constexpr std::size_t most_seams = 12;
    if (job.plan().seams.size() > most_seams) return {};
    plan::StudyWish wish;
    wish.advice = false;
    std::vector<std::optional<ClosingStudy>> studies;
    for (std::size_t i = 0; i < job.plan().seams.size(); ++i) {
        studies.push_back(i == shown ? std::optional(study)
                                     : study_closing(job.plan(), i, job.document().job, job.document().shelf, wish));
    }
    return plan::words::glue_ups_text(plan::glue_ups(job.plan(), studies, job.document().job), job.plan());
}

}  // namespace

std::string write_closing(const edit::OpenJob& job, std::size_t seam_index, std::int64_t version) {
    const plan::Plan& plan = job.plan();
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.json("version", fmt::format("{}", version));
    json.count("seam", seam_index);
    std::optional<ClosingStudy> study;
    if (seam_index < plan.seams.size())
        study = plan::study_closing(plan, seam_index, job.document().job, job.document().shelf);
    const plan::SeamPlan* seam = study ? &plan.seams[seam_index] : nullptr;
    json.text("verdict", seam != nullptr                  ? plan::words::closing_verdict(*study, *seam, plan)
                         : seam_index < plan.seams.size() ? plan.seams[seam_index].verdict
                                                          : std::string("There is no such seam."));
    json.begin_list("parts");
    if (seam != nullptr) {
        for (const auto& told : plan::words::closing_text(*study, *seam, plan, job.document().job))
            write_told(json, {}, told);
        if (const auto order = order_told(job, seam_index, *study); !order.lines.empty()) write_told(json, {}, order);
    }
    json.end_list();
    std::vector<Track> tracks;
    if (seam != nullptr) {
        const Unrolled unrolled(*seam);
        tracks = {left_track(unrolled, *study, plan), pressure_track(unrolled, *study, plan)};
    }
    write_tracks(json, tracks);
    json.end_group();
    return json.take();
}

}  // namespace seamwright::screen
