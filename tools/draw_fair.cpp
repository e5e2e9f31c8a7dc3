// The pictures of docs/fair-curves.md. Every line in them comes out of the program: the curves from curves, the SVG
// from paper. The trace is invented.
//
//   draw_fair FOLDER

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <random>
#include <stdexcept>

#include "curves/drawn.h"
#include "curves/elastica.h"
#include "curves/fair.h"
#include "curves/high_spots.h"
#include "curves/routable.h"
#include "curves/stick.h"
#include "geometry/path_index.h"
#include "picture.h"

namespace {

using namespace seamwright;
using namespace seamwright::pictures;

/// Curvatures are told in turns per metre of length: 1/m.
constexpr double per_metre = 1000.0;

template <typename Value, typename Problem>
Value good(std::variant<Value, Problem> result) {
    if (const auto* problem = std::get_if<Problem>(&result)) throw std::runtime_error(problem->reason);
    return std::get<Value>(std::move(result));
}

std::vector<Point> curvature_of(const curves::Drawn& drawn) {
    std::vector<Point> values;
    for (const auto& c : drawn.curvature) values.push_back({c.at_mm, per_metre * c.curvature});
    return values;
}

double length_of(const curves::Drawn& drawn) {
    return geometry::length_mm(drawn.path);
}

// ---- one set of pins, two sticks ----

Picture two_battens() {
    curves::Pins pins;
    pins.points = {{0, 0}, {280, 120}, {600, 40}, {900, -40}, {1150, 80}};
    const curves::Drawn even = good(curves::draw(pins));
    pins.batten = curves::Batten::free;
    const curves::Drawn free = good(curves::draw(pins));
    Picture pic("The same pins: an even batten and a free one");
    const Frame f{{0.0, 132.0}, 165.0 / 1150.0, 165.0 / 1150.0};
    pic.path(f.at(even.path), solid(0.6));
    pic.path(f.at(free.path), dashed(0.35, {2.0, 1.0}));
    for (const Point& p : pins.points) pic.dot(f.at(p), 1.0);
    pic.text({82.0, 156.0}, "thick: even batten; dashed: free batten; dots: pins", Anchor::middle);

    const Graph apart{{0.0, 66.0}, {165.0, 104.0}, 0.0, length_of(even), -12.0, 12.0};
    apart.axes(pic, 100.0, "{:.0f}", 4.0, "{:.0f}", "the free batten, mm beside the even one; + to the left");
    const geometry::PathIndex index(free.path);
    const auto running = geometry::running_length_mm(even.path);
    std::vector<Point> beside;
    for (double at = 0.0; at <= running.back(); at += 4.0) {
        const auto s = geometry::station_at(even.path, running, at);
        const Point p = geometry::point_at(even.path, s);
        const Point left = geometry::left_of(geometry::tangent_at(even.path, s));
        beside.push_back({at, geometry::dot(index.nearest(p).point - p, left)});
    }
    apart.curve(pic, beside, dashed(0.35, {2.0, 1.0}));
    double at = 0.0;
    for (const Point& p : pins.points) {
        at = geometry::length_to(running, geometry::PathIndex(even.path).nearest(p).at);
        pic.dot(apart.at(at, 0.0), 1.0);
    }

    const Graph bend{{0.0, 0.0}, {165.0, 42.0}, 0.0, length_of(even), -4.0, 4.0};
    bend.axes(pic, 100.0, "{:.0f}", 2.0, "{:.0f}", "how sharply they bend: 1/radius in 1/m; + to the left");
    bend.curve(pic, curvature_of(even), solid(0.6));
    bend.curve(pic, curvature_of(free), dashed(0.35, {2.0, 1.0}));
    pic.text({165.0, -9.5}, "length along the batten in mm", Anchor::right);
    return pic;
}

// ---- a stick of fixed length, pushed together ----

Picture sprung_sticks() {
    Picture pic("A stick 1000 mm long, its ends pushed together");
    const Frame f{{58.0, 0.0}, 0.115, 0.115};
    pic.line(f.at(Point{-500.0, 0.0}), f.at(Point{500.0, 0.0}), dash_dot());
    double row = 46.0;
    for (const double chord : {200.0, 500.0, 750.0, 900.0, 980.0}) {
        const curves::SprungStick s =
            good(curves::sprung_stick({.chord_mm = chord, .length_mm = 1000.0, .rise_mm = {}}));
        const geometry::SmoothCurve curve = s.curve({-0.5 * chord, 0.0}, 0.0, true);
        std::vector<Point> on_paper;
        for (int i = 0; i <= 200; ++i) on_paper.push_back(f.at(curve.point(5.0 * i)));
        pic.path(geometry::polyline(on_paper), solid(0.45));
        for (const double side : {-0.5, 0.5}) pic.dot(f.at(Point{side * chord, 0.0}), 0.9);
        // The crests of the two highest lie close together, so their leaders start farther down.
        const Point words{126.0, row};
        const Point from = f.at(curve.point(chord < 300.0 ? 560.0 : chord < 600.0 ? 680.0 : 740.0));
        pic.line(words + Point{-1.5, 1.2}, from, solid(0.15));
        pic.dot(from, 0.45);
        pic.text(words, fmt::format("ends {:.0f} apart: rise {:.0f}, tightest radius {:.0f}", chord, s.rise_mm,
                                    s.tightest_radius_mm));
        row -= 8.0;
    }
    pic.text({0.0, -8.0}, "The same stick each time; its ends turn freely in the pins. All in mm.");
    return pic;
}

// ---- a line drawn by hand ----

struct ByHand {
    std::vector<Point> points;
    geometry::Path meant;
};

/// A wave as a hand draws it: a slow wander, a tremble, and one slip of the pencil.
ByHand by_hand() {
    const curves::Drawn meant = good(curves::draw(curves::Wave{{0.0, 0.0}, {1000.0, 0.0}, {{45.0, 1100.0, 0.08}}}));
    std::mt19937 random(7);
    const auto even = [&] { return static_cast<double>(random()) / 4294967296.0 - 0.5; };
    ByHand hand;
    hand.meant = meant.path;
    const auto running = geometry::running_length_mm(meant.path);
    double tremble = 0.0;
    for (double at = 0.0; at <= running.back(); at += 2.0) {
        tremble = 0.8 * tremble + 0.35 * even();
        const double slip = 1.6 * std::exp(-std::pow((at - 610.0) / 16.0, 2.0));
        const double wander = 0.35 * std::sin(at / 9.0 + 1.0) * std::sin(at / 170.0);
        const auto s = geometry::station_at(meant.path, running, at);
        const Point left = geometry::left_of(geometry::tangent_at(meant.path, s));
        hand.points.push_back(geometry::point_at(meant.path, s) + (tremble + wander + slip) * left);
    }
    return hand;
}

Picture fair_line() {
    const ByHand hand = by_hand();
    curves::FairSettings settings;
    settings.wave_mm = 250.0;
    const curves::FairCurve plain_fit = good(curves::fit_fair(hand.points, settings));
    settings.robust = true;
    const curves::FairCurve fair = good(curves::fit_fair(hand.points, settings));
    Picture pic("A line drawn by hand and the fair curve under it");
    const Frame f{{0.0, 136.0}, 0.165, 0.165};
    pic.path(f.at(geometry::polyline(hand.points)), solid(0.25));
    pic.text({82.0, 150.0}, "the line as drawn; at this size it looks fair", Anchor::middle);

    const Graph off{{0.0, 66.0}, {165.0, 112.0}, 0.0, fair.length_mm, -0.8, 2.0};
    off.axes(pic, 100.0, "{:.0f}", 0.4, "{:.1f}",
             "thin: line as drawn, mm beside the fair curve; dashed: a fit that follows the slip");
    std::vector<Point> drawn, other;
    for (const auto& o : fair.offsets) drawn.push_back({o.at_mm, o.off_mm});
    off.curve(pic, drawn, solid(0.25));
    std::vector<Point> followed;
    for (double at = 0.0; at <= plain_fit.length_mm; at += 5.0)
        followed.push_back(plain_fit.curve().point(std::min(at, plain_fit.length_mm)));
    for (const auto& o : curves::offsets_from(fair, followed)) other.push_back({o.at_mm, o.off_mm});
    off.curve(pic, other, dashed(0.4, {2.0, 1.0}));
    const Point slip = off.at(610.0, 1.5);
    pic.call_out(slip + Point{-8.0, -1.2}, slip, "a slip of the pencil: the fair curve lets it lie", Anchor::right);

    const Graph bend{{0.0, 0.0}, {165.0, 44.0}, 0.0, fair.length_mm, -2.0, 3.0};
    bend.axes(pic, 100.0, "{:.0f}", 1.0, "{:.0f}",
              "thick: the fair curve's bend, 1/radius in 1/m; thin: of what was meant");
    std::vector<Point> curvature;
    for (double at = 0.0; at <= fair.length_mm; at += 2.0) curvature.push_back({at, per_metre * fair.curvature_at(at)});
    const auto clipped = [&](std::vector<Point> values) {
        for (Point& v : values) v.y = std::clamp(v.y, bend.y0, bend.y1);
        return values;
    };
    bend.curve(pic, clipped(curvature), solid(0.6));
    bend.curve(
        pic, clipped(curvature_of(good(curves::draw(curves::Wave{{0.0, 0.0}, {1000.0, 0.0}, {{45.0, 1100.0, 0.08}}})))),
        solid(0.2));
    pic.text({165.0, -9.5}, "length along the curve in mm", Anchor::right);
    return pic;
}

// ---- too tight for the tools ----

Picture eased_line() {
    constexpr double radius_mm = 60.0, band_mm = 6.0;
    const curves::Drawn drawn = good(curves::draw(curves::Wave{{0.0, 0.0}, {600.0, 0.0}, {{32.0, 260.0, 0.1}}}));
    curves::RoutableSettings settings;
    settings.least_radius_left_mm = settings.least_radius_right_mm = radius_mm;
    settings.band_mm = band_mm;
    const curves::Routable eased = good(curves::make_routable(drawn, settings));
    Picture pic("A wave too tight for the tools, eased");
    const Frame f{{0.0, 72.0}, 0.275, 0.275};
    pic.path(f.at(drawn.path), dashed(0.35, {2.0, 1.0}));
    pic.path(f.at(eased.drawn.path), solid(0.6));
    pic.text({82.0, 88.0},
             fmt::format("dashed: as drawn; thick: eased to a radius of {:.0f} mm, moved by at most {:.1f} mm",
                         radius_mm, std::abs(eased.largest.largest_mm)),
             Anchor::middle);
    const Graph bend{{0.0, 0.0}, {165.0, 46.0}, 0.0, length_of(drawn), -20.0, 20.0};
    bend.axes(pic, 100.0, "{:.0f}", 10.0, "{:.0f}",
              "bend, 1/radius in 1/m; dash-dotted: the tightest the tools can follow");
    bend.curve(pic, curvature_of(drawn), dashed(0.35, {2.0, 1.0}));
    bend.curve(pic, curvature_of(eased.drawn), solid(0.6));
    for (const double side : {-1.0, 1.0}) {
        const double limit = side * per_metre / radius_mm;
        pic.line(bend.at(0.0, limit), bend.at(bend.x1, limit), dash_dot());
    }
    pic.text({165.0, -9.5}, "length along the curve in mm", Anchor::right);
    return pic;
}

}  // namespace

int main(int count, char** words) try {
    if (count != 2) {
        fmt::print(stderr, "draw_fair FOLDER\n");
        return 2;
    }
    const std::filesystem::path folder = words[1];
    save(folder / "two-battens.svg", two_battens());
    save(folder / "sprung.svg", sprung_sticks());
    save(folder / "fair-line.svg", fair_line());
    save(folder / "eased-line.svg", eased_line());
    return 0;
} catch (const std::exception& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return 1;
}
