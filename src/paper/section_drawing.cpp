#include "section_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "dimension_lines.h"
#include "marks.h"
#include "plan/words.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using Tools = plan::Section::Tools;

const Stroke outline{.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke waste_line{.width_mm = 0.25, .dash_mm = {1.6, 1.0}, .grey = 0.0, .colour = {}};
const Stroke size_line{.width_mm = 0.15, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke seam_line{.width_mm = 0.3, .dash_mm = {6.0, 1.2, 0.8, 1.2}, .grey = 0.0, .colour = {}};
const Stroke edge_mark{.width_mm = 1.0, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke pass_line{.width_mm = 0.2, .dash_mm = {}, .grey = 0.0, .colour = {}};

constexpr double text_mm = dimension_text_mm, small_mm = 2.1;
constexpr double side_mm = 33.0;   ///< for the upright sizes, on either side
constexpr double below_mm = 19.0;  ///< for what stands under the spoil board
constexpr double above_mm = 9.0;
constexpr double column_mm = dimension_column_mm, row_mm = dimension_row_mm;
constexpr std::array<double, 10> scales{0.5, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 10.0};

/// How a part is drawn.
DrawnPath styled(std::string_view what, const Path& path) {
    DrawnPath out = drawn(path, outline, "section " + std::string(what));
    constexpr double quarter = 0.25 * geometry::pi;
    const auto hatch = [&](double spacing_mm, double angle) { out.fill = {"#ffffff", spacing_mm, angle}; };
    if (what == "wood") {
        hatch(1.7, quarter);
    } else if (what == "made") {
        hatch(1.7, 2.0 * quarter);
    } else if (what == "template") {
        hatch(0.8, 2.0 * quarter);
    } else if (what == "bench") {
        hatch(1.4, 0.0);
        out.stroke.width_mm = 0.2;
    } else if (what == "waste") {
        out.stroke = waste_line;
        out.fill.colour = "#ffffff";
    } else if (what == "guide" || what == "bearing") {
        out.fill.colour = "#5a5a5a";
    } else if (what == "cutter" || what == "shank") {
        out.fill.colour = "#d6d6d6";
    } else if (what == "paper") {
        out.fill.colour = "#000000";
    } else {
        out.fill.colour = "#f0f0f0";
    }
    return out;
}

std::string named(std::string_view what) {
    if (what == "wood") return "wood that stays";
    if (what == "made") return "becomes the template";
    if (what == "template") return "template";
    if (what == "waste") return "waste";
    if (what == "bench") return "spoil board";
    if (what == "router") return "router base";
    return {};
}

class Picture {
  public:
    Picture(Drawing& drawing, const plan::Section& section, const SectionWords& words, double middle_x, double foot_y,
            double n)
        : drawing_(drawing), section_(section), words_(words), s_(1.0 / n) {
        const Box& box = section.box;
        origin_ = {middle_x - s_ * 0.5 * (box.low.x + box.high.x), foot_y + below_mm - s_ * bench_low()};
    }

    void draw(const process::PassPlan* passes) {
        for (const auto& shape : section_.shapes)
            for (const Box& part : shape.parts)
                drawing_.paths.push_back(styled(shape.what, geometry::rectangle(at(part.low), at(part.high))));
        if (section_.tools && passes != nullptr) depths(*passes);
        for (const auto& shape : section_.shapes) name(shape);
        seam();
        if (section_.tools) {
            tools(*section_.tools);
        } else {
            by_hand();
        }
        sides();
    }

  private:
    double bench_low() const { return plan::lowest_mm(section_); }
    Point at(Point p) const { return origin_ + s_ * p; }
    std::string size(double mm) const { return plan::words::exact_size(mm, words_.style); }
    double left() const { return at(section_.box.low).x; }
    double right() const { return at(section_.box.high).x; }

    void text(Point where, const std::string& said, double height_mm, Text::Anchor anchor, bool bold = false,
              double turn_rad = 0.0) {
        grounded_text(drawing_, {where, said, height_mm, turn_rad, anchor, bold});
    }
    void bare(Point where, const std::string& said, double height_mm, Text::Anchor anchor, bool bold = false,
              double turn_rad = 0.0) {
        drawing_.texts.push_back({where, said, height_mm, turn_rad, anchor, bold});
    }
    void line(Point a, Point b, const Stroke& stroke, const std::string& id = {}) {
        drawing_.paths.push_back(straight(a, b, stroke, id));
    }

    /// In the largest of its parts, where there is room.
    void name(const plan::Section::Shape& shape) {
        std::string said = named(shape.what);
        if (said.empty()) return;
        if ((shape.what == "wood" || shape.what == "made") && !words_.kept.empty()) said = words_.kept;
        // The base of the router on the side of the template, where no size crosses it.
        const double toward = shape.what == "router" ? section_.from_template : 0.0;
        const auto part = std::max_element(shape.parts.begin(), shape.parts.end(), [&](const Box& a, const Box& b) {
            return toward != 0.0 ? toward * a.low.x > toward * b.low.x
                                 : a.width_mm() * a.height_mm() < b.width_mm() * b.height_mm();
        });
        const double wide = s_ * part->width_mm() - 2.0, high = s_ * part->height_mm();
        Text t{{}, said, shape.what == "router" ? small_mm : text_mm, 0.0, Text::Anchor::middle, false};
        constexpr double least_mm = 1.7;
        while (t.height_mm > least_mm && (text_length_mm(t) > wide || t.height_mm > 0.9 * high)) t.height_mm *= 0.95;
        if (text_length_mm(t) > wide || t.height_mm > high) return;
        text(at(geometry::midpoint(part->low, part->high)) - Point{0.0, 0.35 * t.height_mm}, said, t.height_mm,
             Text::Anchor::middle, shape.what == "wood" || shape.what == "made");
    }

    void seam() {
        const double x = at({0.0, 0.0}).x;
        const double top = at({0.0, top_of_work() + 4.0}).y;
        line({x, at({0.0, bench_low()}).y - 2.0}, {x, top}, seam_line, "section seam");
    }
    double top_of_work() const {
        double top = 0.0;
        for (const auto& shape : section_.shapes)
            if (shape.what == "wood" || shape.what == "made" || shape.what == "waste")
                for (const Box& part : shape.parts) top = std::max(top, part.high.y);
        return top;
    }

    /// A size across, told under or over its line.
    void across(double from, double to, double y, double feature_y, const std::string& said, const std::string& id) {
        draw_size(drawing_, AcrossSize{at({from, 0.0}).x, at({to, 0.0}).x, y, feature_y, section_.from_template > 0.0},
                  said, id);
    }

    /// A size upright, in a column beside the picture; its words run up along it, and on beyond it where it is short.
    void upright(double from, double to, bool on_right, int column, const std::string& said, const std::string& id,
                 double feature_x) {
        const double x = on_right ? right() + column_mm * (column + 0.8) : left() - column_mm * (column + 0.8);
        draw_size(drawing_, UprightSize{at({0.0, from}).y, at({0.0, to}).y, x, at({feature_x, 0.0}).x}, said, id);
    }

    void tools(const Tools& t) {
        const bool far_right = section_.from_template > 0.0;
        const double way = section_.from_template;
        // Widths.
        double y = at({0.0, bench_low()}).y - 4.0;
        const double offset = t.offset_mm(section_.edge_mm);
        if (offset > 1e-4) {
            across(t.rides_at_mm, section_.edge_mm, y, at({0.0, 0.0}).y, "o = " + size(offset), "size o");
            y -= row_mm;
        }
        across(t.centre_mm - 0.5 * t.cutter_mm, t.centre_mm + 0.5 * t.cutter_mm, y, at({0.0, t.tip_mm}).y,
               "b = " + size(t.cutter_mm), "size b");
        if (section_.sawn_mm) sawn(*section_.sawn_mm, t, y - row_mm);
        const double top = at(section_.box.high).y;
        across(t.centre_mm - 0.5 * t.rider_mm, t.centre_mm + 0.5 * t.rider_mm, top,
               at({0.0, t.guided ? t.base_mm : t.template_top_mm}).y, "B = " + size(t.rider_mm), "size B");

        // Heights: what lies there on the side of the template, what the cutter does on the other.
        const double near_edge = far_right ? section_.box.low.x : section_.box.high.x;
        upright(0.0, t.work_mm, !far_right, 0, (wood() ? "wood " : "sheet ") + size(t.work_mm), "size work", near_edge);
        upright(t.work_mm, t.template_top_mm, !far_right, 1, "template " + size(t.template_top_mm - t.work_mm),
                "size template", near_edge);
        const double beside_cutter = t.centre_mm + way * 0.5 * t.cutter_mm;
        upright(t.tip_mm, t.work_mm, far_right, 0, "cut " + size(t.work_mm - t.tip_mm) + " deep", "size depth",
                beside_cutter);
        upright(t.tip_mm, t.flutes_top_mm, far_right, 1, "flutes " + size(t.flutes_top_mm - t.tip_mm), "size flutes",
                beside_cutter);
        upright(t.tip_mm, t.base_mm, far_right, 2, size(t.base_mm - t.tip_mm) + " below the base", "size projection",
                beside_cutter);

        // The edge that comes of it, heavy.
        line(at({section_.edge_mm, 0.0}), at({section_.edge_mm, t.work_mm}), edge_mark, "section edge");

        // Names of what turns and rides, above the base.
        const double above = top - 4.8;
        const double wall = t.centre_mm - way * 0.5 * t.rider_mm * 0.96;
        callout(at({wall, t.guided ? 0.5 * (t.base_mm + t.work_mm) : t.template_top_mm - 1.0}), above, !far_right,
                t.guided ? words_.rider + ", outside B" : words_.rider);
        callout(at({t.centre_mm + way * 0.25 * t.cutter_mm, 0.5 * (t.work_mm + t.base_mm)}), above, far_right,
                words_.cutter);
        feed(at({t.centre_mm, 0.0}).x, above - 1.6);
    }

    /// What was left standing by the saw. Where the groove takes all of it no part of the waste is drawn as one.
    void sawn(double x, const Tools& t, double y) {
        line(at({x, -0.5}), at({x, t.work_mm + 1.0}), waste_line, "section saw line");
        across(section_.edge_mm, x, y, at({0.0, 0.0}).y,
               "waste, sawn " + size(std::abs(x - section_.edge_mm)) + " outside", "size waste");
    }

    bool wood() const {
        return std::any_of(section_.shapes.begin(), section_.shapes.end(),
                           [](const auto& shape) { return shape.what == "wood"; });
    }

    /// A name over the base of the router with a thin line to what it names.
    void callout(Point to, double y, bool on_right, const std::string& said) {
        Text t{{on_right ? right() : left(), y},
               said,
               text_mm,
               0.0,
               on_right ? Text::Anchor::right : Text::Anchor::left,
               true};
        const double room = std::abs(t.at.x - to.x) - 6.0;
        while (t.height_mm > 1.8 && text_length_mm(t) > room) t.height_mm *= 0.95;
        const double end = on_right ? right() - text_length_mm(t) - 1.0 : left() + text_length_mm(t) + 1.0;
        const bool fits = on_right ? end > to.x : end < to.x;
        const Point corner{fits ? end : to.x, y + 0.8};
        line(corner, to, size_line);
        drawing_.paths.push_back({geometry::circle(to, 0.5), {0.1, {}, 0.0, {}}, {"#000000", 0.0, 0.0}, {}, {}});
        text(t.at, said, t.height_mm, t.anchor, true);
    }

    /// As an arrow is seen: its feathers when it flies away, its point when it comes.
    void feed(double x, double y) {
        constexpr double radius = 1.8;
        const Point middle{x, y};
        drawing_.paths.push_back({geometry::circle(middle, radius), outline, {"#ffffff", 0.0, 0.0}, {}, {}});
        if (words_.feed_away) {
            const double d = radius * std::sqrt(0.5);
            line(middle - Point{d, d}, middle + Point{d, d}, outline);
            line(middle - Point{d, -d}, middle + Point{d, -d}, outline);
        } else {
            drawing_.paths.push_back({geometry::circle(middle, 0.6), outline, {"#000000", 0.0, 0.0}, {}, {}});
        }
    }

    /// How deep each pass goes, numbered on the side of the waste.
    void depths(const process::PassPlan& plan) {
        const Tools& t = *section_.tools;
        double last_y = 1e9;
        for (std::size_t i = 0; i < plan.passes.size(); ++i) {
            const double depth = t.work_mm - plan.passes[i].depth_mm;
            const double a = t.centre_mm - 0.5 * t.cutter_mm, b = t.centre_mm + 0.5 * t.cutter_mm;
            line(at({a, depth}), at({b, depth}), pass_line, "section pass");
            const double y = at({0.0, depth}).y;
            constexpr double apart_mm = 1.75;
            if (last_y - y < apart_mm) continue;
            last_y = y;
            bare({at({t.centre_mm, 0.0}).x, y + 0.35}, fmt::format("{}", i + 1), 1.7, Text::Anchor::middle);
        }
    }

    void by_hand() {
        const auto& sizes = section_.dimensions;
        double y = at({0.0, bench_low()}).y - 4.0;
        if (std::abs(section_.edge_mm) > 1e-4) {
            across(0.0, section_.edge_mm, y, at({0.0, 0.0}).y, "edge to seam " + size(std::abs(section_.edge_mm)),
                   "size o");
            y -= row_mm;
        }
        for (const auto& d : sizes)
            if (d.from.x == d.to.x)
                upright(d.from.y, d.to.y, section_.from_template < 0.0, 0, d.says, "size work",
                        section_.from_template < 0.0 ? section_.box.high.x : section_.box.low.x);
        line(at({section_.edge_mm, 0.0}), at({section_.edge_mm, top_of_work()}), edge_mark, "section edge");
    }

    void sides() {
        const double y = at({0.0, bench_low()}).y - below_mm + 1.0;
        bare({left(), y}, "← left: " + words_.left, text_mm, Text::Anchor::left, true);
        bare({right(), y}, "right: " + words_.right + " →", text_mm, Text::Anchor::right, true);
        bare({at({0.0, 0.0}).x, y + 0.0}, "seam", small_mm, Text::Anchor::middle);
        line({at({0.0, 0.0}).x, y + 2.2}, {at({0.0, 0.0}).x, at({0.0, bench_low()}).y - 2.0}, seam_line);
    }

    Drawing& drawing_;
    const plan::Section& section_;
    const SectionWords& words_;
    double s_ = 1.0;
    Point origin_;
};

}  // namespace

double section_height_mm(const plan::Section& section, double n) {
    return below_mm + (section.box.high.y - plan::lowest_mm(section)) / n + (section.tools ? 3.0 : above_mm + 6.0);
}

double section_n(const plan::Section& section, double wide_mm, double highest_mm) {
    for (const double n : scales) {
        if (n < 1.0) continue;
        if (section.box.width_mm() / n + 2.0 * side_mm <= wide_mm && section_height_mm(section, n) <= highest_mm)
            return n;
    }
    return scales.back();
}

void draw_section(Drawing& drawing, const plan::Section& section, const SectionWords& words,
                  const process::PassPlan* passes, double middle_x, double foot_y, double n) {
    Picture(drawing, section, words, middle_x, foot_y, n).draw(passes);
}

void draw_section_key(Drawing& drawing, std::string_view what, const Box& box) {
    drawing.paths.push_back(styled(what, geometry::rectangle(box.low, box.high)));
    drawing.paths.back().id.clear();
    drawing.texts.push_back(
        {{box.high.x + 1.5, box.low.y + 0.9}, named(what), text_mm, 0.0, Text::Anchor::left, false});
}

}  // namespace seamwright::paper
