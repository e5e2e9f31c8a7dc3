#include "trace/as_curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace seamwright::trace {
namespace {

/// Limits of use (our judgement): a drawn line, a board's layout, an edge that has to fit one that exists, high spots.
constexpr double drawing_near_mm = 1.0, drawing_overall_mm = 8.0;
constexpr double boards_overall_mm = 10.0;
constexpr double fitting_near_mm = 0.2, fitting_overall_mm = 0.5;
constexpr double spots_near_mm = 0.05;

bool runs_backwards(const std::vector<Point>& points) {
    const Point way = points.back() - points.front();
    return std::abs(way.x) >= std::abs(way.y) ? way.x < 0.0 : way.y < 0.0;
}

}  // namespace

curves::Traced as_curve(const Trace& trace, const TracedFile& file) {
    curves::Traced out;
    out.points = trace.points;
    out.scatter_mm = trace.scatter_mm;
    out.closed = trace.closed;
    out.wave_mm = trace.usual_wave_mm;
    geometry::Box box;
    for (const Point p : out.points) box.add(p);
    const Point middle = box.empty() ? Point{} : geometry::midpoint(box.low, box.high);
    for (Point& p : out.points) p = p - middle;
    if (!out.closed && out.points.size() > 1 && runs_backwards(out.points)) {
        std::reverse(out.points.begin(), out.points.end());
        std::reverse(out.scatter_mm.begin(), out.scatter_mm.end());
    }
    curves::Traced::Source source;
    source.scan = file.scan;
    source.picture = file.name;
    source.sha256 = file.sha256;
    if (!trace.pictures.empty()) {
        source.width_px = trace.pictures.front().width_px;
        source.height_px = trace.pictures.front().height_px;
    }
    for (const Overlay& picture : trace.pictures) source.marks += static_cast<int>(picture.marks.size());
    source.mm_per_px = trace.mm_per_px;
    source.residual_px = trace.residual_px;
    source.worst_residual_px = trace.worst_residual_px;
    source.near_mm = trace.near_mm;
    source.overall_mm = trace.overall_mm;
    out.source = std::move(source);
    return out;
}

std::vector<TraceUse> uses_of(double near_mm, double overall_mm, bool scan) {
    std::vector<TraceUse> uses;
    const auto add = [&](bool good, const char* yes, const char* no) { uses.push_back({good, good ? yes : no}); };
    add(near_mm <= drawing_near_mm && overall_mm <= drawing_overall_mm, "Good for taking over a drawn line.",
        "Too coarse even for taking over a drawn line: take the picture again.");
    add(overall_mm <= boards_overall_mm, "Good for laying out boards.", "Too coarse for laying out boards.");
    add(near_mm <= fitting_near_mm && overall_mm <= fitting_overall_mm,
        "Good for an edge that has to fit one that exists.",
        "Not for an edge that has to fit one that exists: copy that one with the router.");
    add(scan && near_mm <= spots_near_mm, "Good for finding high spots of a few hundredths of a millimetre.",
        "Not for finding high spots: scan the edge in strips on a flatbed at 600 pixels an inch or more, or go along "
        "it "
        "with a dial gauge.");
    return uses;
}

}  // namespace seamwright::trace
