#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "curves/import.h"
#include "curves/routable.h"
#include "traces.h"

// Invented edges as makers draw and import them, many of them too tight for the tools. The same on every machine.
namespace seamwright::testing {

struct DrawnEdge {
    std::string what;
    curves::Drawn drawn;
};

class EdgeMaker {
  public:
    explicit EdgeMaker(std::uint64_t seed) : scatter_(seed) {
        for (int i = 0; i < 20; ++i) scatter_.uniform();
    }

    double between(double low, double high) { return low + (high - low) * scatter_.uniform(); }
    /// Small and large sizes are equally likely.
    double sized(double low, double high) { return low * std::pow(high / low, scatter_.uniform()); }
    int count(int low, int high) { return low + static_cast<int>(scatter_.uniform() * (high - low + 1)); }

    /// nullopt where what was thrown cannot be drawn at all.
    std::optional<DrawnEdge> batten() {
        curves::Pins pins;
        const double length = between(300.0, 2400.0);
        const int n = count(3, 12);
        const double height = between(5.0, 0.12 * length);
        for (int i = 0; i < n; ++i)
            pins.points.push_back({length * (i + between(-0.25, 0.25)) / (n - 1), height * between(-1.0, 1.0)});
        return drawn("batten", pins);
    }

    std::optional<DrawnEdge> wave() {
        curves::Wave wave{{0.0, 0.0}, {between(300.0, 2400.0), between(-200.0, 200.0)}, {}};
        const int terms = count(1, 3);
        for (int i = 0; i < terms; ++i) {
            const double length = sized(60.0, 1200.0);
            wave.terms.push_back({length * between(0.01, 0.16) / terms, length, between(0.0, 1.0)});
        }
        return drawn("wave", wave);
    }

    std::optional<DrawnEdge> arc() {
        const double chord = sized(40.0, 2000.0);
        return drawn("arc", curves::Arc{{0.0, 0.0}, {chord, 0.0}, std::nullopt, chord * between(-0.45, 0.45)});
    }

    /// Straight legs that meet at corners: an edge imported from a drawing.
    std::optional<DrawnEdge> corners() {
        std::vector<Point> points{{0.0, 0.0}};
        const int legs = count(2, 7);
        double heading = 0.0;
        for (int i = 0; i < legs; ++i) {
            points.push_back(points.back() + sized(30.0, 500.0) * geometry::unit(heading));
            heading = std::fmax(-1.4, std::fmin(1.4, heading + between(-1.6, 1.6)));
        }
        return drawn("corners", curves::Imported{geometry::polyline(points), 0.0});
    }

    /// A gentle traced edge of many points with bumps and notches in it, narrow and wide.
    std::optional<DrawnEdge> bumps() {
        const double length = between(400.0, 2400.0);
        const double wave = between(600.0, 2000.0);
        const double height = between(0.0, 40.0);
        const double shift = between(0.0, 6.0);
        struct Bump {
            double at, height, width;
        };
        std::vector<Bump> bumps;
        const int n = count(1, 4);
        for (int i = 0; i < n; ++i)
            bumps.push_back(
                {length * between(0.0, 1.0), sized(0.3, 15.0) * (count(0, 1) == 0 ? 1.0 : -1.0), sized(1.5, 60.0)});
        const double jitter = count(0, 1) == 0 ? 0.0 : 0.05;
        const double step = sized(0.5, 8.0);
        std::vector<Point> points;
        for (double x = 0.0; x <= length; x += step) {
            double y = height * std::sin(2.0 * geometry::pi * x / wave + shift) + jitter * scatter_.normal();
            for (const Bump& b : bumps) {
                const double u = std::abs(x - b.at) / b.width;
                if (u < 1.0) y += b.height * (1.0 - u);
            }
            points.push_back({x, y});
        }
        return drawn("bumps", curves::Imported{geometry::polyline(points), 0.0});
    }

    /// Beziers joined with and without corners, their handles anywhere ahead.
    std::optional<DrawnEdge> beziers() {
        std::string d = "M0,0";
        const auto say = [&d](double v) { d += std::to_string(v) + ","; };
        double x = 0.0;
        const int n = count(1, 4);
        for (int i = 0; i < n; ++i) {
            const double length = sized(80.0, 600.0);
            const double height = 0.35 * length;
            d += " C";
            say(x + length * between(0.05, 0.6));
            say(height * between(-1.0, 1.0));
            say(x + length * between(0.4, 0.95));
            say(height * between(-1.0, 1.0));
            x += length;
            say(x);
            say(height * between(-0.5, 0.5));
            d.pop_back();
        }
        const auto read = curves::read_svg_path(d, 1.0, true);
        if (!std::holds_alternative<curves::Imported>(read)) return std::nullopt;
        return drawn("beziers", std::get<curves::Imported>(read));
    }

    /// Lines and arcs without corners, the arcs of any radius: a drawing made with compasses and a rule.
    std::optional<DrawnEdge> arcs_and_lines() {
        geometry::Path path;
        Point at{0.0, 0.0};
        double heading = 0.0;
        const int n = count(2, 7);
        for (int i = 0; i < n; ++i) {
            if (i % 2 == count(0, 1)) {
                const Point to = at + sized(10.0, 400.0) * geometry::unit(heading);
                path.segments.push_back(geometry::line(at, to));
                at = to;
            } else {
                const double to = std::fmax(-1.5, std::fmin(1.5, heading + between(-1.5, 1.5)));
                const double turn = to - heading;
                if (std::abs(turn) < 0.02) continue;
                const double radius = sized(3.0, 600.0);
                const Point centre = at + (turn > 0.0 ? radius : -radius) * geometry::left_of(geometry::unit(heading));
                path.segments.push_back(geometry::arc_about(centre, at, turn));
                at = path.segments.back().end;
                heading = to;
            }
        }
        if (path.segments.empty()) return std::nullopt;
        return drawn("arcs and lines", curves::Imported{path, 0.0});
    }

    std::optional<DrawnEdge> any() {
        switch (count(0, 6)) {
            case 0:
                return batten();
            case 1:
                return wave();
            case 2:
                return arc();
            case 3:
                return corners();
            case 4:
                return bumps();
            case 5:
                return beziers();
            default:
                return arcs_and_lines();
        }
    }

    curves::RoutableSettings asked() {
        curves::RoutableSettings out;
        out.least_radius_left_mm = out.least_radius_right_mm = sized(8.0, 400.0);
        if (count(0, 4) == 0) out.least_radius_right_mm = sized(8.0, 400.0);
        out.band_mm = sized(0.5, 30.0);
        return out;
    }

  private:
    static std::optional<DrawnEdge> drawn(const char* what, const curves::Curve& curve) {
        auto result = curves::draw(curve);
        if (!std::holds_alternative<curves::Drawn>(result)) return std::nullopt;
        return DrawnEdge{what, std::get<curves::Drawn>(std::move(result))};
    }

    Scatter scatter_;
};

}  // namespace seamwright::testing
