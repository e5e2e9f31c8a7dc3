#include "process/fastening.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <queue>

#include "geometry/path_index.h"

// The place with the most room is looked for by halving squares. Every distance to a line changes by no more than the
// way one goes (and so does the least of several), so a square whose middle has the room r holds no place with more
// than r + half its diagonal. Squares that cannot beat the best place found are dropped; where all that are left cannot
// reach 0, it is proved that there is none.

namespace seamwright::process {
namespace {

using geometry::PathIndex;
using geometry::Side;

double inside_by(const PathIndex& outline, Point p) {
    const auto on = outline.nearest(p);
    return outline.contains(p, on) ? on.distance_mm : -on.distance_mm;
}

/// Which side of a line that goes on: at a corner the two directions together decide.
double beside(const PathIndex& line, Point p, Side side) {
    const auto on = line.nearest(p);
    const Path& path = line.path();
    constexpr double corner = 1e-9;
    Point tangent = geometry::tangent_at(path, on.at);
    if (on.at.u < corner && on.at.segment > 0) {
        tangent = tangent + geometry::tangent_at(path.segments[on.at.segment - 1], 1.0);
    } else if (on.at.u > 1.0 - corner && on.at.segment + 1 < path.segments.size()) {
        tangent = tangent + geometry::tangent_at(path.segments[on.at.segment + 1], 0.0);
    }
    const bool left = geometry::cross(tangent, p - on.point) > 0.0;
    return left == (side == Side::left) ? on.distance_mm : -on.distance_mm;
}

class Asked {
  public:
    Asked(const FasteningGround& ground, const FasteningRules& rules)
        : ground_(ground), rules_(rules), under_(ground.under), wood_(ground.wood), outer_(ground.finished.outer) {
        for (const Path& opening : ground.openings) openings_.emplace_back(opening);
        // Holes run clockwise.
        for (const Path& hole : ground.finished.holes) turned_.push_back(geometry::reversed(hole));
        for (const Path& hole : turned_) holes_.emplace_back(hole);
        for (const auto& edge : ground.edges) edges_.emplace_back(edge.line);
        for (const auto& cutter : ground.cutters) ways_.emplace_back(cutter.way);
    }

    double room(Point p) const {
        double least = inside_by(under_, p) - rules_.from_edge_mm;
        const auto take = [&](double room) { least = std::min(least, room); };
        for (const PathIndex& opening : openings_) take(-inside_by(opening, p) - rules_.from_edge_mm);
        take(inside_by(wood_, p) + ground_.grown_mm - rules_.from_edge_mm);
        take(off_finished(p) - rules_.off_finished_mm());
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            const Path& line = ground_.edges[i].line;
            double by = 0.0;
            if (line.closed) {
                const double inside = inside_by(edges_[i], p);
                by = ground_.edges[i].wood == Side::left ? inside : -inside;
            } else {
                by = beside(edges_[i], p, ground_.edges[i].wood);
            }
            take(by - rules_.from_edge_mm);
        }
        for (std::size_t i = 0; i < ways_.size(); ++i)
            take(ways_[i].distance_mm(p) - rules_.off_cutter_mm(ground_.cutters[i].diameter_mm));
        for (const Point screw : ground_.screws) take(geometry::distance(screw, p) - rules_.apart_mm);
        for (const Point mark : ground_.marks) take(geometry::distance(mark, p) - rules_.from_edge_mm);
        return least;
    }

  private:
    double off_finished(Point p) const {
        double inside = inside_by(outer_, p);
        for (const PathIndex& hole : holes_) inside = std::min(inside, -inside_by(hole, p));
        return -inside;
    }

    const FasteningGround& ground_;
    const FasteningRules& rules_;
    PathIndex under_, wood_, outer_;
    std::vector<Path> turned_;
    std::vector<PathIndex> openings_, holes_, edges_, ways_;
};

struct Square {
    double u = 0.0, v = 0.0;            // its middle
    double half_u = 0.0, half_v = 0.0;  // half its sides
    double room = 0.0, most = 0.0;
    std::size_t number = 0;
};
struct LessPromising {
    bool operator()(const Square& a, const Square& b) const {
        return a.most != b.most ? a.most < b.most : a.number > b.number;
    }
};

}  // namespace

double room_mm(const FasteningGround& ground, const FasteningRules& rules, Point at) {
    return Asked(ground, rules).room(at);
}

std::optional<FasteningPlace> roomiest(const FasteningGround& ground, const FasteningRules& rules, const Zone& zone) {
    if (ground.under.empty() || ground.wood.empty() || ground.finished.outer.empty()) return std::nullopt;
    if (!(zone.u1 > zone.u0 && zone.v1 > zone.v0)) return std::nullopt;
    constexpr double good_enough_mm = 0.5, surely_none_mm = 0.02;
    const Asked asked(ground, rules);
    const Point across = geometry::left_of(zone.along);
    const auto at = [&](const Square& s) { return zone.origin + s.u * zone.along + s.v * across; };
    std::size_t count = 0;
    Square best;
    best.room = -HUGE_VAL;
    std::priority_queue<Square, std::vector<Square>, LessPromising> open;
    const auto look = [&](Square s) {
        s.room = asked.room(at(s));
        s.most = s.room + std::hypot(s.half_u, s.half_v);
        s.number = count++;
        if (s.room > best.room) best = s;
        if (s.most >= 0.0) open.push(s);
    };
    look({0.5 * (zone.u0 + zone.u1), 0.5 * (zone.v0 + zone.v1), 0.5 * (zone.u1 - zone.u0), 0.5 * (zone.v1 - zone.v0),
          0.0, 0.0, 0});
    while (!open.empty()) {
        const Square s = open.top();
        open.pop();
        const double beat = best.room >= 0.0 ? best.room + good_enough_mm : surely_none_mm;
        if (s.most <= beat) break;
        // Long ones are halved across, others quartered.
        const bool cut_u = s.half_u >= 0.5 * s.half_v, cut_v = s.half_v >= 0.5 * s.half_u;
        for (const double du : {-0.5, 0.5}) {
            for (const double dv : {-0.5, 0.5}) {
                if ((!cut_u && du > 0.0) || (!cut_v && dv > 0.0)) continue;
                look({s.u + (cut_u ? du * s.half_u : 0.0), s.v + (cut_v ? dv * s.half_v : 0.0),
                      cut_u ? 0.5 * s.half_u : s.half_u, cut_v ? 0.5 * s.half_v : s.half_v, 0.0, 0.0, 0});
            }
        }
    }
    if (best.room < 0.0) return std::nullopt;
    return FasteningPlace{at(best), best.room};
}

Reveal reveal_for(double reveal_mm, double cutter_mm, const FasteningRules& rules) {
    if (reveal_mm < rules.least_reveal_mm) return Reveal::too_little;
    return reveal_mm > cutter_mm ? Reveal::leaves_strip : Reveal::one_groove;
}

double run_out_for(double lead_mm, double guide_mm, const FasteningRules& rules) {
    return lead_mm + std::max(0.5 * guide_mm, 0.25 * rules.base_mm);
}

}  // namespace seamwright::process
