#pragma once

#include "bench.h"
#include "curves/drawn.h"

namespace seamwright::edit {

using geometry::Point;

/// Drawn ends lie this far past the edge of the top, unless the maker wants more. The job asks for 20 mm; the rest is
/// room for a hand that moves the edge or the seam a little later.
inline constexpr double past_edge_mm = 40.0;
inline constexpr double least_past_edge_mm = 20.0;

// Pins nearer than this cannot be told apart by hand, and a batten does not bend between them.
inline constexpr double pins_apart_mm = 2.0;
/// The fewest pins that hold a curve.
constexpr std::size_t pins_needed(bool closed) {
    return closed ? 3 : 2;
}

/// The curve drawn out; nullopt where it cannot be.
std::optional<curves::Drawn> drawn(const curves::Curve& curve);

/// The two ends of an open curve; nullopt for closed and imported ones.
struct Ends {
    Point from, to;
};
std::optional<Ends> ends_of(const curves::Curve& curve);
curves::Curve with_end(curves::Curve curve, bool start, Point end);
/// What an end is called: "left", "right", or on a seam that runs away from the maker "front", "back".
const char* end_word(Point from, Point to, bool start);
/// Where an end stands in the document, below the curve's own steps.
Steps end_steps(const Json& tree, const Steps& curve, bool start);

/// A place on an edge that runs counter-clockwise round the wood.
struct EdgePlace {
    Point at;
    Point along;    ///< unit vector
    Point outward;  ///< unit vector
};
EdgePlace nearest_place(const geometry::PathIndex& edge, Point to);
/// The same, brought to the nearest mark of the rule in the direction the edge runs more in.
EdgePlace place_on_mark(const geometry::PathIndex& edge, Point to, const Ruler& ruler, const Aim& aim);

/// How far a place lies outside the edge; negative inside.
double clear_mm(const geometry::PathIndex& edge, Point p);

/// Where an open line crosses the edge nearest to one of its ends, if that end lies outside.
std::optional<Point> crossing_at(const geometry::Path& line, const geometry::PathIndex& edge, bool start);

/// Where the drawn end must lie so that the curve crosses the edge at `place`: past the edge as far as it was, but at
/// least past_edge_mm. nullopt where no such curve can be drawn.
std::optional<Point> slid_end(const curves::Curve& curve, bool start, const geometry::PathIndex& edge,
                              const EdgePlace& place);

/// The place where a ray from `from` leaves the edge last.
std::optional<Point> last_crossing(const geometry::PathIndex& edge, Point from, Point direction);

/// A straight seam across the field, along its length at that y, past the edge at both ends.
Ends laid_across(const geometry::Path& field, double y);

}  // namespace seamwright::edit
