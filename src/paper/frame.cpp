#include "frame.h"

#include <fmt/format.h>

#include "geometry/path.h"
#include "marks.h"

namespace seamwright::paper {

namespace {

constexpr double bar_line_mm = 0.18;
constexpr double bars_apart_mm = 1.4;
constexpr double long_tick_mm = 2.4;
constexpr double short_tick_mm = 1.3;
constexpr double figure_height_mm = 2.3;
constexpr double mark_half_mm = 2.2;

}  // namespace

void draw_check_bars(Canvas& canvas, Point start, bool upwards, double stretch, const std::string& name) {
    const Point along = upwards ? Point{0.0, 1.0} : Point{1.0, 0.0};
    const Point left = geometry::left_of(along);
    const double turn = upwards ? 0.5 * geometry::pi : 0.0;

    struct Bar {
        double length_mm, step_mm, side;
        int steps;
        std::string text;
    };
    const Bar bars[] = {{metric_bar_mm, 10.0, 1.0, 10, fmt::format("check bar {}: 100 mm", name)},
                        {inch_bar_mm, 12.7, -1.0, 8, "4 in"}};
    for (const auto& bar : bars) {
        const Point base = start + 0.5 * bars_apart_mm * bar.side * left;
        canvas.draw(straight(base, base + bar.length_mm * stretch * along, {bar_line_mm, {}, 0.0, {}}));
        for (int i = 0; i <= bar.steps; ++i) {
            const bool end = i == 0 || i == bar.steps;
            const Point foot = base + i * bar.step_mm * stretch * along;
            canvas.draw(straight(foot, foot + (end ? long_tick_mm : short_tick_mm) * bar.side * left,
                                 {bar_line_mm, {}, 0.0, {}}));
        }
        Text t;
        t.height_mm = figure_height_mm;
        t.turn_rad = turn;
        t.text = bar.text;
        // Between the long ticks, clear of the short ones.
        const double away = bar.side > 0.0 ? short_tick_mm + 0.9 : short_tick_mm + 0.9 + 0.73 * figure_height_mm;
        t.at = base + away * bar.side * left + 2.0 * along;
        canvas.draw(t);
    }
}

std::string correction_note(const Correction& correction) {
    if (!correction.on()) return {};
    return fmt::format("Printer correction on: x × {:.4f}, y × {:.4f}", correction.x, correction.y);
}

void draw_joining_mark(Canvas& canvas, Point at, Correction stretch) {
    const double w = mark_half_mm * stretch.x, h = mark_half_mm * stretch.y;
    const Point corners[] = {at + Point{w, 0.0}, at + Point{0.0, h}, at - Point{w, 0.0}, at - Point{0.0, h}};
    DrawnPath diamond;
    diamond.path = geometry::polyline(corners, true);
    diamond.stroke.width_mm = 0.15;
    canvas.draw(diamond);
    canvas.draw(straight(corners[2], corners[0], {0.15, {}, 0.0, {}}));
    canvas.draw(straight(corners[3], corners[1], {0.15, {}, 0.0, {}}));
}

}  // namespace seamwright::paper
