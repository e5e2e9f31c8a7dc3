#include "paper/closing_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "marks.h"
#include "text_pages.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using geometry::polyline;

constexpr double thin_mm = 0.15;
constexpr double graph_high_mm = 24.0;
constexpr double picture_high_mm = 70.0;
const Stroke thin{.width_mm = thin_mm, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke middling{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke heavy{.width_mm = 0.6, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke broken{.width_mm = 0.3, .dash_mm = {2.0, 1.2}, .grey = 0.0, .colour = {}};
const Fill left_fill{.colour = {}, .hatch_spacing_mm = 3.2, .hatch_angle_rad = 0.25 * geometry::pi};
const Fill right_fill{.colour = {}, .hatch_spacing_mm = 3.2, .hatch_angle_rad = -0.25 * geometry::pi};

SheetSize sheet_of(const plan::Plan& plan) {
    const auto sheet = find_sheet(plan.paper.size);
    if (!sheet) throw std::invalid_argument("closing_pages: no such sheet");
    return *sheet;
}

class Pages : TextPages {
  public:
    Pages(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::ClosingStudy& study, const job::Job& job)
        : TextPages(sheet_of(plan), fmt::format("{}: how this seam closes", seam.name), plan.name),
          plan_(plan),
          seam_(seam),
          study_(study),
          job_(job) {}

    std::vector<Drawing> pages() {
        say(plan::words::closing_verdict(study_, seam_, plan_), 4.0, true);
        down(3.0);
        picture();
        gap_graph();
        if (study_.pressing) pressure_graph();
        for (const plan::words::Told& told : plan::words::closing_text(study_, seam_, plan_, job_)) part(told);
        found();
        return finish();
    }

  private:
    /// Both pieces beside the seam to scale, the push as a broad arrow, the clamps as small ones.
    void picture() {
        const geometry::Box box = geometry::bounding_box(plan_.outline);
        const double scale = std::min((width_mm() - 30.0) / box.width_mm(), (picture_high_mm - 24.0) / box.height_mm());
        const Point middle{margin_mm + 0.5 * width_mm(), y() - 0.5 * picture_high_mm};
        const Point from = geometry::midpoint(box.low, box.high);
        const auto place = [&](Point p) { return middle + scale * (p - from); };
        const auto placed = [&](const Path& path) {
            return geometry::moved(geometry::scaled(path, scale), middle - scale * from);
        };
        for (const plan::PiecePlan& piece : plan_.pieces) {
            const bool left = piece.name == seam_.left_pieces, right = piece.name == seam_.right_pieces;
            DrawnPath d{placed(piece.region.outer), thin, left ? left_fill : right ? right_fill : Fill{}, {}, {}};
            for (const Path& hole : piece.region.holes) d.holes.push_back(placed(hole));
            page().paths.push_back(std::move(d));
        }
        page().paths.push_back({placed(plan_.outline), middling, {}, {}, {}});
        page().paths.push_back({placed(seam_.in_wood), heavy, {}, {}, {}});
        if (seam_.kind == job::SeamKind::open) arrows(place, box);
        for (const plan::PiecePlan& piece : plan_.pieces) {
            Text name{place(piece.label_at), piece.name, 3.2, 0.0, Text::Anchor::middle, true};
            name.at.y -= 1.1;
            const geometry::Box b = text_box(name);
            page().paths.push_back(ground(geometry::rectangle(b.low - Point{0.8, 0.4}, b.high + Point{0.8, 0.4})));
            page().texts.push_back(std::move(name));
        }
        put("0", place(seam_.in_wood.start()) + Point{-3.0, 1.0}, 3.0, true, Text::Anchor::middle);
        down(picture_high_mm);
    }

    void arrows(const auto& place, const geometry::Box& box) {
        const Point push = geometry::unit(study_.push_rad);
        // From outside the top: where the push through the middle of the seam comes in.
        const auto edge_of = [&](Point p) {
            double way = 0.0;
            const double reach = box.width_mm() + box.height_mm(), step = reach / 400.0;
            double last = 0.0;
            for (; way < reach; way += step)
                if (geometry::contains({plan_.outline, {}}, p - way * push)) last = way;
            return p - last * push;
        };
        const Point middle = study_.places[study_.places.size() / 2].at;
        const Point tip = place(edge_of(middle)) - 1.5 * push;
        const Point side = 2.4 * geometry::left_of(push), tail = tip - 11.0 * push, neck = tip - 5.0 * push;
        page().paths.push_back({polyline(std::vector{tip, neck + 2.0 * side, neck + side, tail + side, tail - side,
                                                     neck - side, neck - 2.0 * side},
                                         true),
                                middling,
                                {"#ffffff", 0.0, 0.0},
                                {},
                                {}});
        if (!study_.pressing) return;
        // Clamps along the caul, from the end of the seam that comes first across the push.
        const Point across = geometry::left_of(push);
        const Point first = study_.places.front().at, last = study_.places.back().at;
        const Point along = dot(last - first, across) > 0.0 ? across : -1.0 * across;
        for (const process::Clamp& clamp : study_.pressing->row.clamps) {
            const Point at = place(edge_of(first + clamp.at_mm * along + dot(middle - first, push) * push));
            if (geometry::distance(at, tip) < 9.0 && std::abs(dot(at - tip, across)) < 6.0) continue;
            const Point a = at - 6.0 * push, b = at - 0.8 * push;
            line(a, b, middling);
            page().paths.push_back(arrow_head(b, study_.push_rad, 2.2));
        }
    }

    struct Axis {
        double low = 0.0, high = 1.0;
    };
    /// A frame with the seam's length along it; gives how a place is drawn in it.
    auto frame(const std::string& title, const Axis& axis) {
        need(graph_high_mm + 20.0);
        down(5.5);
        put(title, {margin_mm, y()}, 3.2, true);
        down(2.5);
        const double top = y(), bottom = y() - graph_high_mm;
        const double x0 = margin_mm + 20.0, x1 = margin_mm + width_mm();
        page().paths.push_back({geometry::rectangle({x0, bottom}, {x1, top}), thin, {}, {}, {}});
        const double length = seam_.length_mm;
        const auto place = [=](double at_mm, double value) {
            return Point{x0 + (x1 - x0) * at_mm / length,
                         bottom + graph_high_mm * (value - axis.low) / (axis.high - axis.low)};
        };
        const bool inches = plan_.style.unit == units::Unit::inch;
        const double unit = inches ? units::mm_per_inch : 1.0;
        double step = unit;
        for (const double s : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0}) {
            step = s * unit;
            if (length / step <= 16.0) break;
        }
        for (int k = 0; step * k <= length; ++k) {
            const Point at = place(step * k, axis.low);
            line(at, at + Point{0.0, -1.2}, thin);
            put(inches ? fmt::format("{:g} in", step * k / unit) : fmt::format("{:g}", step * k), at + Point{0.0, -4.4},
                2.6, false, Text::Anchor::middle);
        }
        down(graph_high_mm + 6.0);
        return place;
    }
    void level(const auto& place, double value, const std::string& says, const Stroke& stroke) {
        const Point a = place(0.0, value), b = place(seam_.length_mm, value);
        line(a, b, stroke);
        put(says, a + Point{-1.0, -1.0}, 2.6, false, Text::Anchor::right);
    }

    void gap_graph() {
        const auto& left = study_.tolerance.sampled.most_gap_mm;
        const double limit = study_.tolerance.limit_mm;
        double most = limit;
        for (const double g : left) most = std::max(most, g);
        for (const double g : study_.pushed_gap_mm) most = std::max(most, g);
        const auto place = frame(
            "What stays open once pushed together: as planned (heavy), and in a seam of which 95 in "
            "100 are better (thin)",
            {0.0, 1.15 * most});
        level(place, 0.0, units::show_thin(0.0, plan_.style.unit), thin);
        level(place, limit, "limit " + units::show_thin(limit, plan_.style.unit), broken);
        const auto curve = [&](const std::vector<double>& gap, const Stroke& stroke) {
            std::vector<Point> points;
            for (std::size_t i = 0; i < gap.size(); ++i)
                points.push_back(place(study_.places[i].at_mm, std::max(0.0, gap[i])));
            if (points.size() > 1) page().paths.push_back({polyline(points), stroke, {}, {}, {}});
        };
        curve(left, middling);
        curve(study_.pushed_gap_mm, heavy);
    }

    void pressure_graph() {
        const auto& p = study_.pressing->pressure;
        const double most = std::max(p.largest_mpa, study_.pressing->wanted_mpa);
        const auto place =
            frame("Pressure on the seam with these clamps; broken: what the glue wants", {0.0, 1.15 * most});
        const auto says = [&](double mpa) { return plan::words::pressure_text(mpa, plan_.style.unit); };
        level(place, 0.0, says(0.0), thin);
        level(place, study_.pressing->wanted_mpa, says(study_.pressing->wanted_mpa), broken);
        std::vector<Point> points;
        for (std::size_t i = 0; i < p.pressure_mpa.size(); ++i)
            points.push_back(place(study_.places[i].at_mm, p.pressure_mpa[i]));
        if (points.size() > 1) page().paths.push_back({polyline(points), middling, {}, {}, {}});
    }

    /// Room to write down what the shop found.
    void found() {
        down(4.0);
        need(30.0);
        say("What you found", 3.6, true);
        const std::vector<std::string> asks = {"Widest gap dry, and where", "Clamps used", "Glue, and when spread",
                                               "Unclamped"};
        for (const std::string& ask : asks) {
            need(8.0);
            down(7.0);
            put(ask, {margin_mm, y()}, text_mm);
            line({margin_mm + 55.0, y() - 0.8}, {margin_mm + width_mm(), y() - 0.8}, thin);
        }
    }

    const plan::Plan& plan_;
    const plan::SeamPlan& seam_;
    const plan::ClosingStudy& study_;
    const job::Job& job_;
};

}  // namespace

std::vector<Drawing> closing_pages(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::ClosingStudy& study,
                                   const job::Job& job) {
    return Pages(plan, seam, study, job).pages();
}

}  // namespace seamwright::paper
