// Distances as far as they matter.
//
// A trimmed parallel asks some thousand times whether a place is at the disc's radius from the path, and nothing nearer
// (parallel.cpp). Nearly all of the path is farther, and this is what has to be seen quickly: first by boxes, then by
// the vertices alone. Of any place on a line, the square of the distance is at least that of the nearer end less a
// quarter of the square of the length; of any place on an arc, the nearer end is at most half the length away. Only the
// segments that pass are measured. The two places of a question are worked on side by side, as one pair of numbers.

#include <array>

#include "box_walk.h"
#include "geometry/path_index.h"
#include "square_distance.h"

namespace seamwright::geometry {

namespace {

/// Two numbers that the processor handles at once.
using Pair = double __attribute__((vector_size(2 * sizeof(double))));

struct TwoPlaces {
    Pair x, y;
};

Pair square_distances(Point vertex, const TwoPlaces& places) {
    const Pair dx = places.x - vertex.x;
    const Pair dy = places.y - vertex.y;
    return dx * dx + dy * dy;
}

Pair smaller(Pair a, Pair b) {
    return a < b ? a : b;
}
Pair larger(Pair a, Pair b) {
    return a > b ? a : b;
}

Pair square_distances(const Box& box, const TwoPlaces& places) {
    const Pair dx = larger(larger(box.low.x - places.x, places.x - box.high.x), Pair{});
    const Pair dy = larger(larger(box.low.y - places.y, places.y - box.high.y), Pair{});
    return dx * dx + dy * dy;
}

bool any_below(Pair squares, Pair limits) {
    return squares[0] < limits[0] || squares[1] < limits[1];
}

/// What is known of the two distances so far, by their squares.
struct Search {
    std::array<Point, 2> places;
    Pair least;
    std::array<bool, 2> found{};

    void measure(std::size_t k, const Segment& s) {
        const double square = square_distance_to(s, places[k]);
        if (square >= least[k]) return;
        least[k] = square;
        found[k] = true;
    }
};

}  // namespace

bool PathIndex::any_nearer_than(Point p, double radius_mm) const {
    return radius_mm > 0.0 && distance_between(p, radius_mm, radius_mm) < radius_mm;
}

double PathIndex::distance_between(Point p, double enough_mm, double most_mm) const {
    return distances_between(p, p, enough_mm, most_mm).first_mm;
}

PathIndex::TwoDistances PathIndex::distances_between(Point first, Point second, double enough_mm,
                                                     double most_mm) const {
    return distances_between(std::array{whole()}, first, second, enough_mm, most_mm);
}

void PathIndex::parts_near(const Box& places, double most_mm, std::vector<Part>& parts) const {
    parts.clear();
    if (path_->empty()) return;
    const double size = std::max(places.width_mm(), places.height_mm());
    const double farthest = most_mm * most_mm;
    std::array<Part, walk_room> stack;
    std::size_t waiting = 0;
    stack[waiting++] = whole();
    while (waiting > 0) {
        const Part part = stack[--waiting];
        const Box& box = levels_[part.level][part.index];
        if (part.level == 0 || std::max(box.width_mm(), box.height_mm()) <= size) {
            parts.push_back(part);
            continue;
        }
        const std::vector<Box>& below = levels_[part.level - 1];
        const auto stop = static_cast<std::uint32_t>(std::min((part.index + 1) * box_fan, below.size()));
        for (auto k = static_cast<std::uint32_t>(part.index * box_fan); k < stop; ++k) {
            if (square_distance(below[k], places) < farthest) stack[waiting++] = {part.level - 1, k};
        }
    }
}

PathIndex::TwoDistances PathIndex::distances_between(std::span<const Part> parts, Point first, Point second,
                                                     double enough_mm, double most_mm) const {
    if (path_->empty()) return {most_mm, most_mm};
    const double enough = enough_mm > 0.0 ? enough_mm * enough_mm : 0.0;
    const double most = most_mm * most_mm;
    const bool one = first == second;
    // Nothing is nearer than a square below zero: the second place is not looked for.
    Search search{{first, second}, {most, one ? -1.0 : most}};
    const TwoPlaces places{{first.x, second.x}, {first.y, second.y}};
    std::array<Part, walk_room> stack;
    for (const Part& part : parts) {
        std::size_t waiting = 0;
        const auto await = [&](std::uint32_t level, std::size_t index) {
            if (!any_below(square_distances(levels_[level][index], places), search.least)) return;
            stack[waiting++] = {level, static_cast<std::uint32_t>(index)};
        };
        await(part.level, part.index);
        while (waiting > 0) {
            const Part at = stack[--waiting];
            if (at.level > 0) {
                const std::size_t stop = std::min((at.index + 1) * box_fan, levels_[at.level - 1].size());
                for (std::size_t k = at.index * box_fan; k < stop; ++k) await(at.level - 1, k);
                continue;
            }
            const std::size_t from = at.index * box_fan;
            const std::size_t count = std::min(box_fan, path_->segments.size() - from);
            const Segment* const run = path_->segments.data() + from;
            const Run& known = runs_[at.index];
            const double spread =
                std::max(known.quarter_square, known.half_arc_mm * (2.0 * most_mm + known.half_arc_mm));
            const Pair limit = search.least + spread;
            // nearer_end[k]: of segment k. In an unbroken run each end is the next start.
            std::array<Pair, box_fan> nearer_end;
            Pair before = square_distances(run[0].start, places);
            Pair lowest = before;
            for (std::size_t k = 0; k < count; ++k) {
                if (known.broken) before = square_distances(run[k].start, places);
                const Pair after = square_distances(run[k].end, places);
                nearer_end[k] = smaller(before, after);
                lowest = smaller(lowest, nearer_end[k]);
                before = after;
            }
            if (!any_below(lowest, limit)) continue;
            for (std::size_t k = 0; k < count; ++k) {
                if (nearer_end[k][0] < limit[0]) search.measure(0, run[k]);
                if (nearer_end[k][1] < limit[1]) search.measure(1, run[k]);
            }
            if (search.least[0] < enough) return {std::sqrt(search.least[0]), most_mm};
        }
    }
    return {search.found[0] ? std::sqrt(search.least[0]) : most_mm,
            search.found[1] ? std::sqrt(search.least[1]) : most_mm};
}

}  // namespace seamwright::geometry
