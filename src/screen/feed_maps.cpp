// Strokes lie beside the edge, out of the wood, as the router goes. A drawing is about as many `unit`s wide as the page
// has pixels for it, so marks and numbers are given in these.

#include "feed_maps.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "path_data.h"
#include "plan/beside_edge.h"
#include "plan/wood_look.h"

namespace seamwright::screen {
namespace {

using geometry::Path;
using geometry::Point;
using process::FeedRun;
using process::FeedWay;
using process::TearZone;

constexpr double units_across = 360.0;
constexpr double first_off = 13.0, next_off = 17.0;  ///< of the strokes from the edge
constexpr double number_radius = 7.0;
constexpr double step = 3.0;  ///< along a curve
constexpr double cross_every = 13.0, cross_arm = 3.2;
constexpr double head_length = 8.0, head_half = 3.4;

std::string_view word(TearZone zone) {
    return zone == TearZone::tears ? "tears" : zone == TearZone::care ? "care" : "clean";
}
std::string_view word(FeedWay way) {
    return way == FeedWay::climb_skim ? "climb" : way == FeedWay::conventional_skim ? "skim" : "conventional";
}

std::string line(std::initializer_list<Point> points, bool closed) {
    return path_data(geometry::polyline(std::vector<Point>(points), closed));
}

class Edge {
  public:
    Edge(const plan::RoutedEdge& edge, double unit_mm) : edge_(edge), closed_(edge.edge.closed), unit_(unit_mm) {}

    double length_mm() const { return edge_.length_mm(); }
    double unit_mm() const { return unit_; }

    Point beside(double mm, double off_units) const { return place(mm) + (off_units * unit_) * edge_.out(mm); }

    /// From one place on, so far along the path (against it where less than nought).
    std::string along(double from_mm, double way_mm, double off_units) const {
        const double parts = std::max(1.0, std::ceil(std::abs(way_mm) / (step * unit_)));
        std::vector<Point> points;
        for (double k = 0.0; k <= parts; k += 1.0) {
            const Point p = beside(from_mm + way_mm * k / parts, off_units);
            if (points.empty() || geometry::norm(p - points.back()) > 1e-6) points.push_back(p);
        }
        return points.size() > 1 ? path_data(geometry::polyline(points, false)) : std::string();
    }

    std::string crosses(const process::TearStretch& s) const {
        std::string d;
        const double arm = cross_arm * unit_;
        const double parts = std::max(1.0, std::floor(s.length_mm / (cross_every * unit_)));
        for (double k = 0.5; k < parts; k += 1.0) {
            const Point p = place(s.from_mm + s.length_mm * k / parts);
            for (const double up : {1.0, -1.0}) d += line({p - Point{arm, up * arm}, p + Point{arm, up * arm}}, false);
        }
        return d;
    }

    /// Seen from `tail_mm`, one head at the end of a stroke, or two, one behind the other.
    std::string heads(const FeedRun& run, double off_units) const {
        const double way = run.along_path ? 1.0 : -1.0;
        const double end = run.along_path ? run.from_mm + run.length_mm : run.from_mm;
        std::string d;
        for (int k = 0; k < (run.way == FeedWay::climb_skim ? 2 : 1); ++k) {
            const double tip_mm = end - way * head_length * unit_ * static_cast<double>(k);
            const Point tip = beside(tip_mm, off_units);
            const Point back = beside(tip_mm - way * head_length * unit_, off_units);
            if (geometry::norm(tip - back) < 1e-6) continue;
            const Point across = (head_half * unit_) * geometry::left_of(geometry::unit(geometry::heading(tip - back)));
            d += line({tip, back + across, back - across}, true);
        }
        return d;
    }

  private:
    /// Past an open end a stroke goes straight on.
    Point place(double mm) const {
        const Point p = edge_.at(mm);
        if (closed_) return p;
        const double beyond = mm - std::clamp(mm, 0.0, length_mm());
        return p + beyond * edge_.tangent(mm);
    }

    plan::BesideEdge edge_;
    bool closed_;
    double unit_;
};

/// How far out each stroke lies, so that none is drawn over another.
std::vector<std::size_t> rows_of(const std::vector<FeedRun>& runs, const Edge& edge, bool closed) {
    struct Span {
        double from, to;
    };
    const double apart = 1.5 * number_radius * edge.unit_mm();
    std::vector<std::vector<Span>> rows;
    std::vector<std::size_t> out;
    for (const FeedRun& run : runs) {
        Span mine{run.from_mm - apart, run.from_mm + run.length_mm + apart};
        // Past the place where a closed edge begins: it takes the row for itself.
        if (closed && (mine.from < 0.0 || mine.to > edge.length_mm())) mine = {-1e9, 1e9};
        std::size_t row = 0;
        const auto taken = [&](const std::vector<Span>& spans) {
            return std::any_of(spans.begin(), spans.end(),
                               [&](const Span& s) { return s.from < mine.to && mine.from < s.to; });
        };
        while (row < rows.size() && taken(rows[row])) ++row;
        if (row == rows.size()) rows.emplace_back();
        rows[row].push_back(mine);
        out.push_back(row);
    }
    return out;
}

void write_edge(job::JsonWriter& json, const plan::RoutedEdge& routed, const plan::Plan& plan, double unit_mm,
                geometry::Box& box) {
    const Edge edge(routed, unit_mm);
    json.begin_group();
    json.text("name", plan.seams[routed.seam].name);
    json.begin_list("zones");
    for (const auto& stretch : routed.feed.stretches) {
        json.begin_group();
        json.text("zone", word(stretch.zone));
        json.text("d", edge.along(stretch.from_mm, stretch.length_mm, 0.0));
        json.text("crosses", stretch.zone == TearZone::tears ? edge.crosses(stretch) : std::string());
        json.end_group();
    }
    json.end_list();
    const auto rows = rows_of(routed.feed.runs, edge, routed.edge.closed);
    json.begin_list("strokes");
    for (std::size_t i = 0; i < routed.feed.runs.size(); ++i) {
        const FeedRun& run = routed.feed.runs[i];
        const double off = first_off + next_off * static_cast<double>(rows[i]);
        const double way = run.along_path ? 1.0 : -1.0;
        const double begin = run.along_path ? run.from_mm : run.from_mm + run.length_mm;
        const double after_number = std::min(number_radius * unit_mm, 0.3 * run.length_mm);
        const Point label = edge.beside(begin, off);
        json.begin_group();
        json.count("number", i + 1);
        json.text("way", word(run.way));
        json.text("d", edge.along(begin + way * after_number, way * (run.length_mm - after_number), off));
        json.text("heads", edge.heads(run, off));
        json.point("label", label);
        json.end_group();
        const double reach = off + number_radius + 2.0;
        for (double k = 0.0; k <= 1.0; k += 1.0 / 16.0) box.add(edge.beside(run.from_mm + k * run.length_mm, reach));
        for (const double x : {-1.0, 1.0})
            box.add(label + Point{x * (number_radius + 2.0) * unit_mm, x * (number_radius + 2.0) * unit_mm});
    }
    json.end_list();
    json.end_group();
}

}  // namespace

void write_feed_maps(job::JsonWriter& json, const plan::FeedStudy& feed, const plan::Plan& plan) {
    json.begin_list("feed");
    for (std::size_t p = 0; p < plan.pieces.size(); ++p) {
        const bool routed = std::any_of(feed.edges.begin(), feed.edges.end(),
                                        [&](const plan::RoutedEdge& edge) { return edge.piece == p; });
        if (!routed) continue;
        const plan::PiecePlan& piece = plan.pieces[p];
        geometry::Box box = geometry::bounding_box(piece.region.outer);
        const double unit_mm = std::max(box.width_mm(), box.height_mm()) / units_across;
        json.begin_group();
        json.text("piece", piece.name);
        json.text("wood", plan::wood_look(piece.species));
        json.number("grain_degrees", piece.grain_rad * geometry::degrees_per_radian);
        json.text("outline", path_data(piece.region));
        json.number("unit", unit_mm);
        json.begin_list("edges");
        for (const plan::RoutedEdge& edge : feed.edges)
            if (edge.piece == p) write_edge(json, edge, plan, unit_mm, box);
        json.end_list();
        box = {box.low - Point{unit_mm * 4.0, unit_mm * 4.0}, box.high + Point{unit_mm * 4.0, unit_mm * 4.0}};
        json.numbers("box", {box.low.x, box.low.y, box.high.x, box.high.y});
        json.end_group();
    }
    json.end_list();
}

}  // namespace seamwright::screen
