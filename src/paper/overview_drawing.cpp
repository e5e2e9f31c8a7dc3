#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "geometry/path.h"
#include "geometry/region.h"
#include "marks.h"
#include "paper/papers.h"
#include "placing.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "scale.h"
#include "text_size.h"

// The whole top on one sheet: above, the drawing to scale with its measures; below, a list of the pieces and the seams.

namespace seamwright::paper {

namespace {

constexpr double margin_mm = 14.0;
constexpr double heading_mm = 7.0;
constexpr double small_mm = 3.0;
constexpr double row_mm = 5.4;
constexpr double dimension_off_mm = 9.0;
constexpr double thin_mm = 0.15;

Fill hatch_of(std::size_t piece) {
    // Angle and spacing together make twelve patterns that stay apart in black and white.
    constexpr std::array<double, 4> angles{0.25, -0.25, 0.0, 0.5};
    constexpr std::array<double, 3> spacings{2.2, 3.6, 1.3};
    Fill f;
    f.hatch_angle_rad = angles[piece % angles.size()] * geometry::pi;
    f.hatch_spacing_mm = spacings[(piece / angles.size()) % spacings.size()];
    return f;
}

/// "A" .. "Z", "A2", ...
std::string key_of(std::size_t piece) {
    const std::string letter(1, static_cast<char>('A' + piece % 26));
    return piece < 26 ? letter : fmt::format("{}{}", letter, piece / 26 + 1);
}

class OverviewMaker {
  public:
    OverviewMaker(const plan::Plan& plan, const SheetSize& sheet) : plan_(plan), sheet_(sheet) {}
    Drawing make();

  private:
    const plan::Plan& plan_;
    SheetSize sheet_;
    Drawing drawing_;
    Placer placer_;
    double scale_ = 1.0;  // 1 : scale_
    Point shift_;
    double table_top_ = 0.0;

    Path place(const Path& p) const { return geometry::moved(geometry::scaled(p, 1.0 / scale_), shift_); }
    Point place(Point p) const { return 1.0 / scale_ * p + shift_; }
    void put(const std::string& text, Point at, double height_mm, bool bold = false,
             Text::Anchor anchor = Text::Anchor::left, double turn = 0.0);
    void put_within(const std::string& text, Point at, double height_mm, double most_mm, bool bold = false);
    void put_on_ground(Text text, Patch patch);

    void heading();
    std::size_t rows() const;
    void lay_out();
    void pieces();
    void grain(const geometry::Region& region, const plan::PiecePlan& piece, Point near);
    void seams();
    void dimensions();
    void dimension(Point a, Point b, Point out, double value_mm);
    void table();
};

void OverviewMaker::put(const std::string& text, Point at, double height_mm, bool bold, Text::Anchor anchor,
                        double turn) {
    Text t;
    t.text = text;
    t.at = at;
    t.height_mm = height_mm;
    t.bold = bold;
    t.anchor = anchor;
    t.turn_rad = turn;
    drawing_.texts.push_back(t);
}

void OverviewMaker::put_within(const std::string& text, Point at, double height_mm, double most_mm, bool bold) {
    Text t;
    t.text = text;
    t.height_mm = height_mm;
    t.bold = bold;
    const double length = text_length_mm(t);
    put(text, at, length > most_mm ? height_mm * most_mm / length : height_mm, bold);
}

void OverviewMaker::put_on_ground(Text text, Patch patch) {
    drawing_.paths.push_back(ground(patch.outline(0.4)));
    placer_.add(patch);
    drawing_.texts.push_back(centred(std::move(text), patch));
}

void OverviewMaker::heading() {
    const double top = sheet_.height_mm - margin_mm;
    const double width = sheet_.width_mm - 2.0 * margin_mm;
    put_within(plan_.name.empty() ? "The top" : plan_.name, {margin_mm, top - 0.75 * heading_mm}, heading_mm, width,
               true);
    std::string line = fmt::format("Overview, not for cutting.  Scale 1 : {:g}.", scale_);
    if (plan_.thickness_mm > 0.0) line += "  Thickness " + units::show(plan_.thickness_mm, plan_.style) + ".";
    put_within(line, {margin_mm, top - 1.75 * heading_mm}, 3.2, width);
}

std::size_t OverviewMaker::rows() const {
    return 2 + std::max(plan_.pieces.size(), plan_.seams.size());
}

void OverviewMaker::lay_out() {
    table_top_ = margin_mm + row_mm * static_cast<double>(rows());
    const double least_room = 0.35 * sheet_.height_mm;  // a long list shrinks no drawing below this
    const double top = sheet_.height_mm - margin_mm - 2.4 * heading_mm;
    table_top_ = std::min(table_top_, top - least_room);
    const Box room{{margin_mm + dimension_off_mm + 6.0, table_top_ + dimension_off_mm + 12.0},
                   {sheet_.width_mm - margin_mm, top - 4.0}};
    const Box box = geometry::bounding_box(plan_.outline);
    const double needed = std::max(box.width_mm() / room.width_mm(), box.height_mm() / room.height_mm());
    scale_ = scale_for(needed, plan_.style.unit);
    shift_ = geometry::midpoint(room.low, room.high) - 1.0 / scale_ * geometry::midpoint(box.low, box.high);
}

void OverviewMaker::grain(const geometry::Region& region, const plan::PiecePlan& piece, Point near) {
    constexpr double step_mm = 2.0;
    for (const double length : {22.0, 14.0, 9.0}) {
        std::vector<Patch> patches;
        const Box box = geometry::bounding_box(region.outer);
        for (double x = box.low.x; x <= box.high.x; x += step_mm) {
            for (double y = box.low.y; y <= box.high.y; y += step_mm)
                patches.push_back({{x, y}, length, 2.2, piece.grain_rad});
        }
        std::ranges::stable_sort(patches, {}, [&](const Patch& p) { return geometry::distance(p.centre, near); });
        const auto patch = first_free(placer_, patches, 1.0, [&](Point p) { return geometry::contains(region, p); });
        if (!patch) continue;
        const double half = 0.5 * length, head = 2.6;
        drawing_.paths.push_back(ground(patch->outline(0.6)));
        drawing_.paths.push_back(
            straight(patch->at(-half + head, 0.0), patch->at(half - head, 0.0), {0.3, {}, 0.0, {}}));
        drawing_.paths.push_back(arrow_head(patch->at(half, 0.0), piece.grain_rad, head));
        drawing_.paths.push_back(arrow_head(patch->at(-half, 0.0), piece.grain_rad + geometry::pi, head));
        placer_.add(*patch);
        return;
    }
}

void OverviewMaker::pieces() {
    std::vector<geometry::Region> regions;
    for (std::size_t i = 0; i < plan_.pieces.size(); ++i) {
        const auto& p = plan_.pieces[i];
        geometry::Region r{place(p.region.outer), {}};
        DrawnPath d = drawn(r.outer, {0.0, {}, 0.0, {}}, "piece-" + slug(p.name));
        for (const auto& h : p.region.holes) r.holes.push_back(place(h));
        d.holes = r.holes;
        d.fill = hatch_of(i);
        drawing_.paths.push_back(d);
        regions.push_back(std::move(r));
    }
    for (const auto& s : plan_.seams) placer_.add(place(s.in_wood));
    placer_.add(place(plan_.outline));
    drawing_.paths.push_back(drawn(place(plan_.outline), {0.5, {}, 0.0, {}}, "edge-of-the-top"));

    for (std::size_t i = 0; i < plan_.pieces.size(); ++i) {
        const auto& p = plan_.pieces[i];
        const auto inside = [&](Point q) { return geometry::contains(regions[i], q); };
        const Point near = place(p.label_at);
        Text t;
        bool placed = false;
        for (const auto& [text, height] :
             {std::pair{key_of(i) + "  " + p.name, 3.6}, {key_of(i), 3.6}, {key_of(i), 2.4}}) {
            t.text = text;
            t.height_mm = height;
            t.bold = true;
            Patch patch = patch_for(t);
            constexpr double step_mm = 2.0;
            std::vector<Patch> patches;
            const Box box = geometry::bounding_box(regions[i].outer);
            for (double x = box.low.x; x <= box.high.x; x += step_mm) {
                for (double y = box.low.y; y <= box.high.y; y += step_mm) {
                    patch.centre = {x, y};
                    patches.push_back(patch);
                }
            }
            patch.centre = near;
            patches.push_back(patch);
            std::ranges::stable_sort(patches, {}, [&](const Patch& q) { return geometry::distance(q.centre, near); });
            if (const auto found = first_free(placer_, patches, 0.8, inside)) {
                put_on_ground(t, *found);
                if (plan::segmented(plan_, i) == nullptr) grain(regions[i], p, found->at(0.0, -5.0));
                placed = true;
                break;
            }
        }
        if (!placed) {
            // Too narrow to write in: the letter stands outside and a line leads in.
            const Box box = geometry::bounding_box(place(plan_.outline));
            const Point outside{near.x, box.high.y + 5.0};
            drawing_.paths.push_back(straight(near, outside - Point{0.0, 1.0}, {thin_mm, {}, 0.0, {}}));
            put(t.text, outside, 3.0, true, Text::Anchor::middle);
        }
    }
}

void OverviewMaker::seams() {
    for (const auto& edging : plan_.edgings) {
        for (const auto& s : edging.ring.segments)
            drawing_.paths.push_back(drawn(place(geometry::polyline(std::vector<Point>{s.outer.end(), s.joint_to})),
                                           {thin_mm, {}, 0.0, {}}));
    }
    for (const auto& s : plan_.seams) {
        if (s.in_wood.empty()) continue;
        drawing_.paths.push_back(drawn(place(s.in_wood), {0.4, {}, 0.0, {}}, "seam-" + slug(s.name)));
    }
    for (const auto& s : plan_.seams) {
        if (s.in_wood.empty()) continue;
        const Path path = place(s.in_wood);
        const auto running = geometry::running_length_mm(path);
        Text t;
        t.text = s.name;
        t.height_mm = small_mm;
        std::vector<Patch> patches;
        constexpr int places = 40;
        for (int i = 0; i < places; ++i) {
            const auto station = geometry::station_at(path, running, running.back() * (i + 4.0) / (places + 8.0));
            const Point tangent = geometry::tangent_at(path, station);
            for (const double side : {1.0, -1.0}) {
                Patch patch = patch_for(t);
                patch.turn_rad = reading_turn(geometry::heading(tangent));
                patch.centre = geometry::point_at(path, station) +
                               side * (0.5 * patch.height_mm + 1.6) * geometry::left_of(tangent);
                patches.push_back(patch);
            }
        }
        // Level places read best; steps of a sixth of a right angle keep the order along the seam among equals.
        std::ranges::stable_sort(
            patches, {}, [](const Patch& p) { return std::lround(std::abs(p.turn_rad) * 12.0 / geometry::pi); });
        const auto found = first_free(placer_, patches, 0.9, [](Point) { return true; });
        if (found) put_on_ground(t, *found);
    }
}

void OverviewMaker::dimension(Point a, Point b, Point out, double value_mm) {
    const Point along = geometry::unit(geometry::heading(b - a));
    const Point from = a + dimension_off_mm * out, to = b + dimension_off_mm * out;
    const Stroke thin{thin_mm, {}, 0.0, {}};
    drawing_.paths.push_back(straight(a + 1.5 * out, from + 1.5 * out, thin));
    drawing_.paths.push_back(straight(b + 1.5 * out, to + 1.5 * out, thin));
    drawing_.paths.push_back(straight(from, to, thin));
    drawing_.paths.push_back(arrow_head(from, geometry::heading(-along), 2.4));
    drawing_.paths.push_back(arrow_head(to, geometry::heading(along), 2.4));
    Text t;
    t.text = units::show(value_mm, plan_.style);
    t.height_mm = 3.4;
    Patch patch = patch_for(t);
    patch.turn_rad = reading_turn(geometry::heading(along));
    patch.centre = geometry::midpoint(from, to);
    drawing_.paths.push_back(ground(patch.outline(0.6)));
    drawing_.texts.push_back(centred(t, patch));
}

void OverviewMaker::dimensions() {
    const Box full = geometry::bounding_box(plan_.outline);
    const Box box = geometry::bounding_box(place(plan_.outline));
    dimension(box.low, {box.high.x, box.low.y}, {0.0, -1.0}, full.width_mm());
    dimension(box.low, {box.low.x, box.high.y}, {-1.0, 0.0}, full.height_mm());
}

void OverviewMaker::table() {
    const double left = margin_mm;
    const double width = sheet_.width_mm - 2.0 * margin_mm;
    const double seam_left = left + 0.70 * width;
    const double row = std::min(row_mm, (table_top_ - margin_mm) / static_cast<double>(rows()));
    const double height = std::min(small_mm, 0.6 * row);
    const double piece_columns[] = {0.0, 12.0, 12.0 + 0.14 * width, 12.0 + 0.29 * width};
    const double piece_end = seam_left - left - 4.0;
    double y = table_top_ - row;
    const Stroke rule{thin_mm, {}, 0.5, {}};
    drawing_.paths.push_back(straight({left, y - 0.3 * row}, {left + piece_end, y - 0.3 * row}, rule));
    put("Piece", {left + piece_columns[1], y}, height, true);
    put("Wood", {left + piece_columns[2], y}, height, true);
    put("Size along × across", {left + piece_columns[3], y}, height, true);
    if (!plan_.seams.empty()) {
        drawing_.paths.push_back(straight({seam_left, y - 0.3 * row}, {left + width, y - 0.3 * row}, rule));
        put("Seam", {seam_left, y}, height, true);
        put("Length", {seam_left + 0.17 * width, y}, height, true);
    }
    for (std::size_t i = 0; i < plan_.pieces.size(); ++i) {
        const auto& p = plan_.pieces[i];
        const double base = y - row * (static_cast<double>(i) + 1.3);
        DrawnPath swatch = drawn(geometry::rectangle({left + 4.6, base - 0.15 * row}, {left + 10.0, base + 0.55 * row}),
                                 {thin_mm, {}, 0.0, {}});
        swatch.fill = hatch_of(i);
        drawing_.paths.push_back(swatch);
        put_within(key_of(i), {left, base}, height, 4.2, true);
        put_within(p.name, {left + piece_columns[1], base}, height, piece_columns[2] - piece_columns[1] - 2.0);
        put_within(p.species.empty() ? "not named" : p.species, {left + piece_columns[2], base}, height,
                   piece_columns[3] - piece_columns[2] - 2.0);
        std::string size =
            units::show(p.box.width_mm(), plan_.style) + " × " + units::show(p.box.height_mm(), plan_.style);
        if (p.weight_kg > 0.0) size += ",  " + plan::words::weight_text(p.weight_kg, plan_.style.unit);
        put_within(size, {left + piece_columns[3], base}, height, piece_end - piece_columns[3]);
    }
    for (std::size_t i = 0; i < plan_.seams.size(); ++i) {
        const auto& s = plan_.seams[i];
        const double base = y - row * (static_cast<double>(i) + 1.3);
        put_within(s.name, {seam_left, base}, height, 0.17 * width - 2.0);
        put_within(units::show(s.length_mm, plan_.style), {seam_left + 0.17 * width, base}, height, 0.13 * width);
    }
}

Drawing OverviewMaker::make() {
    const Box box = geometry::bounding_box(plan_.outline);
    const bool across = box.width_mm() > box.height_mm();
    if (across != (sheet_.width_mm > sheet_.height_mm)) std::swap(sheet_.width_mm, sheet_.height_mm);
    drawing_.title = plan_.name.empty() ? "Overview" : plan_.name + ": overview";
    drawing_.laid_out_on = sheet_;
    lay_out();
    heading();
    pieces();
    seams();
    dimensions();
    table();
    return std::move(drawing_);
}

}  // namespace

Drawing overview_drawing(const plan::Plan& plan, const SheetSize& sheet) {
    if (plan.outline.empty()) throw std::invalid_argument("the plan has no outline, so there is nothing to draw");
    return OverviewMaker(plan, sheet).make();
}

}  // namespace seamwright::paper
