#include "dimension_lines.h"

#include <algorithm>

#include "marks.h"
#include "text_size.h"

namespace seamwright::paper {
namespace {

const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke tick{.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}};
constexpr double tick_mm = 1.6;
constexpr double beyond_mm = 1.6;  ///< from the end of a line to words that go on beyond it

void tick_at(Drawing& drawing, Point p) {
    const Point half{0.5 * tick_mm, 0.5 * tick_mm};
    drawing.paths.push_back(straight(p - half, p + half, tick));
}

}  // namespace

void grounded_text(Drawing& drawing, Text text) {
    const Box box = text_box(text);
    drawing.paths.push_back(ground(geometry::rectangle(box.low - Point{0.4, 0.3}, box.high + Point{0.4, 0.3})));
    drawing.texts.push_back(std::move(text));
}

void draw_size(Drawing& drawing, const AcrossSize& at, const std::string& said, const std::string& id) {
    const double a = std::min(at.from_x, at.to_x), b = std::max(at.from_x, at.to_x);
    for (const double x : {a, b}) {
        drawing.paths.push_back(straight({x, at.feature_y}, {x, at.y - (at.feature_y > at.y ? 1.0 : -1.0)}, thin));
        tick_at(drawing, {x, at.y});
    }
    drawing.paths.push_back(straight({a, at.y}, {b, at.y}, thin, id));
    // Beside the line where it is too short to write on.
    const double foot = at.y - 0.35 * dimension_text_mm;
    Text text{{0.5 * (a + b), foot}, said, dimension_text_mm, 0.0, Text::Anchor::middle, false};
    if (text_length_mm(text) >= b - a - 2.0) {
        text.at.x = at.beside_on_right ? b + 2.0 : a - 2.0;
        text.anchor = at.beside_on_right ? Text::Anchor::left : Text::Anchor::right;
    }
    grounded_text(drawing, std::move(text));
}

double upright_reach_mm(const std::string& said, double length_mm) {
    const double words_mm = text_length_mm({{}, said, dimension_text_mm, 0.0, Text::Anchor::left, false});
    constexpr double around_mm = 1.0;
    return words_mm < length_mm - around_mm ? 0.0 : beyond_mm + words_mm + around_mm;
}

void draw_size(Drawing& drawing, const UprightSize& at, const std::string& said, const std::string& id) {
    const double a = std::min(at.from_y, at.to_y), b = std::max(at.from_y, at.to_y);
    for (const double y : {a, b}) {
        drawing.paths.push_back(straight({at.feature_x, y}, {at.x + (at.x > at.feature_x ? 1.0 : -1.0), y}, thin));
        tick_at(drawing, {at.x, y});
    }
    drawing.paths.push_back(straight({at.x, a}, {at.x, b}, thin, id));
    // Text that is turned stands to the left of its line.
    constexpr double up = 0.5 * geometry::pi, beside_mm = 0.9;
    Text text{{at.x - beside_mm, 0.5 * (a + b)}, said, dimension_text_mm, up, Text::Anchor::middle, false};
    if (upright_reach_mm(said, b - a) > 0.0) {
        text.at = {at.x + 0.35 * dimension_text_mm, b + beyond_mm};
        text.anchor = Text::Anchor::left;
    }
    grounded_text(drawing, std::move(text));
}

}  // namespace seamwright::paper
