#include "paper/edge_parts_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "marks.h"
#include "plan/rough_cut_study.h"
#include "plan/words.h"
#include "scale.h"
#include "text_pages.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

const Stroke finished_line{.width_mm = 0.40, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke joint_line{.width_mm = 0.30, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke seam_line{.width_mm = 0.25, .dash_mm = {2.0, 1.0}, .grey = 0.0, .colour = {}};
const Stroke thin_line{.width_mm = 0.15, .dash_mm = {}, .grey = 0.35, .colour = {}};
const Stroke board_line{.width_mm = 0.25, .dash_mm = {1.2, 0.8}, .grey = 0.0, .colour = {}};

Text middle_text(Point at, std::string text, double height_mm, bool bold = false) {
    return {{at.x, at.y - 0.35 * height_mm}, std::move(text), height_mm, 0.0, Text::Anchor::middle, bold};
}

class Pages : TextPages {
  public:
    Pages(const SheetSize& sheet, const plan::Plan& plan, const job::Job& job, const shelf::Shelf& shelf)
        : TextPages(sheet, "Edging and build-up", plan.name), plan_(plan), job_(job), shelf_(shelf) {}

    std::vector<Drawing> pages(const plan::MovementStudy& movement, const plan::BuildUpStudy* build_up) {
        bool first = true;
        for (const plan::SegmentedEdging& edging : plan_.edgings) {
            if (edging.ring.segments.empty()) continue;
            if (!first) new_page();
            first = false;
            ring(edging);
            segment(edging);
            segments_table(edging);
            for (const auto& told : plan::words::edging_text(edging, plan_, job_, movement)) part(told);
        }
        if (build_up != nullptr) {
            if (!first) new_page();
            from_above(*build_up);
            for (std::size_t e = 0; e < build_up->edges.size(); ++e) edge(*build_up, e);
            parts_table(*build_up);
            for (const auto& told : plan::words::build_up_text(*build_up, plan_, job_, shelf_)) part(told);
        }
        return finish();
    }

  private:
    /// A drawing of something at 1 : n, its (0, 0) at `origin`.
    struct View {
        double scale = 1.0;
        Point origin;
        Point at(Point p) const { return origin + 1.0 / scale * p; }
        Path path(const Path& p) const { return geometry::moved(geometry::scaled(p, 1.0 / scale), origin); }
    };

    std::string show(double mm) const { return units::show(mm, job_.style); }
    static std::string degrees(double rad) { return fmt::format("{:.2f}°", rad * geometry::degrees_per_radian); }

    /// Room for a box of the top below a title with its scale, in the middle of the sheet.
    View view_of(const Box& box, double highest_mm, double around_mm, const std::string& title) {
        const double scale = scale_for(
            std::max(box.width_mm() / (width_mm() - 2.0 * around_mm), box.height_mm() / highest_mm), job_.style.unit);
        const double high = box.height_mm() / scale + 2.0 * around_mm;
        need(high + 10.0);
        down(5.0);
        put(fmt::format("{}. Scale 1 : {:g}.", title, scale), {margin_mm, y()}, 3.6, true);
        down(1.0);
        const Point corner{margin_mm + 0.5 * (width_mm() - box.width_mm() / scale), y() - high + around_mm};
        down(high);
        return {scale, corner - 1.0 / scale * box.low};
    }

    void number(Point at, std::size_t n, double height_mm = 3.4) {
        Text text = middle_text(at, fmt::format("{}", n), height_mm, true);
        const Box box = text_box(text);
        page().paths.push_back(ground(geometry::rectangle(box.low - Point{0.5, 0.3}, box.high + Point{0.5, 0.3})));
        page().texts.push_back(std::move(text));
    }

    // A ring.

    void ring(const plan::SegmentedEdging& edging) {
        const auto& segments = edging.ring.segments;
        const std::string name = plan::words::capitalised(plan_.pieces[edging.piece].name);
        const View view = view_of(geometry::bounding_box(edging.outer), 95.0, 7.5,
                                  fmt::format("{}: {} segments, from above", name, segments.size()));
        for (const auto& s : segments) {
            Path shape = view.path(plan::segment_outline(s));
            DrawnPath drawn_shape = drawn(shape, joint_line);
            drawn_shape.fill.hatch_spacing_mm = 1.6;
            drawn_shape.fill.hatch_angle_rad = s.fibre_rad;
            page().paths.push_back(std::move(drawn_shape));
        }
        page().paths.push_back(drawn(view.path(edging.outer), finished_line));
        page().paths.push_back(drawn(view.path(plan_.seams[edging.seam].in_wood), finished_line));
        for (const plan::SeamPlan& seam : plan_.seams)
            if (seam.kind != job::SeamKind::edging && !seam.in_wood.empty())
                page().paths.push_back(drawn(view.path(seam.in_wood), seam_line));
        for (std::size_t i = 0; i < segments.size(); ++i) {
            const auto& s = segments[i];
            number(view.at(middle(s)), i + 1);
        }
        meetings(edging, view);
        say("Hatching: the fibres, along each chord. Dashed: seams of the top. Numbers run counter-clockwise, as the "
            "places in the table, from the " +
                plan::words::end_name(edging.outer.start(), plan_) + ".",
            text_mm);
        down(2.0);
    }

    static Point middle(const process::EdgingSegment& s) {
        const auto half = [](const Path& path) {
            const auto running = geometry::running_length_mm(path);
            return geometry::point_at(path, geometry::station_at(path, running, 0.5 * running.back()));
        };
        return geometry::midpoint(half(s.outer), half(s.inner));
    }

    /// Ticks outside the ring where seams meet it.
    void meetings(const plan::SegmentedEdging& edging, const View& view) {
        const auto running = geometry::running_length_mm(edging.outer);
        for (const auto& m : edging.meetings) {
            const auto station = geometry::station_at(edging.outer, running, m.at_mm);
            const Point at = view.at(geometry::point_at(edging.outer, station));
            const Point out = geometry::right_of(geometry::tangent_at(edging.outer, station));
            page().paths.push_back(arrow_head(at + 0.6 * out, geometry::heading(-out), 2.4));
            line(at + 3.0 * out, at + 6.0 * out, joint_line);
        }
    }

    /// One segment on its board: chord, rise, end angles, margins.
    void segment(const plan::SegmentedEdging& edging) {
        const auto& segments = edging.ring.segments;
        std::size_t widest = 0;
        for (std::size_t i = 1; i < segments.size(); ++i)
            if (segments[i].board_width_mm > segments[widest].board_width_mm + 1e-6) widest = i;
        const process::EdgingSegment& s = segments[widest];
        // The outer edge up: half a turn more.
        const double turn = geometry::pi - s.fibre_rad;
        const Path shape = geometry::turned(plan::segment_outline(s), {}, turn);
        const Box box = geometry::bounding_box(shape);
        const Point around{edging.wish.end_margin_mm, edging.wish.margin_mm};
        const Box blank{box.low - around, box.high + around};
        const View view = view_of(blank, 48.0, 10.0,
                                  edging.ring.even ? "Each segment on its board"
                                                   : fmt::format("Segment {}, the widest, on its board", widest + 1));
        const Point along = geometry::unit(turn);
        const auto turned = [&](Point p) { return view.at(p.x * along + p.y * geometry::left_of(along)); };
        page().paths.push_back(drawn(view.path(geometry::rectangle(blank.low, blank.high)), board_line));
        DrawnPath body = drawn(view.path(shape), finished_line);
        body.fill.hatch_spacing_mm = 2.0;
        body.fill.hatch_angle_rad = 0.0;
        page().paths.push_back(std::move(body));
        const Point a = turned(s.outer.end()), b = turned(s.outer.start());
        line(a, b, seam_line);
        const Point mid = geometry::midpoint(a, b);
        const double rise = view.at(box.high).y - mid.y;
        labelled(mid - Point{0.0, 3.6}, fmt::format("chord {}", show(s.chord_mm)));
        line(mid, mid + Point{0.0, rise}, joint_line);
        labelled(mid + Point{0.0, rise + 2.4}, fmt::format("rise {}", show(rise * view.scale)));
        // Square lines at both ends, to see the angle off them.
        for (const auto& [at, joint, angle, side] :
             {std::tuple(a, turned(s.joint_to), s.end_rad, -1.0), {b, turned(s.joint_from), s.start_rad, 1.0}}) {
            line(at, {at.x, joint.y}, thin_line);
            labelled({at.x + side * 1.0, view.at(blank.low).y - 3.4}, degrees(angle) + " off square");
        }
        labelled({mid.x, view.at(blank.low).y - 3.4},
                 fmt::format("board {} × {}", show(s.board_length_mm), show(s.board_width_mm)));
        say(fmt::format("Dashed: the blank, {} more beside and {} at each end.", show(edging.wish.margin_mm),
                        show(edging.wish.end_margin_mm)),
            text_mm);
    }

    void labelled(Point at, const std::string& text) {
        Text t = middle_text(at, text, 2.8);
        const Box box = text_box(t);
        page().paths.push_back(ground(geometry::rectangle(box.low - Point{0.4, 0.2}, box.high + Point{0.4, 0.2})));
        page().texts.push_back(std::move(t));
    }

    // Tables.

    void table(const std::vector<double>& columns, const std::vector<std::string>& titles,
               const std::vector<std::vector<std::string>>& rows) {
        constexpr double row_mm = 5.2;
        down(2.0);
        need(4.0 * row_mm);
        row(columns, titles, true);
        for (const auto& cells : rows) {
            // The titles stand again on every sheet.
            const double before = y();
            need(row_mm + 2.0);
            if (y() > before) row(columns, titles, true);
            row(columns, cells, false);
        }
        down(1.5);
    }

    void row(const std::vector<double>& columns, const std::vector<std::string>& cells, bool bold) {
        down(5.2);
        const double w = width_mm();
        for (std::size_t c = 0; c < cells.size(); ++c) {
            const double next = c + 1 < cells.size() ? columns[c + 1] : 1.0;
            Text text{{margin_mm + columns[c] * w, y()}, cells[c], 2.8, 0.0, Text::Anchor::left, bold};
            while (text.height_mm > 1.9 && text_length_mm(text) > (next - columns[c]) * w - 1.0) text.height_mm *= 0.96;
            page().texts.push_back(std::move(text));
        }
        line({margin_mm, y() - 1.6}, {margin_mm + w, y() - 1.6}, thin_line);
    }

    void segments_table(const plan::SegmentedEdging& edging) {
        const std::vector<double> columns{0.0, 0.06, 0.28, 0.42, 0.54, 0.68, 0.90};
        std::vector<std::vector<std::string>> rows;
        const auto& segments = edging.ring.segments;
        for (std::size_t i = 0; i < segments.size(); ++i) {
            const auto& s = segments[i];
            const Point out = -geometry::left_of(geometry::unit(s.fibre_rad));
            const double rise = geometry::dot(geometry::farthest(s.outer, out).point - s.outer.start(), out);
            rows.push_back(
                {fmt::format("{}", i + 1), fmt::format("{} to {}", show(s.from_mm), show(s.to_mm)), show(s.chord_mm),
                 show(rise), fmt::format("{}, {}", degrees(s.start_rad), degrees(s.end_rad)),
                 fmt::format("{} × {}", show(s.board_length_mm), show(s.board_width_mm)), degrees(s.run_out_rad)});
        }
        table(columns, {"No.", "Along the outer edge", "Chord", "Rise", "Off square", "Blank", "Run-out"}, rows);
    }

    void parts_table(const plan::BuildUpStudy& study) {
        const std::vector<double> columns{0.0, 0.04, 0.14, 0.28, 0.34, 0.54, 0.74};
        std::vector<std::vector<std::string>> rows;
        for (std::size_t i = 0; i < study.parts.size(); ++i) {
            const plan::BuildUpPiece& p = study.parts[i];
            rows.push_back({fmt::format("{}", i + 1), study.edges[p.edge].name,
                            p.floating ? std::string("floats") : plan::words::build_up_name(p, plan_),
                            p.end_grain ? "end" : "long", fmt::format("{} to {}", show(p.from_mm), show(p.to_mm)),
                            fmt::format("{} × {}", show(p.along_mm), show(p.across_mm)),
                            p.source ? fmt::format("{}: {}, {}", shelf_.boards[p.source->board].name,
                                                   show(std::max(0.0, p.source->blank.low.x)),
                                                   show(std::max(0.0, p.source->blank.low.y)))
                                     : std::string("not found yet")});
        }
        table(columns, {"No.", "Edge", "Under", "Grain", "Along the edge", "Blank", "Board: from left, near"}, rows);
    }

    // The build-up.

    void from_above(const plan::BuildUpStudy& study) {
        const View view = view_of(plan_.box, 95.0, 5.0, "The build-up under the top, from above");
        for (const plan::BuildUpPiece& p : study.parts) {
            DrawnPath shape = drawn(view.path(p.shape), joint_line);
            shape.fill.hatch_spacing_mm = p.end_grain ? 0.9 : 1.8;
            shape.fill.hatch_angle_rad = p.fibre_rad;
            page().paths.push_back(std::move(shape));
        }
        page().paths.push_back(drawn(view.path(plan_.outline), finished_line));
        for (const plan::SeamPlan& seam : plan_.seams)
            if (!seam.in_wood.empty()) page().paths.push_back(drawn(view.path(seam.in_wood), seam_line));
        for (std::size_t i = 0; i < study.parts.size(); ++i)
            number(view.at(geometry::label_point({study.parts[i].shape, {}})), i + 1, 2.8);
        say("Hatching: along the fibres, close where the part shows end grain at the edge. Dashed: seams of the top.",
            text_mm);
        down(2.0);
    }

    /// From outside: the top's pieces above, the parts below them, unrolled.
    void edge(const plan::BuildUpStudy& study, std::size_t e) {
        const plan::BuildUpEdgeLine& edge_line = study.edges[e];
        if (edge_line.line.empty()) return;
        const double length = geometry::length_mm(edge_line.line);
        const double top = plan_.thickness_mm, under = study.thickness_mm;
        // Seen from outside the edge runs from right to left in the top, counter-clockwise: left to right as one walks.
        const View view = view_of({{0.0, -under}, {length, top}}, 30.0, 5.5,
                                  plan::words::capitalised(edge_line.name) +
                                      (edge_line.curved ? ", from outside, unrolled" : ", from outside"));
        std::vector<double> stops{0.0};
        for (const auto& seam : edge_line.seams) stops.push_back(seam.at_mm);
        stops.push_back(length);
        const auto running = geometry::running_length_mm(edge_line.line);
        for (std::size_t k = 0; k + 1 < stops.size(); ++k) {
            if (stops[k + 1] - stops[k] < 1.0) continue;
            const auto station = geometry::station_at(edge_line.line, running, 0.5 * (stops[k] + stops[k + 1]));
            const Point in = geometry::point_at(edge_line.line, station) +
                             0.5 * geometry::left_of(geometry::tangent_at(edge_line.line, station));
            std::string name;
            bool across = false;
            for (std::size_t p = 0; p < plan_.pieces.size(); ++p) {
                if (!geometry::contains(plan_.pieces[p].region, in)) continue;
                name = plan_.pieces[p].name;
                across = shows_end(plan::fibres_at(plan_, p, in),
                                   geometry::heading(geometry::tangent_at(edge_line.line, station)));
                break;
            }
            block(view, {stops[k], 0.0}, {stops[k + 1], top}, across);
            const Point at = view.at({0.5 * (stops[k] + stops[k + 1]), top});
            Text text = middle_text(at + Point{0.0, 2.2}, name, 2.6);
            while (text.height_mm > 1.5 && text_length_mm(text) > (stops[k + 1] - stops[k]) / view.scale - 1.0)
                text.height_mm *= 0.92;
            page().texts.push_back(std::move(text));
        }
        for (std::size_t i = 0; i < study.parts.size(); ++i) {
            const plan::BuildUpPiece& p = study.parts[i];
            if (p.edge != e) continue;
            block(view, {p.from_mm, -under}, {p.to_mm, 0.0}, p.end_grain);
            page().texts.push_back(middle_text(view.at({0.5 * (p.from_mm + p.to_mm), -under}) - Point{0.0, 2.4},
                                               fmt::format("{}", i + 1), 2.8, true));
        }
        ends_of_strips(study, e, view, length);
    }

    static bool shows_end(double fibre_rad, double edge_rad) {
        return std::abs(std::remainder(fibre_rad - edge_rad, geometry::pi)) > 0.25 * geometry::pi;
    }

    /// Strips of the edges beside run through to the corner and show their ends here.
    void ends_of_strips(const plan::BuildUpStudy& study, std::size_t e, const View& view, double length) {
        double first = length, last = 0.0;
        for (const plan::BuildUpPiece& p : study.parts) {
            if (p.edge != e) continue;
            first = std::min(first, p.from_mm);
            last = std::max(last, p.to_mm);
        }
        if (!(last > first) || study.edges[e].curved) return;
        const double under = study.thickness_mm, room = study.edges[e].end ? study.room_mm : 0.0;
        const auto end = [&](double from, double to) {
            if (to - from > 1.0) block(view, {from, -under}, {to, 0.0}, study.edges[e].end);
        };
        end(0.0, first - room);
        end(last + room, length);
    }

    /// Long grain: lines along; end grain: rings.
    void block(const View& view, Point low, Point high, bool end_grain) {
        const Point a = view.at(low), b = view.at(high);
        DrawnPath box = drawn(geometry::rectangle(a, b), joint_line);
        if (!end_grain) {
            box.fill.hatch_spacing_mm = 1.5;
            box.fill.hatch_angle_rad = 0.0;
        }
        page().paths.push_back(std::move(box));
        if (!end_grain) return;
        // Rings that are hollow toward a heart below, a new heart every so often, as boards lie side by side.
        constexpr double every_mm = 14.0, apart_mm = 1.5;
        const double high_mm = b.y - a.y;
        const auto hearts = static_cast<int>(std::max(1.0, std::round((b.x - a.x) / every_mm)));
        const double each = (b.x - a.x) / hearts;
        for (int h = 0; h < hearts; ++h) {
            const double left = a.x + h * each, right = left + each, middle = 0.5 * (left + right);
            const double deep = 0.6 * each + high_mm;
            const Point heart{middle, a.y - deep};
            for (double r = deep + 0.4; r < std::hypot(0.5 * each, deep + high_mm); r += apart_mm)
                arc_in(heart, r, {{left, a.y}, {right, b.y}});
        }
    }

    /// The part of a circle's upper half that lies in a box about its middle.
    void arc_in(Point centre, double radius, const Box& box) {
        const double half = 0.5 * box.width_mm();
        // Angles off upright at which it leaves the box: through its sides, its floor, its ceiling.
        const double side = radius > half ? std::asin(half / radius) : 0.5 * geometry::pi;
        const double floor = std::acos(std::min(1.0, (box.low.y - centre.y) / radius));
        const double ceiling = radius > box.high.y - centre.y ? std::acos((box.high.y - centre.y) / radius) : 0.0;
        const double out = std::min(side, floor);
        if (out <= ceiling + 1e-6) return;
        const auto at = [&](double off) { return centre + radius * geometry::unit(0.5 * geometry::pi - off); };
        const auto add = [&](double from, double to) {
            Path arc;
            arc.segments.push_back(geometry::arc_about(centre, at(from), from - to));
            page().paths.push_back(drawn(arc, thin_line));
        };
        if (ceiling > 0.0) {
            add(-out, -ceiling);
            add(ceiling, out);
        } else {
            add(-out, out);
        }
    }

    const plan::Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
};

}  // namespace

std::vector<Drawing> edge_parts_pages(const plan::Plan& plan, const plan::MovementStudy& movement,
                                      const plan::BuildUpStudy* build_up, const job::Job& job,
                                      const shelf::Shelf& shelf) {
    const bool rings = std::any_of(plan.edgings.begin(), plan.edgings.end(),
                                   [](const plan::SegmentedEdging& e) { return !e.ring.segments.empty(); });
    if (!rings && build_up == nullptr) return {};
    const auto sheet = find_sheet(plan.paper.size);
    if (!sheet) throw std::invalid_argument("edge_parts_pages: no such sheet");
    return Pages(*sheet, plan, job, shelf).pages(movement, build_up);
}

}  // namespace seamwright::paper
