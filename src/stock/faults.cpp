// One lie, looked at exactly: distances between outlines arc by arc.

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "geometry/path_index.h"
#include "stock/placing.h"

namespace seamwright::stock {
namespace {

using geometry::Box;
using geometry::PathIndex;
using geometry::Segment;

struct Closest {
    double distance_mm = HUGE_VAL;
    Point at;  ///< on the first
    void offer(double distance, Point p) {
        if (distance < distance_mm) *this = {distance, p};
    }
};

bool on_arc(const Segment& s, Point p) {
    return geometry::norm(geometry::nearest(s, p).point - p) <= 1e-9 * std::max(1.0, s.radius_mm);
}

/// The least distance of two pieces that do not cross: at an end of one, or square to both.
void closest(const Segment& a, const Segment& b, Closest& into) {
    for (const Point p : {a.start, a.end}) into.offer(geometry::norm(geometry::nearest(b, p).point - p), p);
    for (const Point p : {b.start, b.end}) {
        const Point on = geometry::nearest(a, p).point;
        into.offer(geometry::norm(on - p), on);
    }
    if (!a.is_arc() && !b.is_arc()) return;
    const Segment& arc = a.is_arc() ? a : b;
    const Segment& other = a.is_arc() ? b : a;
    // Square to a line: through the foot of the centre; to an arc: on the line of both centres.
    Point along;
    if (other.is_arc()) {
        along = other.centre - arc.centre;
    } else {
        along = geometry::left_of(other.end - other.start);
    }
    const double size = geometry::norm(along);
    if (!(size > 0.0)) return;
    for (const double sign : {1.0, -1.0}) {
        const Point p = arc.centre + (sign * arc.radius_mm / size) * along;
        if (!on_arc(arc, p)) continue;
        const Point q = geometry::nearest(other, p).point;
        into.offer(geometry::norm(q - p), a.is_arc() ? p : q);
    }
}

double apart(const Box& a, const Box& b) {
    const double x = std::max({a.low.x - b.high.x, b.low.x - a.high.x, 0.0});
    const double y = std::max({a.low.y - b.high.y, b.low.y - a.high.y, 0.0});
    return std::hypot(x, y);
}

/// Between two outlines; 0 where they cross. Beyond `enough_mm` it may say more than it is.
Closest closest(const Path& a, const Path& b, double enough_mm) {
    const PathIndex ia(a), ib(b);
    Closest out;
    const auto crossings = geometry::crossings(ia, ib);
    if (!crossings.empty()) return {0.0, geometry::point_at(a, crossings.front().on_a)};
    for (const Segment& s : a.segments) {
        const Box box = geometry::bounding_box(s);
        const double reach = std::min(enough_mm, out.distance_mm);
        const Box near{{box.low.x - reach, box.low.y - reach}, {box.high.x + reach, box.high.y + reach}};
        ib.visit(near, [&](std::size_t k) {
            if (apart(box, geometry::bounding_box(b.segments[k])) < out.distance_mm) closest(s, b.segments[k], out);
        });
    }
    return out;
}

/// How far a spot that meets a shape reaches into it: at the corners of the spot, and midway on each part of its
/// outline between places where the two cross. A shape that lies within the spot is all of it on the spot.
struct Deep {
    double by_mm = 0.0;
    Point at;
};
Deep deepest_in(const PathIndex& shape_index, const Path& shape, const Path& spot) {
    Deep out{0.0, spot.start()};
    const auto offer = [&](Point p) {
        if (!shape_index.contains(p)) return;
        const double by = shape_index.distance_mm(p);
        if (by > out.by_mm) out = {by, p};
    };
    for (const Segment& s : spot.segments) offer(s.start);
    const PathIndex spot_index(spot);
    const auto running = geometry::running_length_mm(spot);
    std::vector<double> along;
    for (const auto& crossing : geometry::crossings(shape_index, spot_index))
        along.push_back(geometry::length_to(running, crossing.on_b));
    std::sort(along.begin(), along.end());
    for (std::size_t i = 0; i < along.size(); ++i) {
        const double next = i + 1 < along.size() ? along[i + 1] : along.front() + running.back();
        const double middle = std::fmod(0.5 * (along[i] + next), running.back());
        offer(geometry::point_at(spot, geometry::station_at(spot, running, middle)));
    }
    if (along.empty() && spot_index.contains(shape.start()))
        out = {spot_index.distance_mm(shape.start()), shape.start()};
    return out;
}

constexpr double hair_mm = 1e-5;

}  // namespace

std::vector<Fault> faults_of(std::size_t item, std::span<const Item> items, std::span<const std::optional<Lie>> lies,
                             std::span<const shelf::Board> boards, const Settings& settings) {
    std::vector<Fault> out;
    if (item >= items.size() || lies.size() != items.size()) throw std::invalid_argument("faults_of: no such item");
    if (!lies[item]) return out;
    const Lie& lie = *lies[item];
    const Item& own = items[item];
    const shelf::Board& board = boards[lie.board];
    const Path shape = lie.placed(own.shape), sawn = lie.placed(own.sawn());
    const Path edge = outline_of(board);
    {
        // Within the board, with its margin.
        const Closest c = closest(sawn, edge, own.margin_mm + 1.0);
        const PathIndex index(edge);
        double beyond = 0.0;
        Point at = c.at;
        for (const Segment& s : sawn.segments) {
            for (const double u : {0.0, 0.25, 0.5, 0.75}) {
                const Point p = geometry::point_at(s, u);
                const double distance = index.distance_mm(p);
                if (distance > beyond && !index.contains(p)) {
                    beyond = distance;
                    at = p;
                }
            }
        }
        const double lacks = beyond > hair_mm ? beyond + own.margin_mm : own.margin_mm - c.distance_mm;
        if (lacks > hair_mm) out.push_back({Fault::Kind::off_board, lie.board, lacks, at});
    }
    const PathIndex shape_index(shape), sawn_index(sawn);
    constexpr double rounding_rad = 1e-9;
    if (board.grain_lines.empty() && std::abs(std::remainder(board.slope_rad - lie.turn_rad, geometry::pi)) >
                                         settings.grain_within_rad + rounding_rad)
        out.push_back({Fault::Kind::fibres_askew, lie.board, 0.0, lie.shift});
    std::vector<shelf::Defect> defects = board.defects;
    const auto askew = askew_fibres(board, lie.turn_rad, settings.grain_within_rad);
    defects.insert(defects.end(), askew.begin(), askew.end());
    for (std::size_t d = 0; d < defects.size(); ++d) {
        const shelf::Defect& defect = defects[d];
        const bool is_spot = d < board.defects.size();
        if (!is_spot && !out.empty() && out.back().kind == Fault::Kind::fibres_askew) break;  // said once
        if (defect.allowed == shelf::Defect::Allowed::anywhere) continue;
        const Path spot = outline_of(defect);
        const Closest c = closest(shape, spot, own.clear_of_edge_mm + 1.0);
        const PathIndex spot_index(spot);
        const bool overlaps =
            c.distance_mm == 0.0 || shape_index.contains(spot.start()) || spot_index.contains(shape.start());
        if (defect.allowed == shelf::Defect::Allowed::nowhere) {
            if (!overlaps) continue;
            const auto [deepest, at] = deepest_in(shape_index, shape, spot);
            if (deepest > hair_mm)
                out.push_back({is_spot ? Fault::Kind::on_defect : Fault::Kind::fibres_askew, d, deepest, at});
        } else if (own.clear_of_edge_mm - c.distance_mm > hair_mm) {
            out.push_back({Fault::Kind::near_defect, d, own.clear_of_edge_mm - c.distance_mm, c.at});
        }
    }
    for (std::size_t k = 0; k < items.size(); ++k) {
        if (k == item || !lies[k] || lies[k]->board != lie.board) continue;
        const Path other = lies[k]->placed(items[k].sawn());
        const double wanted = own.margin_mm + items[k].margin_mm + settings.kerf_mm;
        const Closest c = closest(sawn, other, wanted + 1.0);
        const bool over =
            c.distance_mm == 0.0 || sawn_index.contains(other.start()) || PathIndex(other).contains(sawn.start());
        const double lacks = over ? wanted : wanted - c.distance_mm;
        if (lacks > hair_mm) out.push_back({Fault::Kind::on_other, k, lacks, c.at});
    }
    return out;
}

}  // namespace seamwright::stock
