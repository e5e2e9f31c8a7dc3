// Distances as far as they matter.
//
// A trimmed parallel asks some thousand times whether a place is at the disc's radius from the path, and nothing nearer
// (parallel.cpp). Nearly all of the path is farther, and this is what has to be seen quickly: first by boxes, then by
// the vertices alone. Of any place on a line, the square of the distance is at least that of the nearer end less a
// quarter of the square of the length; of any place on an arc, the nearer end is at most half the length away. Only the
// segments that pass are measured. The two places of a question are worked on side by side, as one pair of numbers.

#include <array>
#include <cmath>

#include "box_walk.h"
#include "geometry/path_index.h"
#include "square_distance.h"

namespace seamwright::geometry {

namespace {

/// Two numbers that the processor handles at once.
using Pair = double __attribute__((vector_size(2 * sizeof(double))));

inline Pair smaller(Pair a, Pair b) {
    return a < b ? a : b;
}
inline Pair larger(Pair a, Pair b) {
    return a > b ? a : b;
}

/// The search for the distances of so many pairs of places at once: what they are held against is loaded once for all.
template <std::size_t Pairs>
class Search {
  public:
    /// `most` bounds the squares; of a place that is asked for twice, the second is not looked for.
    Search(const std::array<Point, 2 * Pairs>& places, double most) : places_(places) {
        for (std::size_t k = 0; k < Pairs; ++k) {
            const Point first = places[2 * k], second = places[2 * k + 1];
            x_[k] = Pair{first.x, second.x};
            y_[k] = Pair{first.y, second.y};
            // Nothing is nearer than a square below zero.
            least_[k] = Pair{most, first == second ? -1.0 : most};
        }
    }

    bool may_reach(const Box& box) const {
        bool any = false;
        for (std::size_t k = 0; k < Pairs; ++k) {
            const Pair dx = larger(larger(box.low.x - x_[k], x_[k] - box.high.x), Pair{});
            const Pair dy = larger(larger(box.low.y - y_[k], y_[k] - box.high.y), Pair{});
            any = any || any_below(dx * dx + dy * dy, least_[k]);
        }
        return any;
    }

    /// Measures those of the run's segments that may be nearer than what is known, by their vertices; `spread` is what
    /// the square of a distance may be less than that of the nearer end.
    void measure_run(const Segment* run, std::size_t size, double spread, bool broken) {
        // nearer_end[k]: of segment k. In an unbroken run each end is the next start.
        std::array<std::array<Pair, Pairs>, box_fan> nearer_end;
        std::array<Pair, Pairs> before = squares(run[0].start);
        std::array<Pair, Pairs> lowest = before;
        for (std::size_t k = 0; k < size; ++k) {
            if (broken) before = squares(run[k].start);
            const std::array<Pair, Pairs> after = squares(run[k].end);
            for (std::size_t p = 0; p < Pairs; ++p) {
                nearer_end[k][p] = smaller(before[p], after[p]);
                lowest[p] = smaller(lowest[p], nearer_end[k][p]);
            }
            before = after;
        }
        for (std::size_t p = 0; p < Pairs; ++p) {
            const Pair limit = least_[p] + spread;
            if (!any_below(lowest[p], limit)) continue;
            for (std::size_t k = 0; k < size; ++k) {
                if (nearer_end[k][p][0] < limit[0]) measure(p, 0, run[k]);
                if (nearer_end[k][p][1] < limit[1]) measure(p, 1, run[k]);
            }
        }
    }

    /// The first of every pair is nearer than that already, so that nobody asks for the second.
    bool all_nearer_than(double enough) const {
        return std::all_of(least_.begin(), least_.end(), [&](const Pair& least) { return least[0] < enough; });
    }

    double distance_mm(std::size_t pair, int which, double most_mm) const {
        return found_[pair][static_cast<std::size_t>(which)] ? std::sqrt(least_[pair][which]) : most_mm;
    }

  private:
    static bool any_below(Pair squares, Pair limits) {
        const auto below = squares < limits;
        return (below[0] | below[1]) != 0;
    }

    std::array<Pair, Pairs> squares(Point vertex) const {
        std::array<Pair, Pairs> all;
        for (std::size_t p = 0; p < Pairs; ++p) {
            const Pair dx = x_[p] - vertex.x;
            const Pair dy = y_[p] - vertex.y;
            all[p] = dx * dx + dy * dy;
        }
        return all;
    }

    void measure(std::size_t pair, int which, const Segment& s) {
        const double square = square_distance_to(s, places_[2 * pair + static_cast<std::size_t>(which)]);
        if (square >= least_[pair][which]) return;
        least_[pair][which] = square;
        found_[pair][static_cast<std::size_t>(which)] = true;
    }

    std::array<Point, 2 * Pairs> places_;
    std::array<Pair, Pairs> x_, y_, least_;
    std::array<std::array<bool, 2>, Pairs> found_{};
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

template <std::size_t Pairs>
std::array<PathIndex::TwoDistances, Pairs> PathIndex::search(std::span<const Part> parts,
                                                             const std::array<Point, 2 * Pairs>& places,
                                                             double enough_mm, double most_mm) const {
    std::array<TwoDistances, Pairs> found;
    found.fill({most_mm, most_mm});
    if (path_->empty()) return found;
    const double enough = enough_mm > 0.0 ? enough_mm * enough_mm : 0.0;
    Search<Pairs> search(places, most_mm * most_mm);
    std::array<Part, walk_room> stack;
    bool decided = false;
    for (std::size_t p = 0; p < parts.size() && !decided; ++p) {
        std::size_t waiting = 0;
        const auto await = [&](std::uint32_t level, std::size_t index) {
            if (search.may_reach(levels_[level][index])) stack[waiting++] = {level, static_cast<std::uint32_t>(index)};
        };
        await(parts[p].level, parts[p].index);
        while (waiting > 0 && !decided) {
            const Part at = stack[--waiting];
            if (at.level > 0) {
                const std::size_t stop = std::min((at.index + 1) * box_fan, levels_[at.level - 1].size());
                for (std::size_t k = at.index * box_fan; k < stop; ++k) await(at.level - 1, k);
                continue;
            }
            const std::size_t from = at.index * box_fan;
            const Run& known = runs_[at.index];
            const double spread =
                std::max(known.quarter_square, known.half_arc_mm * (2.0 * most_mm + known.half_arc_mm));
            search.measure_run(path_->segments.data() + from, std::min(box_fan, path_->segments.size() - from), spread,
                               known.broken);
            decided = search.all_nearer_than(enough);
        }
    }
    for (std::size_t p = 0; p < Pairs; ++p) {
        found[p] = {search.distance_mm(p, 0, most_mm), decided ? most_mm : search.distance_mm(p, 1, most_mm)};
    }
    return found;
}

PathIndex::TwoDistances PathIndex::distances_between(std::span<const Part> parts, Point first, Point second,
                                                     double enough_mm, double most_mm) const {
    return search<1>(parts, {first, second}, enough_mm, most_mm)[0];
}

std::array<PathIndex::TwoDistances, 2> PathIndex::distances_between(std::span<const Part> parts,
                                                                    const std::array<Point, 4>& places,
                                                                    double enough_mm, double most_mm) const {
    return search<2>(parts, places, enough_mm, most_mm);
}

}  // namespace seamwright::geometry
