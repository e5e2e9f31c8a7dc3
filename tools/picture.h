#pragma once

// What the pictures of the documents are drawn with: strokes, words, arrows and graphs on one sheet, all in mm.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "geometry/path.h"
#include "paper/drawing.h"
#include "paper/papers.h"

namespace seamwright::pictures {

using geometry::Path;
using geometry::Point;
using paper::Fill;
using paper::Stroke;
using paper::Text;
using Anchor = paper::Text::Anchor;

inline constexpr double text_mm = 3.4;

inline const Stroke no_stroke{.width_mm = 0.0, .dash_mm = {}, .grey = 0.0, .colour = {}};
inline Stroke solid(double width_mm, double grey = 0.0) {
    return {.width_mm = width_mm, .dash_mm = {}, .grey = grey, .colour = {}};
}
inline Stroke dashed(double width_mm, std::vector<double> dash_mm) {
    return {.width_mm = width_mm, .dash_mm = std::move(dash_mm), .grey = 0.0, .colour = {}};
}
inline Stroke dash_dot() {
    return dashed(0.25, {4.0, 1.2, 0.6, 1.2});
}
inline Fill hatch(double spacing_mm, double angle_rad) {
    return {.colour = {}, .hatch_spacing_mm = spacing_mm, .hatch_angle_rad = angle_rad};
}
inline Fill plain(std::string colour) {
    return {.colour = std::move(colour), .hatch_spacing_mm = 0.0, .hatch_angle_rad = 0.0};
}
/// Part of the paper with its own origin and scale; x and y are scaled alike unless it is a graph.
struct Frame {
    Point origin;
    double x_scale = 1.0;
    double y_scale = 1.0;

    Point at(Point p) const { return {origin.x + x_scale * p.x, origin.y + y_scale * p.y}; }
    Path at(const Path& p) const { return geometry::moved(geometry::scaled(p, x_scale), origin); }
};

class Picture {
  public:
    explicit Picture(std::string title) { drawing_.title = std::move(title); }

    void path(const Path& p, const Stroke& stroke, const Fill& fill = {}) {
        drawing_.paths.push_back({p, stroke, fill, {}, {}});
    }
    void line(Point a, Point b, const Stroke& stroke) { path(geometry::polyline(std::vector{a, b}), stroke); }
    void dot(Point p, double radius_mm = 0.7) { path(geometry::circle(p, radius_mm), solid(0.1), plain("#000000")); }

    void text(Point at, const std::string& words, Anchor anchor = Anchor::left, double turn_rad = 0.0) {
        drawing_.texts.push_back({at, words, text_mm, turn_rad, anchor, false});
    }
    /// Words on a white ground, for places with hatching.
    void text_on_white(Point at, const std::string& words, Anchor anchor = Anchor::left) {
        Text t{at, words, text_mm, 0.0, anchor, false};
        paper::Drawing only;
        only.texts.push_back(t);
        const auto box = only.box().grown(0.6);
        path(geometry::rectangle(box.low, box.high), no_stroke, plain("#ffffff"));
        drawing_.texts.push_back(std::move(t));
    }
    void arrow_head(Point tip, Point along) {
        const Point back = tip - (2.2 / geometry::norm(along)) * along;
        const Point side = (0.7 / geometry::norm(along)) * geometry::left_of(along);
        path(geometry::polyline(std::vector{tip, back + side, back - side}, true), solid(0.05), plain("#000000"));
    }
    void arrow(Point from, Point to) {
        line(from, to, solid(0.25));
        arrow_head(to, to - from);
    }
    /// A measured length between two places, its words above a level one and to the right of another.
    void measure(Point a, Point b, const std::string& words) {
        line(a, b, solid(0.18));
        arrow_head(b, b - a);
        arrow_head(a, a - b);
        const bool level = std::abs(b.y - a.y) < std::abs(b.x - a.x);
        const Point off = level ? Point{0.0, 1.4} : Point{2.0, -1.2};
        text_on_white(geometry::midpoint(a, b) + off, words, level ? Anchor::middle : Anchor::left);
    }
    /// Words beside the drawing with a thin line to what they speak of.
    void call_out(Point words_at, Point what, const std::string& words, Anchor anchor = Anchor::left) {
        line(words_at + Point{0.0, what.y < words_at.y ? -1.0 : 3.4}, what, solid(0.15));
        dot(what, 0.45);
        text_on_white(words_at, words, anchor);
    }

    const paper::Drawing& drawing() const { return drawing_; }

  private:
    paper::Drawing drawing_;
};

/// A graph with its axes; values are given in their own units.
struct Graph {
    Point low, high;  // corners on the paper
    double x0 = 0.0, x1 = 1.0, y0 = 0.0, y1 = 1.0;

    Point at(double x, double y) const {
        return {low.x + (x - x0) / (x1 - x0) * (high.x - low.x), low.y + (y - y0) / (y1 - y0) * (high.y - low.y)};
    }
    void axes(Picture& pic, double x_step, const char* x_format, double y_step, const char* y_format,
              const std::string& y_words) const {
        const auto nearest_step = [](double v, double step) { return std::lround(v / step); };
        for (long k = nearest_step(y0, y_step); k <= nearest_step(y1, y_step); ++k) {
            const double y = y_step * static_cast<double>(k);
            const Point left = at(x0, y);
            pic.line(left, at(x1, y), solid(0.12, k == 0 ? 0.0 : 0.75));
            pic.text(left + Point{-1.5, -1.2}, fmt::format(fmt::runtime(y_format), y), Anchor::right);
        }
        for (double x = std::ceil(x0 / x_step) * x_step; x <= x1; x += x_step) {
            const Point foot = at(x, y0);
            pic.line(foot, foot + Point{0.0, -1.2}, solid(0.18));
            if (*x_format != '\0') {
                pic.text(foot + Point{0.0, -5.0}, fmt::format(fmt::runtime(x_format), x), Anchor::middle);
            }
        }
        pic.line(low, {high.x, low.y}, solid(0.18));
        pic.line(low, {low.x, high.y}, solid(0.18));
        pic.text({low.x - 10.0, high.y + 3.0}, y_words);
    }
    void curve(Picture& pic, const std::vector<Point>& values, const Stroke& stroke) const {
        std::vector<Point> on_paper;
        on_paper.reserve(values.size());
        for (const Point& v : values) on_paper.push_back(at(v.x, v.y));
        pic.path(geometry::polyline(on_paper), stroke);
    }
};

inline void save(const std::filesystem::path& file, const Picture& picture) {
    std::ofstream out(file, std::ios::binary);
    out << paper::svg(picture.drawing());
    if (!out.flush()) throw std::runtime_error("cannot write " + file.string());
}

}  // namespace seamwright::pictures
