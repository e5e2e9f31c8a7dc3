#include "template_marks.h"

#include <algorithm>
#include <cmath>

#include "geometry/path_index.h"

namespace seamwright::plan {
namespace {

using geometry::PathIndex;
using geometry::Side;

/// Kept free behind the edge, so that neither cutter nor guide comes near a screw (our choice).
constexpr double clear_of_edge_mm = 40.0;
/// Kept between a fastening point and the back of the template, so that the sheet does not split (our choice).
constexpr double clear_of_back_mm = 20.0;
/// Best depth of a fastening point as a part of the body's width: behind most of the router's base, which slides over
/// the body (our choice).
constexpr double part_of_body = 0.6;
/// About one fastening point in so much of the edge (our choice).
constexpr double fasten_every_mm = 200.0;
/// Registration marks lie so far behind the edge, or in the middle of a narrower body.
constexpr double mark_depth_mm = 30.0;
/// Registration marks round a closed edge.
constexpr int quarters = 4;

/// Walks along the edge and steps into the body.
class Walk {
  public:
    explicit Walk(const TemplatePlan& t) : t_(t), running_mm_(geometry::running_length_mm(t.edge)) {}

    double length_mm() const { return running_mm_.back(); }
    Point into_body(double at_mm, double depth_mm) const {
        const auto station = geometry::station_at(t_.edge, running_mm_, at_mm);
        const Point tangent = geometry::tangent_at(t_.edge, station);
        const Point into = t_.body_on_left ? geometry::left_of(tangent) : geometry::right_of(tangent);
        return geometry::point_at(t_.edge, station) + depth_mm * into;
    }

  private:
    const TemplatePlan& t_;
    std::vector<double> running_mm_;
};

}  // namespace

std::vector<Point> registration_marks(const TemplatePlan& t, const job::TemplateSheet& sheet, const Path& outline) {
    const Walk walk(t);
    const double depth_mm = std::min(mark_depth_mm, 0.5 * sheet.body_mm);
    std::vector<Point> marks;
    if (t.edge.closed) {
        for (int i = 0; i < quarters; ++i) marks.push_back(walk.into_body(walk.length_mm() * i / quarters, depth_mm));
        return marks;
    }
    const PathIndex wood(outline);
    for (const bool first : {true, false}) {
        Point mark;
        // Where the end of the top is slanted the wood may reach under the run-out: then nearer to the end.
        for (const double part : {0.5, 0.25, 0.1}) {
            const double in_mm = part * sheet.run_out_mm;
            mark = walk.into_body(first ? in_mm : walk.length_mm() - in_mm, depth_mm);
            if (!wood.contains(mark)) break;
        }
        marks.push_back(mark);
    }
    return marks;
}

std::vector<Point> fastening_points(const TemplatePlan& t, const job::TemplateSheet& sheet, const Path& outline) {
    const Walk walk(t);
    const Path& blank_edge = t.body.empty() ? t.edge : t.body;
    const PathIndex edge(t.edge), blank(blank_edge), wood(outline);
    const bool ring = t.edge.closed && !t.body.empty();
    const double deepest_mm = std::max(0.5 * sheet.body_mm, sheet.body_mm - clear_of_back_mm);
    const double best_mm = std::min(deepest_mm, std::max(clear_of_edge_mm, part_of_body * sheet.body_mm));
    const double least_mm = std::min(clear_of_edge_mm, 0.5 * sheet.body_mm);
    const double margin_mm =
        t.edge.closed ? 0.0 : std::min(sheet.run_out_mm + clear_of_back_mm, 0.25 * walk.length_mm());
    const double span_mm = walk.length_mm() - 2.0 * margin_mm;
    // Round a closed edge a multiple of the registration marks, and half a gap on from them: they never meet.
    const int gaps = t.edge.closed
                         ? quarters * std::max(1, static_cast<int>(std::lround(span_mm / (quarters * fasten_every_mm))))
                         : std::max(1, static_cast<int>(std::lround(span_mm / fasten_every_mm)));
    const double shift = t.edge.closed ? 0.5 : 0.0;
    const auto good = [&](Point p, double from_edge_mm, bool over_wood) {
        return blank.contains(p) && !(ring && edge.contains(p)) && !edge.any_nearer_than(p, from_edge_mm) &&
               (!over_wood || wood.contains(p));
    };
    // A little less than the depth itself: rounding must not refuse a point that lies exactly so deep.
    constexpr double nearly = 0.999;
    const auto find = [&](bool over_wood) {
        std::vector<Point> points;
        const int last = t.edge.closed ? gaps - 1 : gaps;
        for (int i = 0; i <= last; ++i) {
            const double at_mm = margin_mm + span_mm * (i + shift) / gaps;
            for (const double depth_mm : {best_mm, 0.5 * (best_mm + least_mm), least_mm}) {
                const Point p = walk.into_body(at_mm, depth_mm);
                if (!good(p, nearly * least_mm, over_wood)) continue;
                points.push_back(p);
                break;
            }
        }
        return points;
    };
    auto points = find(true);
    // Two at least, or the template can turn. A narrow piece leaves too few over its wood: then packing is needed
    // under the rest of the body.
    if (points.size() < 2) points = find(false);
    return points;
}

}  // namespace seamwright::plan
