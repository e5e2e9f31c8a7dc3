// The gap between two cut edges. Each sample is the distance from a place on the left edge to the nearest of the right
// edge, with the sign of the side it lies on. The largest value does not come from the samples: it is the certified
// largest distance, taken both ways, because a notch in either edge shows from that edge only.

#include "gap.h"

#include <algorithm>
#include <cmath>
#include <span>

#include "geometry/path_index.h"

namespace seamwright::seam {
namespace {

using geometry::PathIndex;
using geometry::Station;

// A tenth of the micrometre that a gap may be and still count as none.
constexpr double certified_mm = 1e-4;
// Samples for drawing the gap: a place every 2 mm shows what a guide can follow; longer seams are spread thinner.
constexpr double least_spacing_mm = 2.0;
constexpr double most_even_samples = 500.0;
constexpr std::size_t most_joint_samples = 4000;

// From abreast of the first end of the seam to abreast of the last.
Path within_wood(const Path& edge, const Path& drawn) {
    if (drawn.closed) return edge;
    const PathIndex index(edge);
    const auto running_mm = geometry::running_length_mm(edge);
    const double from = geometry::length_to(running_mm, index.nearest(drawn.start()).at);
    const double to = geometry::length_to(running_mm, index.nearest(drawn.end()).at);
    return to > from ? geometry::part(edge, running_mm, from, to) : Path{};
}

std::vector<double> sample_places(std::span<const double> running_mm, bool closed) {
    const double length = running_mm.back();
    std::vector<double> places;
    const double even = std::min(most_even_samples, std::ceil(length / least_spacing_mm));
    for (double i = 0.0; i < even; i += 1.0) places.push_back(length * i / even);
    const std::size_t stride = running_mm.size() / most_joint_samples + 1;
    for (std::size_t i = 0; i < running_mm.size(); i += stride) places.push_back(running_mm[i]);
    places.push_back(length);
    std::sort(places.begin(), places.end());
    // Two places closer together than this draw as one.
    const double same = length / most_even_samples / 1000.0;
    places.erase(std::unique(places.begin(), places.end(), [&](double a, double b) { return b - a < same; }),
                 places.end());
    if (closed && places.size() > 1 && length - places.back() < same) places.pop_back();
    return places;
}

}  // namespace

void keep_edges(Simulation& sim, const Path& drawn, const Path& left, const Path& right) {
    sim.left_edge = within_wood(left, drawn);
    sim.right_edge = within_wood(right, drawn);
    sim.carried_out = !sim.left_edge.empty() && !sim.right_edge.empty();
}

void measure_gap(Simulation& sim, const Path& drawn, bool master_on_left, const Path& left, const Path& right) {
    if (!sim.carried_out) return;
    const PathIndex left_index(left);
    const PathIndex right_index(right);
    const PathIndex drawn_index(drawn);
    const auto drawn_mm = geometry::running_length_mm(drawn);
    const auto edge_mm = geometry::running_length_mm(sim.left_edge);
    for (const double at : sample_places(edge_mm, drawn.closed)) {
        const Station s = geometry::station_at(sim.left_edge, edge_mm, at);
        const Point p = geometry::point_at(sim.left_edge, s);
        const Point outward = geometry::right_of(geometry::tangent_at(sim.left_edge, s));
        const auto nearest = right_index.nearest(p);
        const bool open = geometry::dot(nearest.point - p, outward) >= 0.0;
        sim.gap.push_back({geometry::length_to(drawn_mm, drawn_index.nearest(p).at),
                           open ? nearest.distance_mm : -nearest.distance_mm});
    }
    std::stable_sort(sim.gap.begin(), sim.gap.end(), [](const GapAt& a, const GapAt& b) { return a.at_mm < b.at_mm; });

    const auto from_left = geometry::largest_distance(sim.left_edge, right_index, certified_mm);
    const auto from_right = geometry::largest_distance(sim.right_edge, left_index, certified_mm);
    const auto& larger = from_left.value_mm >= from_right.value_mm ? from_left : from_right;
    sim.largest_gap_mm = larger.value_mm;
    sim.largest_gap_at_mm = geometry::length_to(drawn_mm, drawn_index.nearest(larger.at).at);
    sim.certified_to_mm = std::max(from_left.bound_mm, from_right.bound_mm);

    const auto off = geometry::largest_distance(drawn, master_on_left ? left_index : right_index, certified_mm);
    sim.off_seam_mm = off.value_mm;
    sim.off_seam_at_mm = geometry::length_to(drawn_mm, drawn_index.nearest(off.at).at);
}

}  // namespace seamwright::seam
