#include "panel_measure.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace seamwright::wood {
namespace {

using geometry::Box;

/// Chords by which a side is measured.
constexpr int chords_per_side = 8;

std::array<double, 3> shape_at(double u) {
    return {(1.0 - u) * (1.0 - 2.0 * u), 4.0 * u * (1.0 - u), u * (2.0 * u - 1.0)};
}
std::array<double, 3> slope_at(double u) {
    return {4.0 * u - 3.0, 4.0 - 8.0 * u, 4.0 * u - 1.0};
}
Point blend(const std::array<double, 3>& share, const std::array<Point, 3>& of) {
    return share[0] * of[0] + share[1] * of[1] + share[2] * of[2];
}

std::array<Point, 3> nodes_of(const LineSide& side, std::span<const Point> nodes) {
    return {nodes[side.node[0]], nodes[side.node[1]], nodes[side.node[2]]};
}

std::vector<Point> moved_nodes(std::span<const Point> nodes, std::span<const Point> moves) {
    std::vector<Point> out(nodes.size());
    for (std::size_t i = 0; i < nodes.size(); ++i) out[i] = nodes[i] + moves[i];
    return out;
}

double length_of(const MeshedLine& line, std::span<const Point> nodes) {
    double sum = 0.0;
    for (const LineSide& side : line.sides)
        for (const LinePlace& place : line_places(side, nodes)) sum += place.length_mm;
    return sum;
}

double rise_of(const MeshedLine& line, std::span<const Point> nodes) {
    const Point from = nodes[line.sides.front().node[0]], to = nodes[line.sides.back().node[2]];
    const double chord = distance(from, to);
    if (!(chord > 0.0)) return 0.0;
    const Point left = left_of(to - from) / chord;
    double most = 0.0, least = 0.0;
    for (const LineSide& side : line.sides)
        for (int k = 1; k <= chords_per_side; ++k) {
            const double off =
                dot(blend(shape_at(static_cast<double>(k) / chords_per_side), nodes_of(side, nodes)) - from, left);
            most = std::max(most, off);
            least = std::min(least, off);
        }
    return most - least;
}

using Chords = std::vector<std::array<Point, 2>>;

Chords chords_of(std::span<const LineSide> rim, std::span<const Point> nodes) {
    Chords out;
    for (const LineSide& side : rim) {
        const auto ends = nodes_of(side, nodes);
        Point from = ends[0];
        for (int k = 1; k <= chords_per_side; ++k) {
            const Point to =
                k == chords_per_side ? ends[2] : blend(shape_at(static_cast<double>(k) / chords_per_side), ends);
            out.push_back({from, to});
            from = to;
        }
    }
    return out;
}

Box box_of(const Chords& chords) {
    Box box;
    for (const auto& chord : chords) box.add(chord[0]);
    return box;
}

/// From the first edge to the last along the line x = at_mm.
double across_at(const Chords& chords, double at_mm) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (const auto& [a, b] : chords) {
        if ((a.x < at_mm) == (b.x < at_mm)) continue;
        const double y = a.y + (b.y - a.y) * (at_mm - a.x) / (b.x - a.x);
        low = std::min(low, y);
        high = std::max(high, y);
    }
    return high > low ? high - low : 0.0;
}

std::vector<BodySize> sizes_at(const Chords& before, const Chords& after, std::size_t stations) {
    const Box was = box_of(before), is = box_of(after);
    std::vector<BodySize> out;
    for (std::size_t k = 1; k <= stations; ++k) {
        const double share = static_cast<double>(k) / static_cast<double>(stations + 1);
        BodySize size;
        size.at_mm = was.low.x + share * was.width_mm();
        size.size = {across_at(before, size.at_mm), across_at(after, is.low.x + share * is.width_mm())};
        out.push_back(size);
    }
    return out;
}

Chords swapped(Chords chords) {
    for (auto& chord : chords)
        for (Point& p : chord) std::swap(p.x, p.y);
    return chords;
}

}  // namespace

std::array<LinePlace, 3> line_places(const LineSide& side, std::span<const Point> nodes, double from, double to) {
    const auto ends = nodes_of(side, nodes);
    const double off = std::sqrt(0.6);
    const std::array<double, 3> where{0.5 * (1.0 - off), 0.5, 0.5 * (1.0 + off)}, weight{5.0 / 18, 8.0 / 18, 5.0 / 18};
    std::array<LinePlace, 3> out;
    for (std::size_t q = 0; q < 3; ++q) {
        const double u = from + (to - from) * where[q];
        out[q].shape = shape_at(u);
        const Point along = blend(slope_at(u), ends);
        const double speed = norm(along);
        out[q].tangent = along / speed;
        out[q].length_mm = speed * weight[q] * (to - from);
    }
    return out;
}

LineChange measure_line(const MeshedLine& line, std::span<const Point> nodes, std::span<const Point> moves) {
    const std::vector<Point> after = moved_nodes(nodes, moves);
    LineChange out;
    out.length = {length_of(line, nodes), length_of(line, after)};
    out.rise = {rise_of(line, nodes), rise_of(line, after)};

    // Weights by T. Simpson: the middle counts four times an end.
    constexpr std::array<double, 3> share{1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0};
    const auto each = [&](const auto& visit) {
        for (const LineSide& side : line.sides)
            for (std::size_t k = 0; k < 3; ++k) visit(side, k, share[k] * (side.to_mm - side.from_mm));
    };
    Point was, is;
    double whole = 0.0;
    each([&](const LineSide& side, std::size_t k, double weight) {
        was = was + weight * nodes[side.node[k]];
        is = is + weight * after[side.node[k]];
        whole += weight;
    });
    was = was / whole;
    is = is / whole;
    double sine = 0.0, cosine = 0.0;
    each([&](const LineSide& side, std::size_t k, double weight) {
        const Point p = nodes[side.node[k]] - was, q = after[side.node[k]] - is;
        sine += weight * cross(p, q);
        cosine += weight * dot(p, q);
    });
    const double size = std::hypot(sine, cosine);
    const Point turn = size > 0.0 ? Point{cosine / size, sine / size} : Point{1.0, 0.0};
    const auto turned = [&](Point p) { return Point{turn.x * p.x - turn.y * p.y, turn.y * p.x + turn.x * p.y}; };
    double like_an_arc = 0.0;
    double most = -std::numeric_limits<double>::infinity(), least = -most;
    each([&](const LineSide& side, std::size_t k, double weight) {
        const double u = 0.5 * static_cast<double>(k);
        const Point along = blend(slope_at(u), nodes_of(side, nodes));
        const Point left = turned(left_of(along) / norm(along));
        const double off = dot(after[side.node[k]] - is - turned(nodes[side.node[k]] - was), left);
        most = std::max(most, off);
        least = std::min(least, off);
        const double place = (side.from_mm + u * (side.to_mm - side.from_mm)) / whole - 0.5;
        like_an_arc += weight * off * (place * place - 1.0 / 12.0);
    });
    out.shape = {most, least};
    out.middle_right_of_ends = like_an_arc >= 0.0;
    return out;
}

void measure_piece(const BodyMesh& mesh, std::span<const std::uint32_t> triangles, std::span<const Point> moves,
                   double grain_rad, PieceAnswer& out) {
    const Point along = geometry::unit(grain_rad), across = left_of(along);
    Box before, after;
    for (const std::uint32_t t : triangles)
        for (const std::uint32_t n : mesh.triangles[t].node) {
            const Point p = mesh.nodes[n], q = p + moves[n];
            before.add(Point{dot(p, along), dot(p, across)});
            after.add(Point{dot(q, along), dot(q, across)});
        }
    out.along = {before.width_mm(), after.width_mm()};
    out.across = {before.height_mm(), after.height_mm()};
}

void measure_top(std::span<const LineSide> rim, std::span<const Point> nodes, std::size_t stations, BodyAnswer& out) {
    const Chords before = chords_of(rim, nodes), after = chords_of(rim, moved_nodes(nodes, out.moves));
    const Box was = box_of(before), is = box_of(after);
    out.length = {was.width_mm(), is.width_mm()};
    out.width = {was.height_mm(), is.height_mm()};
    out.widths = sizes_at(before, after, stations);
    out.lengths = sizes_at(swapped(before), swapped(after), stations);
    const auto by_change = [](const BodySize& a, const BodySize& b) {
        return std::abs(a.size.change_mm()) < std::abs(b.size.change_mm());
    };
    if (out.widths.empty()) return;
    out.most_width_change = *std::max_element(out.widths.begin(), out.widths.end(), by_change);
    out.least_width_change = *std::min_element(out.widths.begin(), out.widths.end(), by_change);
}

}  // namespace seamwright::wood
