#include "outline_templates.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "geometry/parallel.h"
#include "template_marks.h"
#include "templates.h"

namespace seamwright::plan {
namespace {

using geometry::Side;

// A tab at the end of each leg of a corner template, beyond the finished side; the fence under it lies against that
// side and stops short of the guide's way (our choice).
constexpr double tab_long_mm = 40.0, tab_out_mm = 25.0;
constexpr double fence_from_mm = 6.0, fence_to_mm = 36.0, fence_out_mm = 18.0;
/// Centre lines run so far into a template from its edge.
constexpr double tick_mm = 25.0;

Point tangent_at_end(const Path& path) {
    return geometry::tangent_at(path.segments.back(), 1.0);
}
Point tangent_at_start(const Path& path) {
    return geometry::tangent_at(path.segments.front(), 0.0);
}

/// A quadrilateral standing on a line from `from` along it, and so far out of it.
Path standing(Point from, Point along, Point out, double from_mm, double to_mm, double out_mm) {
    const Point corners[] = {from + from_mm * along, from + from_mm * along + out_mm * out,
                             from + to_mm * along + out_mm * out, from + to_mm * along};
    const Path path = geometry::polyline(corners, true);
    return geometry::area_mm2(path) < 0.0 ? geometry::reversed(path) : path;
}

/// Empty where it cannot be computed: nothing is made from this line.
Path outside(const Path& line, double by_mm) {
    try {
        const auto rough = geometry::parallel(line, Side::right, by_mm);
        return rough.paths.empty() ? Path{} : geometry::main_path(rough.paths);
    } catch (const std::runtime_error&) {
        return {};
    }
}

}  // namespace

Path OutlineCorner::finished() const {
    // Two roundings may leave nothing of a side between them.
    constexpr double nothing_mm = 1e-6;
    Path out;
    if (leg_before_mm > nothing_mm) {
        out = geometry::part(before, rounding.before_mm - leg_before_mm, rounding.before_mm);
        out.segments.back().end = rounding.arc.start;
    }
    out.segments.push_back(rounding.arc);
    if (leg_after_mm > nothing_mm) {
        Path leg = geometry::part(after, rounding.after_mm, rounding.after_mm + leg_after_mm);
        leg.segments.front().start = rounding.arc.end;
        geometry::append(out, leg);
    }
    return out;
}

TemplatePlan OutlineTemplates::sheet(const OutlineCut& cut, const Path& finished, double run_out_mm,
                                     std::string title) const {
    TemplatePlan t;
    t.title = std::move(title);
    t.seam = "outline";
    t.hand = "left";
    t.master = true;
    t.body_on_left = true;
    t.seam_line = finished;
    const bool routed = cut.tools && cut.made.carried_out;
    t.edge = routed ? cut.made.template_edge : geometry::extended(finished, run_out_mm, run_out_mm);
    if (routed) {
        t.offset_mm = cut.tools->offset_mm();
        t.nominal_n_mm = -t.offset_mm;
        t.rides = cut.tools->rider + ", " + cut.tools->cutter;
    }
    t.rough_cut = outside(geometry::extended(finished, run_out_mm, run_out_mm), job_.limits.reveal_mm);
    t.body = template_body(t.edge, true, job_.sheet.body_mm);
    t.registration = registration_marks(t, job_.sheet, plan_.outline);
    t.fastening = fastening_points(t, job_.sheet, plan_.outline);
    return t;
}

OutlineTemplate OutlineTemplates::side(const OutlineCut& cut, std::vector<Path> beside) const {
    OutlineTemplate out;
    const bool whole = cut.line.closed;
    out.sheet = sheet(cut, cut.line, whole ? 0.0 : job_.sheet.run_out_mm,
                      whole ? std::string("Outline, whole template") : fmt::format("Outline, {} template", cut.name));
    out.beside = std::move(beside);
    if (whole) {
        out.says.push_back(fmt::format("Check: the finished line is {} long over all and {} wide.",
                                       show(plan_.box.width_mm()), show(plan_.box.height_mm())));
        return out;
    }
    out.says.push_back(fmt::format("Check: between its two corners {}, straight across.", show(cut.chord_mm)));
    for (const StandsOut& check : cut.checks) {
        if (check.part != 0.5) continue;
        out.says.push_back(fmt::format("Half way, the finished line lies {} {} of that straight line.",
                                       show(std::abs(check.by_mm)), check.by_mm >= 0.0 ? "outside" : "inside"));
    }
    return out;
}

OutlineTemplate OutlineTemplates::half(const OutlineCut& cut, std::optional<double> focus_mm) const {
    OutlineTemplate out;
    out.sheet = sheet(cut, cut.line, job_.sheet.run_out_mm, "Outline, half template");
    const auto running = geometry::running_length_mm(cut.line);
    for (const double part : {0.0, 0.5, 1.0}) {
        const auto station = geometry::station_at(cut.line, running, part * running.back());
        const Point p = geometry::point_at(cut.line, station);
        const Point into = geometry::left_of(geometry::tangent_at(cut.line, station));
        out.ticks.push_back({geometry::line(p, p + (out.sheet.offset_mm + tick_mm) * into), "centre line"});
    }
    out.says.push_back("Used twice, turned end for end; its centre lines lie on those of the top.");
    out.says.push_back(focus_mm ? "A quarter of it does too: used four times, face up and face down by turns."
                                : "A quarter of it does too, used four times.");
    out.says.push_back(fmt::format("Check: {} straight across between the centre lines.",
                                   show(geometry::distance(cut.line.start(), cut.line.end()))));
    return out;
}

OutlineTemplate OutlineTemplates::corner(const OutlineCut& cut, const OutlineCorner& corner,
                                         const std::vector<std::string>& uses) const {
    OutlineTemplate out;
    const Path finished = corner.finished();
    out.sheet = sheet(
        cut, finished, 0.0,
        uses.size() > 1 ? std::string("Outline, corner template") : fmt::format("Outline, {} template", cut.name));
    TemplatePlan& t = out.sheet;
    const Point a = finished.start(), b = finished.end();
    const Point along_a = -1.0 * tangent_at_start(finished), along_b = tangent_at_end(finished);
    const Point out_a = geometry::left_of(along_a), out_b = geometry::right_of(along_b);
    // Its sides are cut already: only the curve is sawn.
    Path arc;
    arc.segments.push_back(corner.rounding.arc);
    t.rough_cut = outside(arc, job_.limits.reveal_mm);
    // Round the block: the working edge, a tab, the back, a tab.
    const Point sharp = corner.before.end();
    const Point far_a = a + tab_long_mm * along_a, far_b = b + tab_long_mm * along_b;
    const Point corners[] = {
        t.edge.end(), b + tab_out_mm * out_b,     far_b + tab_out_mm * out_b, far_b,         far_a + far_b - sharp,
        far_a,        far_a + tab_out_mm * out_a, a + tab_out_mm * out_a,     t.edge.start()};
    t.body = t.edge;
    geometry::append(t.body, geometry::polyline(corners));
    t.body.closed = true;
    out.fences = {standing(a, along_a, out_a, fence_from_mm, fence_to_mm, fence_out_mm),
                  standing(b, along_b, out_b, fence_from_mm, fence_to_mm, fence_out_mm)};
    // One place behind the arc is enough for a part so small.
    const Point middle = geometry::point_at(corner.rounding.arc, 0.5);
    const Point into = geometry::left_of(geometry::tangent_at(corner.rounding.arc, 0.5));
    t.registration.clear();
    t.fastening = {middle + (0.5 * geometry::distance(far_a + far_b - sharp, sharp)) * into};
    const double before_mm = corner.rounding.before_mm - corner.leg_before_mm;
    const double after_mm = corner.rounding.after_mm + corner.leg_after_mm;
    if (before_mm > 0.0) out.beside.push_back(geometry::part(corner.before, 0.0, before_mm));
    if (after_mm < geometry::length_mm(corner.after))
        out.beside.push_back(geometry::part(corner.after, after_mm, geometry::length_mm(corner.after)));
    std::string where;
    for (std::size_t i = 0; i < uses.size(); ++i)
        where += (i == 0 ? "" : i + 1 == uses.size() ? " and " : ", ") + uses[i];
    out.says.push_back(fmt::format("For the {}: radius {}.", where, show(corner.radius_mm)));
    if (t.offset_mm > 0.0)
        out.says.push_back(fmt::format("Radius of this edge: {}, less by the offset.",
                                       show(std::max(0.0, corner.radius_mm - t.offset_mm))));
    out.says.push_back("Glue a fence under each tab, its face on the finished line: they lie against the cut sides.");
    return out;
}

}  // namespace seamwright::plan
