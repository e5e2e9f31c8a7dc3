#include "geometry/region.h"

#include <array>
#include <queue>

#include "region_index.h"

namespace seamwright::geometry {

double area_mm2(const Region& region) {
    double area = std::abs(area_mm2(region.outer));
    for (const Path& hole : region.holes) area -= std::abs(area_mm2(hole));
    return area;
}

bool contains(const Region& region, Point p) {
    return RegionIndex(region).contains(p);
}

namespace {

/// The search ends when no place can be better by more than this share: a label does not show a tenth.
constexpr double label_share = 0.1;
/// Places looked at before the best so far is taken: 0.1 ms on an edge of some hundred pieces.
constexpr std::size_t most_cells = 160;
/// Places along the edge from which a disc is grown. Enough to meet each limb of a top.
constexpr std::size_t disc_starts = 24;
/// A disc settles in three to six steps; curves that bend evenly may take more but gain nothing then.
constexpr int disc_steps = 12;

struct Disc {
    Point centre;
    double radius_mm = 0.0;
};

/// The largest disc inside the region that touches the edge at p, where `inward` is the normal: the disc through p and
/// the place of the edge nearest to the centre of the disc before (shrinking ball, Ma, Bae, Choi 2012, from memory).
Disc touching_disc(const RegionIndex& edge, Point p, Point inward, double start_mm) {
    constexpr double settled = 1e-3;
    double radius = start_mm;
    for (int step = 0; step < disc_steps; ++step) {
        const Point centre = p + radius * inward;
        const NearestOnPath near = edge.nearest(centre);
        if (near.distance_mm >= radius * (1.0 - settled)) return {centre, near.distance_mm};
        const Point to = near.point - p;
        const double rise = dot(to, inward);
        if (!(rise > 0.0)) break;
        radius = norm2(to) / (2.0 * rise);
    }
    const Point centre = p + radius * inward;
    return {centre, edge.distance_mm(centre)};
}

/// The middle of the area under the chords: where a label is looked for first.
Point middle(const Path& outer) {
    const Point about = outer.start();
    Point sum;
    double weight = 0.0;
    for (const Segment& s : outer.segments) {
        const double w = cross(s.start - about, s.end - about);
        sum = sum + w * ((s.start - about) + (s.end - about));
        weight += w;
    }
    if (weight == 0.0) return bounding_box(outer).low;
    return about + sum / (3.0 * weight);
}

/// A square of the search: how far from the edge any place in it may lie at most.
struct Cell {
    double most_mm;
    std::size_t made;
    Point centre;
    double half_mm;

    /// Best first; of equals the one made first.
    bool operator<(const Cell& other) const {
        return most_mm < other.most_mm || (most_mm == other.most_mm && made > other.made);
    }
};

}  // namespace

// Discs grown from the edge find the widest place of thin and winding pieces, where squares would have to be small
// everywhere; a search over squares, best first, then finds what lies between the starts.
Point label_point(const Region& region) {
    const RegionIndex edge(region);
    if (edge.size() == 0) return {};
    const Box& box = edge.box();
    const Point wanted = middle(region.outer);
    std::vector<Disc> discs{{wanted, edge.depth_mm(wanted)}};
    const std::vector<double> running = running_length_mm(region.outer);
    const double start_mm = 0.5 * std::max(box.width_mm(), box.height_mm());
    const bool turns_left = area_mm2(region.outer) > 0.0;
    for (std::size_t k = 0; k < disc_starts; ++k) {
        const double at = (static_cast<double>(k) + 0.5) / static_cast<double>(disc_starts) * running.back();
        const Station s = station_at(region.outer, running, at);
        const Point left = left_of(tangent_at(region.outer, s));
        const Disc disc = touching_disc(edge, point_at(region.outer, s), turns_left ? left : -left, start_mm);
        if (edge.contains(disc.centre)) discs.push_back(disc);
    }
    double widest = 0.0;
    for (const Disc& d : discs) widest = std::max(widest, d.radius_mm);
    // Of places that are about as good, the one nearest to the middle: a strip has its label half way along.
    Disc best{wanted, -std::numeric_limits<double>::infinity()};
    for (const Disc& d : discs) {
        if (d.radius_mm < (1.0 - 0.5 * label_share) * widest) continue;
        if (best.radius_mm < 0.0 || distance(d.centre, wanted) < distance(best.centre, wanted)) best = d;
    }

    std::priority_queue<Cell> open;
    std::size_t made = 0;
    const auto look = [&](Point centre, double half_mm) {
        const double here = edge.depth_mm(centre);
        if (here > (1.0 + label_share) * best.radius_mm) best = {centre, here};
        open.push({here + half_mm * std::sqrt(2.0), made++, centre, half_mm});
    };
    const double narrow = std::min(box.width_mm(), box.height_mm());
    const double long_side = std::max(box.width_mm(), box.height_mm());
    if (!(narrow > 0.0)) return best.centre;
    const auto count = static_cast<std::size_t>(std::clamp(std::ceil(long_side / narrow), 1.0, 16.0));
    const double half = 0.5 * std::max(narrow, long_side / static_cast<double>(count));
    const Point along = box.width_mm() >= box.height_mm() ? Point{1.0, 0.0} : Point{0.0, 1.0};
    const Point first = midpoint(box.low, box.high) - (static_cast<double>(count) - 1.0) * half * along;
    for (std::size_t k = 0; k < count; ++k) look(first + (2.0 * static_cast<double>(k) * half) * along, half);
    while (!open.empty() && made < most_cells) {
        const Cell cell = open.top();
        open.pop();
        if (cell.most_mm <= (1.0 + label_share) * best.radius_mm) break;
        const double quarter = 0.5 * cell.half_mm;
        for (const Point d : {Point{-1, -1}, Point{1, -1}, Point{-1, 1}, Point{1, 1}}) {
            look(cell.centre + quarter * d, quarter);
        }
    }
    return best.centre;
}

}  // namespace seamwright::geometry
