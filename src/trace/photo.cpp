// A photo's way to a line on the bench: marks, view, line, place by place.
//
// Error budget of one careful photo of 12 megapixels over 2.4 m, at 0.6 to 0.7 mm a pixel (docs/trace.md has the
// figures that were measured):
//   near: a node of 3 mm is the mean of some five places of 0.05 px each, 0.02 mm, and what the view adds from place to
//   place. Nothing that is systematic and short is known of in a flat picture.
//   overall: the view's own scatter (view.h), which holds lens, tilt, marks and the scale of print or tape.
// What is not in it, because the picture does not tell: a bench that is not flat, paper that has moved since it was
// printed differently along and across, a line that does not lie in the plane of the marks.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "marks_mask.h"
#include "nodes.h"
#include "trace/trace.h"

namespace seamwright::trace {
namespace {

/// 95 of 100 of a normal scatter lie within this many σ.
constexpr double in_95 = 1.96;
/// The worst place of a whole line errs more than a given one: the error has about two independent parts that matter
/// (scale and bend), whose 95 % is at √5.99 σ (χ² of two degrees of freedom).
constexpr double in_95_of_worst = 2.45;
/// Places of a line err a little together, by the pixels and the grain of the paper they share: so much more than their
/// scatter against their neighbours shows (found with photo_seeds: 0.9 to 1.3).
constexpr double shared_noise = 1.4;
/// What no picture shows, from place to place: paper that cockles, a bench that is not flat (judgement).
constexpr double unseen_mm = 0.1;
constexpr double least_length_mm = 20.0;
/// No pencil and no marker draws wider.
constexpr double widest_line_mm = 6.0;
/// Beyond this a photo is of no use, even for a drawing.
constexpr double most_overall_mm = 25.0;
/// Limits of what is remarked upon.
constexpr double wide_pixel_mm = 0.85, coarse_near_mm = 0.3, coarse_overall_mm = 1.5, low_contrast = 0.06;
/// The line may run past the marks by so much of its length.
constexpr double past_marks_part = 0.12;

/// How far places of the line lie outside the marks' own stretch along it, as a part of its length.
double past_marks(const std::vector<Point>& points, const View& view) {
    if (points.size() < 2 || view.strips.empty()) return 0.0;
    // Along the line from end to end; for a curve that is wound up this says little, and then nothing is remarked.
    const Point way = points.back() - points.front();
    const double length = norm(way);
    if (length <= 0.0) return 0.0;
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (const auto& strip : view.strips) {
        const double along = dot(strip.at - points.front(), way) / length;
        const double half = mark_apart_mm * std::abs(dot(geometry::unit(strip.heading_rad), way)) / length;
        low = std::min(low, along - half);
        high = std::max(high, along + half);
    }
    return std::max({0.0, low, length - high}) / length;
}

void remark(Trace& trace, std::string reason, std::string remedy, std::optional<Point> at = {}) {
    trace.remarks.push_back({std::move(reason), std::move(remedy), at});
}

void add_remarks(Trace& trace, const View& view, const PhotoSettings& settings) {
    if (settings.view.taped.empty()) {
        remark(trace,
               fmt::format("The scale rests on the printed marks alone: paper and printers stray by {:.1f} %, which is "
                           "{:.1f} mm over this line.",
                           100.0 * settings.view.print_scale, settings.view.print_scale * trace.length_mm),
               "Measure with a steel tape from the middle of a mark to that of another far from it, and enter it.");
    }
    if (const double past = past_marks(trace.points, view); past > past_marks_part) {
        remark(trace, fmt::format("The line runs past the last marks by {:.0f} mm.", past * trace.length_mm),
               "Lay strips along the whole line, one beyond each end.");
    }
    if (trace.mm_per_px > wide_pixel_mm) {
        remark(trace, fmt::format("A pixel is {:.2f} mm wide on the bench.", trace.mm_per_px),
               "Go closer, so that the line fills the picture, or use the camera's full size.");
    }
    if (trace.near_mm > coarse_near_mm) {
        remark(trace, fmt::format("The line is uncertain by {:.2f} mm from place to place.", trace.near_mm),
               "Go closer, use more light, hold the camera still, or draw the line darker.");
    }
    if (trace.overall_mm > coarse_overall_mm && !settings.view.taped.empty()) {
        remark(trace, fmt::format("The shape as a whole is uncertain by {:.1f} mm.", trace.overall_mm),
               "Lay more strips on both sides of the line, all over the picture, and tape two that are far apart.");
    }
    if (trace.contrast < low_contrast) {
        remark(trace, "The line hardly stands out from its ground.",
               settings.line.kind == LineKind::edge ? "Lay the template on a ground that is much lighter or darker."
                                                    : "Draw it darker, or use more light from the side.");
    }
}

Point middle_of(const FoundMark& mark) {
    Point sum;
    for (const Point corner : mark.corners_px) sum = sum + 0.25 * corner;
    return sum;
}

/// Marks that lie well by themselves, but not with what was measured between them: then the tape is wrong.
std::optional<TraceProblem> wrong_tape(const Picture& picture, const FoundMarks& marks, const ViewSettings& settings) {
    if (settings.taped.empty()) return std::nullopt;
    ViewSettings without = settings;
    without.taped.clear();
    const auto fitted = fit_view(picture, marks, without);
    const auto* view = std::get_if<View>(&fitted);
    if (view == nullptr) return std::nullopt;
    // Paper and printers stray by this many of their usual scatters at the most.
    constexpr double most_strays = 5.0;
    for (const Taped& taped : settings.taped) {
        const auto find = [&](int id) {
            return std::find_if(marks.marks.begin(), marks.marks.end(), [&](const FoundMark& m) { return m.id == id; });
        };
        const auto a = find(taped.from_mark), b = find(taped.to_mark);
        if (a == marks.marks.end() || b == marks.marks.end()) continue;
        const double apart = distance(view->to_bench(middle_of(*a)), view->to_bench(middle_of(*b)));
        const double stray = std::hypot(settings.print_scale * apart, taped.within_mm);
        if (std::abs(apart - taped.apart_mm) <= most_strays * stray) continue;
        return TraceProblem{fmt::format("Marks {} and {} were measured {:.1f} mm apart; by the picture it is about "
                                        "{:.0f} mm.",
                                        taped.from_mark, taped.to_mark, taped.apart_mm, apart),
                            "Measure again, from the middle of one mark to the middle of the other, and look at the "
                            "numbers of the marks and at the unit.",
                            middle_of(*b)};
    }
    return std::nullopt;
}

}  // namespace

std::variant<Trace, TraceProblem> trace_photo(std::span<const std::uint8_t> file, const PhotoSettings& settings) {
    auto read = read_picture(file);
    if (auto* why = std::get_if<TraceProblem>(&read)) return std::move(*why);
    const Picture& picture = std::get<Picture>(read);
    FoundMarks marks = find_marks(picture);
    if (auto why = wrong_tape(picture, marks, settings.view)) return std::move(*why);
    auto fitted = fit_view(picture, marks, settings.view);
    if (auto* why = std::get_if<TraceProblem>(&fitted)) return std::move(*why);
    const View& view = std::get<View>(fitted);

    LineSettings line_settings = settings.line;
    for (const auto& mark : marks.marks) line_settings.masked_px.push_back(mask_of(mark, settings.line.kind));
    auto found = find_line(picture, line_settings);
    if (auto* why = std::get_if<TraceProblem>(&found)) return std::move(*why);
    FoundLine& line = std::get<FoundLine>(found);

    const double wide_mm = line.width_px * view.mm_per_px(line.points_px[line.points_px.size() / 2]);
    if (settings.line.kind == LineKind::drawn_line && wide_mm > widest_line_mm) {
        return TraceProblem{
            fmt::format("What stands out most is {:.0f} mm wide: a thing on the bench, not a drawn line.", wide_mm),
            "Clear it away, choose both ends of the line, or follow the edge instead.",
            line.points_px[line.points_px.size() / 2]};
    }

    std::vector<Sample> samples;
    samples.reserve(line.points_px.size());
    double length = 0.0;
    for (std::size_t i = 0; i < line.points_px.size(); ++i) {
        const Point px = line.points_px[i], at = view.to_bench(px);
        if (!std::isfinite(at.x) || !std::isfinite(at.y)) {
            return TraceProblem{"The line runs to where the bench cannot be seen.",
                                "Choose both ends of the line on the bench.", px};
        }
        // A pixel across the line is not as long on the bench as one along it, where the camera looks aslant.
        const std::size_t a = i > 0 ? i - 1 : 0, b = std::min(i + 1, line.points_px.size() - 1);
        const Point across = geometry::left_of(line.points_px[b] - line.points_px[a]);
        const double size = norm(across);
        double per_px = view.mm_per_px(px);
        if (size > 0.0) {
            const Point other = view.to_bench(px + across / size);
            const Point along = view.to_bench(line.points_px[b]) - view.to_bench(line.points_px[a]);
            if (norm(along) > 0.0) per_px = std::abs(cross(along, other - at)) / norm(along);
        }
        if (i > 0) length += distance(samples.back().at, at);
        samples.push_back({length, at, line.scatter_px[i] * per_px});
    }
    if (line.closed) length += distance(samples.back().at, samples.front().at);
    if (length < least_length_mm) {
        return TraceProblem{fmt::format("The line is only {:.0f} mm long.", length),
                            "Choose both ends of the line that is meant, or take the picture from closer.",
                            line.points_px.front()};
    }

    Trace trace;
    Nodes nodes = nodes_of(samples, length, line.closed, usual_step_mm(length));
    trace.closed = line.closed;
    // From node to node: the trembling of single places would make it longer.
    trace.length_mm = line.closed ? distance(nodes.points.back(), nodes.points.front()) : 0.0;
    for (std::size_t i = 1; i < nodes.points.size(); ++i)
        trace.length_mm += distance(nodes.points[i - 1], nodes.points[i]);
    trace.step_mm = nodes.step_mm;
    double near = 0.0, overall = 0.0;
    for (const Point at : nodes.points) {
        const PlaceScatter scatter = view.scatter(at);
        near = std::max(near, scatter.near_mm);
        overall = std::max(overall, scatter.overall_mm);
    }
    const double node = mean_scatter_mm(nodes);
    trace.near_mm = std::hypot(in_95 * std::hypot(shared_noise * node, near), unseen_mm);
    trace.overall_mm = std::hypot(in_95_of_worst * overall, trace.near_mm);
    if (!(trace.overall_mm < most_overall_mm)) {
        return TraceProblem{fmt::format("The line lies so far from the marks that its shape is uncertain by {:.0f} mm.",
                                        trace.overall_mm),
                            "Lay strips along the line, on both sides and beyond both ends.", line.points_px.front()};
    }
    trace.usual_wave_mm = usual_wave_mm(nodes, length);
    trace.points = std::move(nodes.points);
    trace.scatter_mm = std::move(nodes.scatter_mm);
    trace.mm_per_px = view.mm_per_px(line.points_px[line.points_px.size() / 2]);
    trace.contrast = line.contrast;
    trace.residual_px = view.residual_px;
    trace.worst_residual_px = view.worst_residual_px;
    trace.remarks = std::move(line.remarks);
    trace.remarks.insert(trace.remarks.end(), view.remarks.begin(), view.remarks.end());
    trace.remarks.insert(trace.remarks.end(), marks.remarks.begin(), marks.remarks.end());
    if (!line.gaps_px.empty()) {
        remark(trace,
               fmt::format("The line was bridged over {} gap{}.", line.gaps_px.size(),
                           line.gaps_px.size() == 1 ? "" : "s"),
               "Look whether it goes on rightly there.", line.gaps_px.front());
    }
    add_remarks(trace, view, settings);
    trace.pictures.push_back({picture.width, picture.height, std::move(line.points_px), line.closed,
                              std::move(marks.marks), std::move(line.free_ends_px), std::move(line.gaps_px)});
    return trace;
}

}  // namespace seamwright::trace
