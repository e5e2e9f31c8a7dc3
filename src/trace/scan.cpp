// Flatbed scans. A scanner's head measures: a pixel is a known part of an inch, square to the glass and the same all
// over it. So one scan is a line in mm at once, and several are laid together over marks that they share.
//
// Error budget (600 pixels per inch, 0.042 mm a pixel):
//   near: a node of 3 mm is the mean of some seventy places of 0.1 to 0.2 px each, below 0.005 mm; the carriage's
//   unsteadiness is larger, a few hundredths of a mm (from memory, common practice): `carriage_mm`.
//   overall: scanners stray by 0.1 to 0.3 % in scale, along and across (from memory, common practice): `scale_part`,
//   one σ; and what the joints let the scans turn against each other, from the fit.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "marks_mask.h"
#include "nodes.h"
#include "scan_join.h"
#include "scan_merge.h"
#include "trace/trace.h"

namespace seamwright::trace {
namespace {

constexpr double mm_per_inch = 25.4;
constexpr double least_per_inch = 75.0, most_per_inch = 4800.0;
constexpr double carriage_mm = 0.02, scale_part = 0.0015;
constexpr double in_95 = 1.96, in_95_of_worst = 2.45;
/// Scatter of a mark's corner in a scan, px, before its own estimate is known to be better.
constexpr double corner_px = 0.1;
/// Marks that measure so much more or less were printed at another size, or the resolution is wrong.
constexpr double remarked_size = 0.006, refused_size = 0.1;
constexpr double least_length_mm = 10.0;
constexpr double coarse_per_inch = 250.0, remarked_apart_mm = 0.15;

struct Scan {
    int width_px = 0, height_px = 0;
    double per_mm_x = 0.0, per_mm_y = 0.0;
    FoundMarks marks;
    FoundLine line;
    Point to_mm(Point px) const { return {px.x / per_mm_x, (height_px - px.y) / per_mm_y}; }
};

std::string of_scan(std::size_t index, std::size_t count) {
    return count == 1 ? std::string() : fmt::format("Scan {}: ", index + 1);
}

/// A side of the marks in mm, mean of all; 0 without marks.
double mark_side(const Scan& scan) {
    double sum = 0.0, n = 0.0;
    for (const auto& mark : scan.marks.marks) {
        for (std::size_t i = 0; i < 4; ++i) {
            sum += distance(scan.to_mm(mark.corners_px[i]), scan.to_mm(mark.corners_px[(i + 1) % 4]));
            n += 1.0;
        }
    }
    return n > 0.0 ? sum / n : 0.0;
}

std::optional<TraceProblem> set_resolution(const Picture& picture, const ScanSettings& settings, Scan& scan) {
    if (settings.per_inch) {
        scan.per_mm_x = scan.per_mm_y = *settings.per_inch / mm_per_inch;
    } else if (picture.per_mm_x && picture.per_mm_y) {
        scan.per_mm_x = *picture.per_mm_x;
        scan.per_mm_y = *picture.per_mm_y;
    } else {
        return TraceProblem{"The file does not say how many pixels it has to the inch.",
                            "Give the resolution that was set on the scanner, or save the scan with it; a photo is not "
                            "a scan.",
                            {}};
    }
    for (const double per_mm : {scan.per_mm_x, scan.per_mm_y}) {
        const double per_inch = per_mm * mm_per_inch;
        if (per_inch >= least_per_inch && per_inch <= most_per_inch) continue;
        return TraceProblem{fmt::format("{:.0f} pixels to the inch {}.", per_inch,
                                        settings.per_inch ? "were given" : "are noted in the file"),
                            fmt::format("Scanners give {:.0f} to {:.0f}; scan at 300 or 600 and give that number. A "
                                        "photo notes 72, which means nothing.",
                                        least_per_inch, most_per_inch),
                            {}};
    }
    return {};
}

std::variant<Scan, TraceProblem> read_scan(std::span<const std::uint8_t> file, const ScanSettings& settings,
                                           std::size_t index, std::size_t count) {
    auto read = read_picture(file);
    if (auto* why = std::get_if<TraceProblem>(&read)) return std::move(*why);
    const Picture& picture = std::get<Picture>(read);
    Scan scan;
    scan.width_px = picture.width;
    scan.height_px = picture.height;
    if (auto why = set_resolution(picture, settings, scan)) return std::move(*why);
    scan.marks = find_marks(picture);
    if (scan.marks.mirrored) {
        return TraceProblem{"The scan is turned over left to right.", "Turn it back, and scan without \"mirror\".", {}};
    }
    LineSettings wanted = settings.line;
    if (index > 0) wanted.start_px.reset();
    if (index + 1 < count) wanted.end_px.reset();
    if (count > 1) wanted.through_px.clear();
    wanted.may_leave = true;
    for (const auto& mark : scan.marks.marks) wanted.masked_px.push_back(mask_of(mark, wanted.kind));
    auto found = find_line(picture, wanted);
    if (auto* why = std::get_if<TraceProblem>(&found)) return std::move(*why);
    scan.line = std::get<FoundLine>(std::move(found));
    return scan;
}

std::optional<TraceProblem> refuse_size(double side) {
    if (side == 0.0 || std::abs(side / mark_mm - 1.0) < refused_size) return {};
    return TraceProblem{
        fmt::format("The marks measure {:.1f} mm by this resolution; they are printed {:.0f} mm wide.", side, mark_mm),
        "Give the resolution that the scan was made with.",
        {}};
}

/// Turn and move scatter; how much a place of that scan scatters by them, σ.
double by_joint(const JoinedScans& joined, std::size_t scan, Point common) {
    const auto& v = joined.spread[scan];
    const Point arm = geometry::left_of(common - joined.places[scan].move);
    const double x = v[0] * arm.x * arm.x + 2.0 * v[1] * arm.x + v[4];
    const double y = v[0] * arm.y * arm.y + 2.0 * v[2] * arm.y + v[8];
    return std::sqrt(std::max(0.0, std::max(x, y)));
}

void remark(Trace& trace, std::string reason, std::string remedy, std::optional<Point> at = {}) {
    trace.remarks.push_back({std::move(reason), std::move(remedy), at});
}

}  // namespace

std::variant<Trace, TraceProblem> trace_scans(std::span<const std::span<const std::uint8_t>> files,
                                              const ScanSettings& settings) {
    if (files.empty() || files.size() > most_scans) {
        return TraceProblem{fmt::format("{} scans were given.", files.size()),
                            fmt::format("Give 1 to {} scans of one line.", most_scans),
                            {}};
    }
    std::vector<Scan> scans;
    std::vector<ScannedMarks> marks(files.size());
    double scatter_mm = 0.0;
    for (std::size_t i = 0; i < files.size(); ++i) {
        auto read = read_scan(files[i], settings, i, files.size());
        auto* why = std::get_if<TraceProblem>(&read);
        std::optional<TraceProblem> problem;
        if (why != nullptr) problem = *why;
        if (!problem) problem = refuse_size(mark_side(std::get<Scan>(read)));
        if (problem) {
            problem->reason = of_scan(i, files.size()) + problem->reason;
            return *problem;
        }
        scans.push_back(std::get<Scan>(std::move(read)));
        const Scan& scan = scans.back();
        for (const auto& mark : scan.marks.marks) {
            ScannedMark scanned{mark.id, {}};
            for (std::size_t c = 0; c < 4; ++c) scanned.corners[c] = scan.to_mm(mark.corners_px[c]);
            marks[i].push_back(scanned);
            scatter_mm = std::max(scatter_mm, std::max(mark.corner_px, corner_px) / scan.per_mm_x);
        }
    }
    auto laid = join_scans(marks, scatter_mm);
    if (auto* why = std::get_if<TraceProblem>(&laid)) return std::move(*why);
    const auto& joined = std::get<JoinedScans>(laid);

    std::vector<ScannedLine> lines;
    for (std::size_t i = 0; i < scans.size(); ++i) {
        ScannedLine line;
        line.closed = scans[i].line.closed;
        line.scatter_mm = scans[i].line.scatter_px;
        for (auto& s : line.scatter_mm) s /= std::min(scans[i].per_mm_x, scans[i].per_mm_y);
        for (const Point px : scans[i].line.points_px) {
            line.points.push_back(joined.places[i].to_common(scans[i].to_mm(px)));
        }
        lines.push_back(std::move(line));
    }
    auto merged = merge_lines(lines);
    if (auto* why = std::get_if<TraceProblem>(&merged)) {
        why->at_px.reset();
        return std::move(*why);
    }
    const auto& whole = std::get<MergedLine>(merged);
    if (whole.length_mm < least_length_mm) {
        return TraceProblem{fmt::format("The line is only {:.0f} mm long.", whole.length_mm),
                            "Choose both ends of the line that is meant.",
                            {}};
    }

    Trace trace;
    Nodes nodes = nodes_of(whole.samples, whole.length_mm, whole.closed, usual_step_mm(whole.length_mm));
    trace.closed = whole.closed;
    trace.length_mm = whole.length_mm;
    trace.step_mm = nodes.step_mm;
    geometry::Box box;
    double joint = 0.0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        for (const Point at : {lines[i].points.front(), lines[i].points.back()}) {
            joint = std::max(joint, by_joint(joined, i, at));
        }
        for (const Point at : lines[i].points) box.add(at);
    }
    // The scale may stray differently along and across, so that the shape changes and not only its size: what a line of
    // this extent can be off from its middle.
    const double scale = scale_part * 0.5 * std::hypot(box.width_mm(), box.height_mm());
    const double node = mean_scatter_mm(nodes);
    trace.near_mm = in_95 * std::hypot(node, carriage_mm, 0.5 * whole.apart_mm);
    trace.overall_mm = std::hypot(in_95 * scale, in_95_of_worst * joint, trace.near_mm);
    trace.usual_wave_mm = usual_wave_mm(nodes, whole.length_mm);
    trace.points = std::move(nodes.points);
    trace.scatter_mm = std::move(nodes.scatter_mm);
    trace.mm_per_px = 1.0 / std::sqrt(scans.front().per_mm_x * scans.front().per_mm_y);
    trace.contrast = scans.front().line.contrast;
    trace.residual_px = joined.residual_mm * scans.front().per_mm_x;
    trace.worst_residual_px = joined.worst_residual_mm * scans.front().per_mm_x;

    const double per_inch = mm_per_inch * std::min(scans.front().per_mm_x, scans.front().per_mm_y);
    if (per_inch < coarse_per_inch) {
        remark(trace, fmt::format("{:.0f} pixels to the inch are coarse.", per_inch), "Scan at 300 or 600.");
    }
    if (whole.apart_mm > remarked_apart_mm) {
        remark(trace, fmt::format("Where scans overlap they differ by {:.2f} mm.", whole.apart_mm),
               "Press the sheet flat on the glass, and fasten the strips so that nothing moves.");
    }
    for (std::size_t i = 0; i < scans.size(); ++i) {
        const double size = mark_side(scans[i]) / mark_mm;
        if (size > 0.0 && std::abs(size - 1.0) > remarked_size) {
            remark(trace,
                   of_scan(i, scans.size()) +
                       fmt::format("The marks measure {:.1f} % of their size: the sheet was printed scaled, or the "
                                   "scanner is off.",
                                   100.0 * size),
                   "Measure something known in the scan, such as a steel rule laid beside the line.");
        }
        for (auto problem : scans[i].line.remarks) {
            problem.reason = of_scan(i, scans.size()) + problem.reason;
            trace.remarks.push_back(std::move(problem));
        }
        for (auto problem : scans[i].marks.remarks) {
            problem.reason = of_scan(i, scans.size()) + problem.reason;
            trace.remarks.push_back(std::move(problem));
        }
        if (!scans[i].line.gaps_px.empty()) {
            remark(trace, of_scan(i, scans.size()) + "The line was bridged over a gap.",
                   "Look whether it goes on rightly there.", scans[i].line.gaps_px.front());
        }
        trace.pictures.push_back({scans[i].width_px, scans[i].height_px, std::move(scans[i].line.points_px),
                                  scans[i].line.closed, std::move(scans[i].marks.marks),
                                  std::move(scans[i].line.free_ends_px), std::move(scans[i].line.gaps_px)});
    }
    return trace;
}

}  // namespace seamwright::trace
