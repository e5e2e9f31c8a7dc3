#include "feed_map.h"

#include <algorithm>
#include <cmath>

#include "feed_arrows.h"
#include "marks.h"
#include "plan/beside_edge.h"

namespace seamwright::paper {
namespace {

const Stroke piece_line{.width_mm = 0.2, .dash_mm = {}, .grey = 0.3, .colour = {}};
const Stroke clean_line{.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke care_line{.width_mm = 0.7, .dash_mm = {2.0, 1.2}, .grey = 0.0, .colour = {}};
const Stroke tears_line{.width_mm = 1.1, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke tick_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke stroke_line{.width_mm = 0.25, .dash_mm = {}, .grey = 0.0, .colour = {}};

class Map {
  public:
    Map(Drawing& drawing, const plan::RoutedEdge& edge, Point origin, double scale)
        : drawing_(drawing), edge_(edge), origin_(origin), scale_(scale) {}

    Point at(double mm) const { return origin_ + scale_ * edge_.at(mm); }
    Point out(double mm) const { return edge_.out(mm); }

    void stretch(const process::TearStretch& s) {
        const bool tears = s.zone == process::TearZone::tears, care = s.zone == process::TearZone::care;
        along(s.from_mm, s.length_mm, 0.0, tears ? tears_line : care ? care_line : clean_line);
        if (!tears) return;
        // Ticks into the wood, as the fibres tear.
        constexpr double every_mm = 2.2, tick_mm = 2.4;
        for (double x = 0.5 * every_mm; x * 1.0 < s.length_mm * scale_; x += every_mm) {
            const double mm = s.from_mm + x / scale_;
            const Point p = at(mm), inward = -1.0 * out(mm);
            drawing_.paths.push_back(
                straight(p, p + tick_mm * geometry::unit(geometry::heading(inward) + 0.6), tick_line));
        }
    }

    void run(const process::FeedRun& r, std::size_t number) {
        const double off = 4.0 + 3.0 * static_cast<double>(number % 3);
        const bool skim = r.way != process::FeedWay::conventional;
        Stroke stroke = stroke_line;
        if (skim) stroke.dash_mm = {1.0, 0.8};
        along(r.from_mm, r.length_mm, off, stroke);
        const double end = r.along_path ? r.from_mm + r.length_mm : r.from_mm;
        const double before = end + (r.along_path ? -1.0 : 1.0) * std::min(3.0 / scale_, 0.4 * r.length_mm);
        const Point tip = at(end) + off * out(end), tail = at(before) + off * out(before);
        draw_feed_head(drawing_, tip, geometry::heading(tip - tail), r.way, 2.6);
        const double begin = r.along_path ? r.from_mm : r.from_mm + r.length_mm;
        Text text;
        text.at = at(begin) + (off + 1.6) * out(begin) - Point{0.0, 0.9};
        text.text = std::to_string(number);
        text.height_mm = 2.6;
        text.anchor = Text::Anchor::middle;
        text.bold = true;
        drawing_.texts.push_back(std::move(text));
    }

    /// Where a closed edge is measured from.
    void zero() {
        constexpr double tick_mm = 3.0, beyond_mm = 2.2;
        const Point on = at(0.0), inward = -1.0 * out(0.0);
        drawing_.paths.push_back(straight(on, on + tick_mm * inward, stroke_line, "zero"));
        Text text;
        text.text = "0";
        text.height_mm = 2.6;
        text.anchor = Text::Anchor::middle;
        text.at = on + (tick_mm + beyond_mm) * inward - Point{0.0, 0.9};
        drawing_.texts.push_back(std::move(text));
    }

  private:
    /// A line beside the edge, so far out of the wood on the paper.
    void along(double from, double length, double off, const Stroke& stroke) {
        constexpr double step_mm = 2.0;
        const double parts = std::max(1.0, std::ceil(length * scale_ / step_mm));
        std::vector<Point> points;
        for (double k = 0.0; k <= parts; k += 1.0) {
            const double mm = from + length * k / parts;
            const Point p = at(mm) + off * out(mm);
            if (points.empty() || geometry::norm(p - points.back()) > 1e-6) points.push_back(p);
        }
        if (points.size() > 1) drawing_.paths.push_back(drawn(geometry::polyline(points, false), stroke));
    }

    Drawing& drawing_;
    plan::BesideEdge edge_;
    Point origin_;
    double scale_;
};

}  // namespace

void draw_tear_stretches(Drawing& drawing, const plan::RoutedEdge& edge, Point origin, double scale) {
    Map map(drawing, edge, origin, scale);
    for (const auto& stretch : edge.feed.stretches) map.stretch(stretch);
}

Box feed_map_box(const plan::RoutedEdge& edge, const plan::Plan& plan) {
    return geometry::bounding_box(plan.pieces[edge.piece].region.outer);
}

void draw_feed_map(Drawing& drawing, const plan::RoutedEdge& edge, const plan::Plan& plan, Point origin, double scale) {
    const auto placed = [&](const Path& path) { return geometry::moved(geometry::scaled(path, scale), origin); };
    const plan::PiecePlan& piece = plan.pieces[edge.piece];
    drawing.paths.push_back(drawn(placed(piece.region.outer), piece_line));
    for (const Path& hole : piece.region.holes) drawing.paths.push_back(drawn(placed(hole), piece_line));
    Map map(drawing, edge, origin, scale);
    for (const auto& stretch : edge.feed.stretches) map.stretch(stretch);
    for (std::size_t k = 0; k < edge.feed.runs.size(); ++k) map.run(edge.feed.runs[k], k + 1);
    if (edge.edge.closed) map.zero();
}

}  // namespace seamwright::paper
