// Where to sand a template, drawn along its unrolled edge at full size: laid against the template, the map tells the
// place; how much stands above the line, many times too large. High is filled with strokes, low is left white with a
// broken outline, so that both can be told apart without colour.

#include "sanding_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "marks.h"
#include "paper/papers.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using geometry::polyline;

constexpr double map_high_mm = 30.0;
/// The strip for what sanding alone takes off, below the map.
constexpr double strip_gap_mm = 16.0;

const Stroke edge_line{.width_mm = 0.5, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke high_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke low_line{.width_mm = 0.3, .dash_mm = {1.5, 1.0}, .grey = 0.0, .colour = {}};
const Stroke thin_line{.width_mm = 0.15, .dash_mm = {}, .grey = 0.5, .colour = {}};
const Fill high_fill{.colour = {}, .hatch_spacing_mm = 2.0, .hatch_angle_rad = 0.25 * geometry::pi};
const Fill sand_fill{.colour = {}, .hatch_spacing_mm = 1.2, .hatch_angle_rad = -0.25 * geometry::pi};

class Map {
  public:
    Map(const plan::Plan& plan, const plan::SeamPlan& seam)
        : plan_(plan), made_(*seam.as_made), scale_(sanding_exaggeration(made_)) {
        drawing_.title =
            fmt::format("{}, sanding map of the {} template", seam.name, made_.template_on_left ? "left" : "right");
    }

    Drawing drawing() {
        const double low = scale_ * std::min(0.0, made_.made.map.lowest_mm);
        ruler(0.0);
        heights();
        spots();
        const double strip = low - strip_gap_mm - scale_ * made_.made.sanding.deepest_mm;
        removal(strip);
        words(std::max(0.0, scale_ * made_.made.map.highest_mm) + 12.0);
        return std::move(drawing_);
    }

  private:
    void line(Point a, Point b, const Stroke& stroke) { drawing_.paths.push_back(straight(a, b, stroke)); }
    void say(Point at, std::string text, double height = 3.0, Text::Anchor anchor = Text::Anchor::left,
             bool bold = false) {
        drawing_.texts.push_back({at, std::move(text), height, 0.0, anchor, bold});
    }
    std::string length(double mm) const { return units::show(mm, plan_.style); }
    std::string thin(double mm) const { return units::show_thin(mm, plan_.style.unit); }

    /// The fair edge, with a tick every 10 mm (or half inch) and its figure every 100 mm (or 5 in).
    void ruler(double y) {
        const bool inches = plan_.style.unit == units::Unit::inch;
        const double tick = inches ? 0.5 * units::mm_per_inch : 10.0;
        line({0.0, y}, {made_.length_mm, y}, edge_line);
        for (int k = 0; tick * k <= made_.length_mm; ++k) {
            const double x = tick * k;
            const bool major = k % 10 == 0;
            line({x, y}, {x, y - (major ? 3.0 : k % 5 == 0 ? 2.0 : 1.2)}, thin_line);
            if (major) say({x + 0.8, y - 5.4}, inches ? fmt::format("{} in", k / 2) : fmt::format("{}", 10 * k), 2.8);
        }
    }

    /// Runs of heights of one sign, as closed shapes on the line.
    void heights() {
        const auto& all = made_.made.map.heights;
        std::vector<Point> run;
        const auto close = [&](bool high) {
            if (run.size() > 2)
                drawing_.paths.push_back(
                    {polyline(run, true), high ? high_line : low_line, high ? high_fill : Fill{}, {}, {}});
            run.clear();
        };
        for (std::size_t i = 0; i < all.size(); ++i) {
            const double h = all[i].height_mm;
            if (run.empty()) run.push_back({all[i].at_mm, 0.0});
            run.push_back({all[i].at_mm, scale_ * h});
            if (i + 1 == all.size()) {
                run.push_back({all[i].at_mm, 0.0});
                close(h > 0.0);
            } else if (h * all[i + 1].height_mm <= 0.0) {
                const double change = h - all[i + 1].height_mm;
                const double part = change != 0.0 ? h / change : 0.0;
                const Point zero{all[i].at_mm + part * (all[i + 1].at_mm - all[i].at_mm), 0.0};
                run.push_back(zero);
                close(h > 0.0);
                run.push_back(zero);
            }
        }
    }

    void spots() {
        for (const curves::Spot& spot : made_.made.map.spots) {
            const bool high = spot.height_mm > 0.0;
            const Point top{spot.at_mm, scale_ * spot.height_mm};
            const double y = high ? top.y + 2.0 : top.y - 4.6;
            say({top.x, y},
                fmt::format("{} {}{}", high ? "high" : "low", thin(std::abs(spot.height_mm)),
                            spot.uncertain ? " ?" : ""),
                3.0, Text::Anchor::middle);
        }
    }

    void removal(double y) {
        const auto& sanding = made_.made.sanding;
        say({0.0, y + scale_ * sanding.deepest_mm + 4.0}, "What sanding alone takes off", 3.4, Text::Anchor::left,
            true);
        line({0.0, y}, {made_.length_mm, y}, edge_line);
        std::vector<Point> shape{{sanding.removal.front().at_mm, y}};
        for (const auto& r : sanding.removal) shape.push_back({r.at_mm, y + scale_ * r.depth_mm});
        shape.push_back({sanding.removal.back().at_mm, y});
        if (sanding.deepest_mm > 0.0) drawing_.paths.push_back({polyline(shape, true), high_line, sand_fill, {}, {}});
        for (const curves::Spot& spot : sanding.spots)
            say({spot.at_mm, y - 4.6}, thin(std::abs(spot.height_mm)), 3.0, Text::Anchor::middle);
    }

    void words(double y) {
        const std::vector<std::string> lines = {
            "Along the edge this is full size; 0 is where the seam enters the wood.",
            fmt::format("Across it heights are drawn {:.0f} times too large: 10 mm on paper are {}.", scale_,
                        thin(10.0 / scale_)),
            "Filled with strokes: the edge stands proud of the fair line. Broken outline, white: it lies low.",
            fmt::format("Within {} it counts as fair. A question mark: nearer to an end than {},", thin(made_.fair_mm),
                        length(0.5 * made_.wave_mm)),
            "where the fair line has little to go by.",
            "Sand with a long flexible block, measure again, and copy anew what was copied before.",
            "Sanding dust harms the lungs: extraction and a mask.",
        };
        y += 4.6 * static_cast<double>(lines.size());
        say({0.0, y + 2.0}, drawing_.title, 5.0, Text::Anchor::left, true);
        for (const std::string& text : lines) {
            y -= 4.6;
            say({0.0, y}, text, 3.0);
        }
    }

    const plan::Plan& plan_;
    const plan::MadePlan& made_;
    double scale_;
    Drawing drawing_;
};

}  // namespace

double sanding_exaggeration(const plan::MadePlan& made) {
    const double most =
        std::max({made.made.map.highest_mm, -made.made.map.lowest_mm, made.made.sanding.deepest_mm, made.fair_mm});
    const double wanted = map_high_mm / most;
    const double ten = std::pow(10.0, std::floor(std::log10(wanted)));
    for (const double step : {5.0, 2.0, 1.0})
        if (step * ten <= wanted) return step * ten;
    return ten;
}

Drawing sanding_map(const plan::Plan& plan, const plan::SeamPlan& seam) {
    return Map(plan, seam).drawing();
}

}  // namespace seamwright::paper
