#include "outline.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string>
#include <utility>

#include "corner.h"
#include "curves/drawn.h"
#include "geometry/path_index.h"
#include "places.h"

namespace seamwright::plan {
namespace {

using geometry::Path;
using geometry::Point;
using job::Problem;

// A corner that turns less than this is none: no eye and no finger finds it, and rounding it would need an arc shorter
// than a sanding scratch.
constexpr double no_corner_rad = 1e-6;

constexpr std::array<const char*, 4> edge_names{"front", "right", "back", "left"};
constexpr std::array<const char*, 4> corner_names{"front left", "front right", "back right", "back left"};

class OutlineMaker {
  public:
    OutlineMaker(const job::Job& job, std::vector<Problem>& problems) : job_(job), problems_(problems) {}

    std::optional<Path> make() {
        auto path = std::visit([this](const auto& shape) { return draw(shape); }, job_.outline);
        if (!path) return std::nullopt;
        if (geometry::area_mm2(*path) < 0.0) path = geometry::reversed(*path);
        if (!simple(*path)) return std::nullopt;
        return path;
    }

    std::optional<std::array<Path, 4>> sides(const job::RectangleOutline& rectangle) {
        const double l = rectangle.length_mm, w = rectangle.width_mm;
        const std::array<Point, 4> corners{Point{0.0, 0.0}, Point{l, 0.0}, Point{l, w}, Point{0.0, w}};
        const std::array<const job::Edge*, 4> shapes{&rectangle.front, &rectangle.right, &rectangle.back,
                                                     &rectangle.left};
        std::array<Path, 4> edges;
        for (std::size_t i = 0; i < 4; ++i) {
            auto drawn = edge(*shapes[i], corners[i], corners[(i + 1) % 4],
                              fmt::format("/top/outline/rectangle/{}", edge_names[i]));
            if (!drawn) return std::nullopt;
            edges[i] = std::move(*drawn);
        }
        return edges;
    }

  private:
    std::optional<Path> draw(const job::RoundOutline& round) {
        const double r = 0.5 * round.diameter_mm;
        return geometry::circle({r, r}, r);
    }

    std::optional<Path> draw(const job::OvalOutline& oval) {
        return curve(curves::Oval{{0.5 * oval.length_mm, 0.5 * oval.width_mm}, oval.length_mm, oval.width_mm, 0.0},
                     "/top/outline/oval");
    }

    std::optional<Path> draw(const job::FreeOutline& free) { return curve(free.curve, "/top/outline/drawn"); }

    std::optional<Path> draw(const job::RectangleOutline& rectangle) {
        const auto edges = sides(rectangle);
        if (!edges) return std::nullopt;
        return joined(*edges, rectangle.corner_radius_mm);
    }

    std::optional<Path> edge(const job::Edge& shape, Point from, Point to, const std::string& pointer) {
        if (const auto* bowed = std::get_if<job::BowedEdge>(&shape)) {
            // Outward is the right-hand side when the top is walked round counter-clockwise.
            if (bowed->rise_mm == 0.0) return straight(from, to);
            return curve(curves::Arc{from, to, std::nullopt, -bowed->rise_mm}, pointer + "/bow");
        }
        if (const auto* drawn = std::get_if<job::DrawnEdge>(&shape)) {
            curves::Pins pins;
            pins.points.push_back(from);
            pins.points.insert(pins.points.end(), drawn->pins.begin(), drawn->pins.end());
            pins.points.push_back(to);
            return curve(pins, pointer + "/pins");
        }
        return straight(from, to);
    }

    static Path straight(Point from, Point to) {
        Path path;
        path.segments.push_back(geometry::line(from, to));
        return path;
    }

    std::optional<Path> curve(const curves::Curve& shape, const std::string& pointer) {
        auto drawn = curves::draw(shape);
        if (auto* refused = std::get_if<curves::CurveProblem>(&drawn)) {
            problems_.push_back({Problem::Weight::error, pointer, refused->reason, "a line that can be drawn",
                                 refused->remedy, refused->at});
            return std::nullopt;
        }
        return std::move(std::get<curves::Drawn>(drawn).path);
    }

    std::optional<Path> joined(const std::array<Path, 4>& edges, const std::array<double, 4>& radius_mm) {
        std::array<double, 4> from_mm{}, to_mm{};
        std::array<std::optional<Rounding>, 4> rounding;
        for (std::size_t i = 0; i < 4; ++i) to_mm[i] = geometry::length_mm(edges[i]);
        for (std::size_t i = 0; i < 4; ++i) {
            const Path& before = edges[(i + 3) % 4];
            const Path& after = edges[i];
            const Point u = geometry::tangent_at(before.segments.back(), 1.0);
            const Point v = geometry::tangent_at(after.segments.front(), 0.0);
            if (radius_mm[i] == 0.0 || std::abs(std::atan2(geometry::cross(u, v), geometry::dot(u, v))) < no_corner_rad)
                continue;
            rounding[i] = round_corner(before, after, radius_mm[i]);
            if (!rounding[i]) return no_room(i, radius_mm[i], after.start());
            to_mm[(i + 3) % 4] = rounding[i]->before_mm;
            from_mm[i] = rounding[i]->after_mm;
        }
        Path outline;
        outline.closed = true;
        for (std::size_t i = 0; i < 4; ++i) {
            if (rounding[i]) outline.segments.push_back(rounding[i]->arc);
            const double whole_mm = geometry::length_mm(edges[i]);
            // Two corners may use an edge up to the last bit.
            const double rounding_mm = whole_mm * 1e-12;
            if (from_mm[i] > to_mm[i] + rounding_mm) return no_room(i, radius_mm[i], edges[i].start());
            if (to_mm[i] - from_mm[i] <= rounding_mm) continue;
            Path kept = geometry::part(edges[i], from_mm[i], to_mm[i]);
            // The touch points stand for themselves: found again by length they would be off by rounding.
            if (rounding[i]) kept.segments.front().start = rounding[i]->arc.end;
            const auto& next = rounding[(i + 1) % 4];
            if (next) kept.segments.back().end = next->arc.start;
            outline.segments.insert(outline.segments.end(), kept.segments.begin(), kept.segments.end());
        }
        return outline;
    }

    std::optional<Path> no_room(std::size_t corner, double radius_mm, Point at) {
        problems_.push_back({Problem::Weight::error, "/top/outline/rectangle/corner_radius",
                             fmt::format("a radius of {} at the {} corner, which does not touch both edges",
                                         units::show(radius_mm, job_.style), corner_names[corner]),
                             "a radius that leaves something of each edge between its two corners",
                             "make the radius smaller, or bow the edges less", at});
        return std::nullopt;
    }

    bool simple(const Path& path) {
        const geometry::PathIndex index(path);
        // Every crossing is listed, up to a number a person can still read.
        constexpr std::size_t most = 5;
        std::vector<geometry::PathCrossing> crossings;
        geometry::visit_self_crossings(index, [&](const geometry::PathCrossing& c) {
            crossings.push_back(c);
            return crossings.size() < most;
        });
        if (crossings.empty()) return true;
        for (std::size_t i = 0; i < crossings.size(); ++i) {
            problems_.push_back({Problem::Weight::error, "/top/outline",
                                 fmt::format("an outline that crosses or touches itself {}",
                                             place_words(crossings[i].point, job_.style)),
                                 "an outline that goes round the top once without meeting itself",
                                 "move the edges apart there, or draw the outline in order round the top",
                                 crossings[i].point});
        }
        return false;
    }

    const job::Job& job_;
    std::vector<Problem>& problems_;
};

}  // namespace

std::optional<Path> outline_path(const job::Job& job, std::vector<Problem>& problems) {
    return OutlineMaker(job, problems).make();
}

std::optional<std::array<Path, 4>> outline_sides(const job::Job& job) {
    const auto* rectangle = std::get_if<job::RectangleOutline>(&job.outline);
    std::vector<Problem> told_with_the_outline;
    if (rectangle == nullptr) return std::nullopt;
    return OutlineMaker(job, told_with_the_outline).sides(*rectangle);
}

}  // namespace seamwright::plan
