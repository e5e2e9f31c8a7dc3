#include "feed_arrows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/path_index.h"
#include "marks.h"
#include "plan/beside_edge.h"

namespace seamwright::paper {
namespace {

using process::FeedRun;
using process::FeedWay;

constexpr double head_mm = 3.0;
constexpr double shaft_mm = 15.0;  // of an arrow, head and all
constexpr double arrow_every_mm = 110.0;
constexpr double number_mm = 2.6;  // heights of texts
constexpr double word_mm = 2.2;
constexpr double arrow_wide_mm = 2.6;
constexpr double clear_mm = 0.6;
constexpr double first_lane_mm = 3.0, lane_step_mm = 1.4;
constexpr double mark_radius_mm = 1.2;

Stroke shaft_of(FeedWay way) {
    Stroke stroke{.width_mm = 0.45, .dash_mm = {}, .grey = 0.0, .colour = {}};
    if (way != FeedWay::conventional) stroke.dash_mm = {1.6, 1.0};
    return stroke;
}
const Stroke mark_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};

/// Two lines that meet at the tip.
DrawnPath open_head(Point tip, double heading_rad, double length_mm) {
    constexpr double half_angle = 0.45;
    const Point a = tip - length_mm * geometry::unit(heading_rad + half_angle);
    const Point b = tip - length_mm * geometry::unit(heading_rad - half_angle);
    const Point points[] = {a, tip, b};
    return drawn(geometry::polyline(points, false), mark_line);
}

class Edge {
  public:
    Edge(Drawing& drawing, Placer& placer, const plan::RoutedEdge& edge, const Box& box, const std::string& named,
         double past_end_mm)
        : drawing_(drawing),
          placer_(placer),
          edge_(edge),
          box_(box),
          named_(named),
          past_end_mm_(past_end_mm),
          along_(edge),
          index_(edge.edge) {}

    void draw() {
        // Backings first: their place is given.
        for (std::size_t i = 0; i < edge_.feed.exits.size(); ++i) backing(edge_.feed.exits[i], i + 1);
        for (std::size_t i = 0; i < edge_.feed.runs.size(); ++i) stroke(edge_.feed.runs[i], i + 1);
    }

  private:
    /// Beyond the ends of an open edge straight on.
    Point beside(double mm, double lane_mm) const {
        const double on = edge_.edge.closed ? 0.0 : mm - std::clamp(mm, 0.0, along_.length_mm());
        return along_.at(mm - on) + on * along_.tangent(mm - on) + lane_mm * along_.out(mm - on);
    }
    bool at_an_end(double mm) const {
        constexpr double near_mm = 0.5;
        return !edge_.edge.closed && (mm < near_mm || mm > along_.length_mm() - near_mm);
    }
    /// Past an end of the edge the cutter is clear of the wood; away from the ends the stroke begins on the wood.
    double mark_at(double mm) const {
        return !at_an_end(mm) ? mm : mm < 0.5 * along_.length_mm() ? mm - past_end_mm_ : mm + past_end_mm_;
    }

    bool free(const Patch& patch) const {
        const Path outline = patch.outline(clear_mm);
        for (const auto& segment : outline.segments) {
            const Point corner = geometry::point_at(segment, 0.0);
            if (corner.x < box_.low.x || corner.x > box_.high.x || corner.y < box_.low.y || corner.y > box_.high.y)
                return false;
        }
        // In a hollow what lies beside one stretch may lie on the wood of another.
        return placer_.free(patch, clear_mm) && !index_.any_nearer_than(patch.centre, 0.5 * patch.height_mm);
    }

    /// Along the lane from a to b, either of them the larger.
    Path lane(double a, double b, double lane_mm) const {
        constexpr int parts = 6;
        std::vector<Point> points;
        for (int i = 0; i <= parts; ++i) points.push_back(beside(a + (b - a) * i / parts, lane_mm));
        return geometry::polyline(points, false);
    }

    /// A text along the lane with its middle there, where it is free.
    bool put(const std::string& says, double height_mm, bool bold, double at_mm, double lane_mm) {
        Text text;
        text.text = says;
        text.height_mm = height_mm;
        text.bold = bold;
        Patch patch = patch_for(text);
        patch.centre = beside(at_mm, lane_mm);
        patch.turn_rad = reading_turn(geometry::heading(along_.tangent(at_mm)));
        if (!free(patch)) return false;
        drawing_.texts.push_back(centred(std::move(text), patch));
        placer_.add(patch);
        return true;
    }

    /// One arrow that begins at `from`, its number before it. False where there is no room in that lane.
    bool arrow(const FeedRun& run, std::size_t number, double from_mm, double long_mm, double lane_mm) {
        const double sign = run.along_path ? 1.0 : -1.0;
        Text text;
        text.text = named_ + std::to_string(number);
        text.height_mm = number_mm;
        text.bold = true;
        Patch figure = patch_for(text);
        const double before = figure.width_mm + 1.0;
        const double middle = from_mm + sign * 0.5 * (before + long_mm);
        Patch whole{beside(middle, lane_mm), before + long_mm, std::max(arrow_wide_mm, figure.height_mm),
                    geometry::heading(along_.tangent(middle))};
        // So far from a word before or after it that the two are not read together.
        constexpr double apart_mm = 4.0;
        Patch with_air = whole;
        with_air.width_mm += 2.0 * apart_mm;
        if (!free(with_air)) return false;
        const double number_at = from_mm + sign * 0.5 * figure.width_mm;
        figure.centre = beside(number_at, lane_mm);
        figure.turn_rad = reading_turn(geometry::heading(along_.tangent(number_at)));
        drawing_.texts.push_back(centred(std::move(text), figure));
        const double tail = from_mm + sign * before;
        draw_feed_arrow(drawing_, lane(tail, tail + sign * long_mm, lane_mm), run.way,
                        fmt::format("feed-arrow-{}", number));
        placer_.add(whole);
        return true;
    }

    /// The first lane in which `drawn_in` finds room, the nearest to the edge first.
    template <class DrawnIn>
    static bool nearest_lane(const DrawnIn& drawn_in) {
        for (double lane_mm = first_lane_mm; lane_mm < feed_band_mm - arrow_wide_mm; lane_mm += lane_step_mm)
            if (drawn_in(lane_mm)) return true;
        return false;
    }

    void stroke(const FeedRun& run, std::size_t number) {
        const double sign = run.along_path ? 1.0 : -1.0;
        const double begin = run.along_path ? run.from_mm : run.from_mm + run.length_mm;
        const double end = begin + sign * run.length_mm;
        const double long_mm = std::min(shaft_mm, std::max(2.0 * head_mm, run.length_mm - 8.0));
        place_mark(mark_at(begin), at_an_end(begin) ? -sign : sign, 2.0 * mark_radius_mm,
                   [&](double at_mm, double lane_mm) {
                       draw_set_in(drawing_, beside(at_mm, lane_mm), fmt::format("feed-set-in-{}", number));
                   });
        const auto count = std::max(1, static_cast<int>(std::lround(run.length_mm / arrow_every_mm)));
        const double each = run.length_mm / count;
        for (int i = 0; i < count; ++i) {
            const double wanted = i == 0 ? std::min(4.0, 0.2 * each) : i * each;
            bool placed = false;
            // Forward along the stroke, until the next arrow's place begins.
            for (double on = wanted; !placed && on < wanted + 0.8 * each; on += 6.0) {
                if (on > wanted && on + long_mm + 5.0 > run.length_mm) break;
                placed = nearest_lane([&](double lane_mm) {
                    // What is near beats what is far only by so much: a later place in the first lanes is better.
                    if (on < wanted + 0.4 * each && lane_mm > 12.0) return false;
                    return arrow(run, number, begin + sign * on, long_mm, lane_mm);
                });
            }
        }
        const std::string words = run.way == FeedWay::conventional ? "" : plan::words::way_text(run.way);
        if (!words.empty()) {
            bool placed = false;
            for (const double part : {0.5, 0.35, 0.65, 0.2, 0.8, 0.0, 1.0})
                placed = placed || nearest_lane([&](double lane_mm) {
                             return put(words, word_mm, run.way == FeedWay::climb_skim,
                                        begin + sign * part * run.length_mm, lane_mm);
                         });
        }
        // A stroke all the way round is lifted out where it was set in.
        if (run.from_mm == run.to_mm) return;
        // The bar, and before it the number of the stroke that ends there.
        Text text;
        text.text = named_ + std::to_string(number);
        text.height_mm = word_mm;
        text.bold = true;
        const double figure_mm = patch_for(text).width_mm;
        const double wide_mm = figure_mm + 2.4;
        const double off = at_an_end(end) ? 0.5 * wide_mm : -0.5 * wide_mm;
        place_mark(mark_at(end) + sign * off, at_an_end(end) ? sign : -sign, wide_mm,
                   [&](double at_mm, double lane_mm) {
                       const double bar_mm = at_mm + sign * (0.5 * wide_mm - 0.6);
                       draw_lift_out(drawing_, beside(bar_mm, lane_mm), geometry::heading(along_.tangent(bar_mm)),
                                     fmt::format("feed-lift-out-{}", number));
                       const double figure_at = at_mm - sign * (0.5 * wide_mm - 0.5 * figure_mm);
                       Patch patch = patch_for(text);
                       patch.centre = beside(figure_at, lane_mm);
                       patch.turn_rad = reading_turn(geometry::heading(along_.tangent(figure_at)));
                       drawing_.texts.push_back(centred(text, patch));
                   });
    }

    /// A small mark at that place of the edge, or a little inside the stroke.
    template <class Draw>
    void place_mark(double at_mm, double inward, double wide_mm, const Draw& draw_at) {
        for (const double by : {0.0, 2.5, 5.0, 7.5, 10.0, 15.0, 20.0, 27.0}) {
            const double mm = at_mm + inward * by;
            const bool placed = nearest_lane([&](double lane_mm) {
                const Patch patch{beside(mm, lane_mm), wide_mm, 2.0 * mark_radius_mm,
                                  geometry::heading(along_.tangent(mm))};
                if (lane_mm > (by < 9.0 ? first_lane_mm + lane_step_mm : 20.0) || !free(patch)) return false;
                draw_at(mm, lane_mm);
                placer_.add(patch);
                return true;
            });
            if (placed) return;
        }
    }

    void backing(const process::ExitCorner& corner, std::size_t number) {
        const double at = corner.at_mm;
        const bool first = at < 0.5 * along_.length_mm();
        const Point along = (corner.at_end && first ? -1.0 : 1.0) * along_.tangent(at);
        const Point out_of_wood = along_.out(at);
        const Point towards = corner.at_end ? along : out_of_wood;
        const double turn = geometry::heading(along);
        const double deep = corner.at_end ? 0.5 * backing_long_mm : 0.5 * backing_wide_mm;
        const Point from = along_.at(at);
        // Where a line crosses every place the first is taken: the block stands where the teeth leave.
        Patch found{from + (deep + 1.4) * towards, backing_long_mm, backing_wide_mm, turn};
        for (const double aside : {0.0, -2.0, 2.0, -4.0}) {
            Patch tried = found;
            tried.centre = from + (deep + 1.4) * towards + aside * (corner.at_end ? out_of_wood : along);
            if (!free(tried)) continue;
            found = tried;
            break;
        }
        draw_backing(drawing_, found.centre, turn, fmt::format("feed-backing-{}", number));
        placer_.add(found);
        Text text;
        text.text = "backing";
        text.height_mm = word_mm;
        Patch patch = patch_for(text);
        patch.turn_rad = reading_turn(turn);
        for (const double side : {1.0, -1.0}) {
            for (const double off : {0.0, 1.5, 4.0}) {
                patch.centre = found.centre + side * (0.5 * (backing_wide_mm + patch.height_mm) + 1.0 + off) *
                                                  geometry::left_of(geometry::unit(turn));
                if (!free(patch)) continue;
                drawing_.texts.push_back(centred(std::move(text), patch));
                placer_.add(patch);
                return;
            }
        }
    }

    Drawing& drawing_;
    Placer& placer_;
    const plan::RoutedEdge& edge_;
    Box box_;
    std::string named_;
    double past_end_mm_;
    plan::BesideEdge along_;
    geometry::PathIndex index_;
};

}  // namespace

void draw_feed_head(Drawing& drawing, Point tip, double heading_rad, process::FeedWay way, double length_mm) {
    if (way != FeedWay::climb_skim) {
        drawing.paths.push_back(arrow_head(tip, heading_rad, length_mm));
        return;
    }
    drawing.paths.push_back(open_head(tip, heading_rad, 0.8 * length_mm));
    drawing.paths.push_back(
        open_head(tip - 0.6 * length_mm * geometry::unit(heading_rad), heading_rad, 0.8 * length_mm));
}

void draw_feed_arrow(Drawing& drawing, const Path& shaft, process::FeedWay way, const std::string& id) {
    drawing.paths.push_back(drawn(shaft, shaft_of(way), id));
    draw_feed_head(drawing, shaft.end(),
                   geometry::heading(geometry::tangent_at(shaft, {shaft.segments.size() - 1, 1.0})), way, head_mm);
}

void draw_set_in(Drawing& drawing, Point at, const std::string& id) {
    drawing.paths.push_back(drawn(geometry::circle(at, mark_radius_mm), mark_line, id));
}

void draw_lift_out(Drawing& drawing, Point at, double heading_rad, const std::string& id) {
    const Point across = mark_radius_mm * geometry::left_of(geometry::unit(heading_rad));
    Stroke heavy = mark_line;
    heavy.width_mm = 0.7;
    drawing.paths.push_back(straight(at - across, at + across, heavy, id));
}

void draw_backing(Drawing& drawing, Point middle, double turn_rad, const std::string& id, double scale) {
    const Patch block{middle, scale * backing_long_mm, scale * backing_wide_mm, turn_rad};
    DrawnPath path = drawn(block.outline(), mark_line, id);
    path.fill.hatch_spacing_mm = 1.6;
    path.fill.hatch_angle_rad = turn_rad + 0.25 * geometry::pi;
    drawing.paths.push_back(std::move(path));
}

void draw_feed_arrows(Drawing& drawing, Placer& placer, const plan::RoutedEdge& edge, const Box& box,
                      const std::string& named, double past_end_mm) {
    Edge(drawing, placer, edge, box, named, past_end_mm).draw();
}

}  // namespace seamwright::paper
