// The way between chosen places: chains are roads, and where an end of one comes close to another there is a crossing.
// Dijkstra's method over crossings and the sense of travel, so that a turn can be told from going straight on.

#include "line_way.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <queue>

namespace seamwright::trace {
namespace {

constexpr std::size_t nobody = std::numeric_limits<std::size_t>::max();
/// A gap costs this many times its length, a turn by a radian, squared, this many pixels of the level.
constexpr double gap_weight = 3.0, turn_weight = 12.0;
/// Sharper turns than this go back the way they came.
constexpr double most_turn_rad = 2.2;
/// Where lines are weaker than at the places chosen, each pixel costs up to this much more.
constexpr double weak_weight = 2.0;
/// From an end to the side of another line; gaps end to end may be as wide as `widest_gap`.
constexpr double widest_side_gap = 6.0;
/// Directions are taken over this many points.
constexpr std::size_t heading_points = 6;

struct Node {
    std::size_t chain = 0, point = 0;
};
struct Link {
    std::size_t to = 0;
    double gap = 0.0;
};

class Roads {
  public:
    Roads(const std::vector<Chain>& chains, std::span<const Chosen> places, LineKind kind)
        : chains_(chains), kind_(kind) {
        for (const auto& place : places) place_nodes_.push_back(node(place.chain, place.point));
        for (const auto& place : places) usual_depth_ += chains[place.chain].depth / static_cast<double>(places.size());
        find_links();
        along_.assign(chains.size(), {});
        for (std::size_t i = 0; i < nodes_.size(); ++i) along_[nodes_[i].chain].push_back(i);
        rank_.assign(nodes_.size(), 0);
        for (auto& road : along_) {
            std::sort(road.begin(), road.end(),
                      [&](std::size_t a, std::size_t b) { return nodes_[a].point < nodes_[b].point; });
            for (std::size_t i = 0; i < road.size(); ++i) rank_[road[i]] = i;
        }
        cost_to_.resize(chains.size());
        for (std::size_t c = 0; c < chains.size(); ++c) {
            if (along_[c].empty()) continue;
            const auto& points = chains[c].points;
            cost_to_[c].assign(points.size(), 0.0);
            for (std::size_t i = 1; i < points.size(); ++i) {
                const double weak = std::clamp(1.0 - points[i].depth / std::max(usual_depth_, 1e-9), 0.0, 1.0);
                cost_to_[c][i] =
                    cost_to_[c][i - 1] + distance(points[i - 1].at, points[i].at) * (1.0 + weak_weight * weak);
            }
        }
    }

    std::variant<std::vector<std::size_t>, NoWay> travel() const;
    const Node& at(std::size_t i) const { return nodes_[i]; }

  private:
    std::size_t node(std::size_t chain, std::size_t point) {
        const auto [place, is_new] = known_.try_emplace({chain, point}, nodes_.size());
        if (is_new) {
            nodes_.push_back({chain, point});
            links_.emplace_back();
        }
        return place->second;
    }
    void link(std::size_t a, std::size_t b) {
        const double gap = distance(place(a), place(b));
        links_[a].push_back({b, gap});
        links_[b].push_back({a, gap});
    }
    Point place(std::size_t i) const { return chains_[nodes_[i].chain].points[nodes_[i].point].at; }
    void find_links();
    /// Direction of travel at a node: forwards is towards higher points.
    Point heading(std::size_t i, bool forwards, bool arriving) const {
        const auto& points = chains_[nodes_[i].chain].points;
        const std::size_t p = nodes_[i].point;
        // Arriving, the way behind counts; leaving, the way ahead.
        const bool towards_high = forwards != arriving;
        const std::size_t q = towards_high ? std::min(points.size() - 1, p + heading_points)
                                           : (p > heading_points ? p - heading_points : 0);
        const Point way = arriving ? points[p].at - points[q].at : points[q].at - points[p].at;
        return way;
    }

    const std::vector<Chain>& chains_;
    LineKind kind_;
    std::vector<Node> nodes_;
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> known_;
    std::vector<std::vector<Link>> links_;
    std::vector<std::vector<std::size_t>> along_;  // nodes of each chain, in order
    std::vector<std::size_t> rank_;                // of a node among those
    std::vector<std::vector<double>> cost_to_;
    std::vector<std::size_t> place_nodes_;
    double usual_depth_ = 0.0;
};

void Roads::find_links() {
    // Points of all chains by cells, to find what an end comes close to.
    std::map<std::pair<int, int>, std::vector<Node>> cells;
    const auto cell = [](Point p) {
        return std::pair{static_cast<int>(std::floor(p.x / widest_gap)),
                         static_cast<int>(std::floor(p.y / widest_gap))};
    };
    for (std::size_t c = 0; c < chains_.size(); ++c) {
        for (std::size_t i = 0; i < chains_[c].points.size(); ++i)
            cells[cell(chains_[c].points[i].at)].push_back({c, i});
    }
    for (std::size_t c = 0; c < chains_.size(); ++c) {
        const std::size_t size = chains_[c].points.size();
        for (const bool last : {false, true}) {
            const std::size_t end = last ? size - 1 : 0;
            const Point from = chains_[c].points[end].at;
            const auto [cx, cy] = cell(from);
            std::map<std::size_t, std::pair<double, std::size_t>> nearest;  // of each chain
            for (int y = cy - 1; y <= cy + 1; ++y) {
                for (int x = cx - 1; x <= cx + 1; ++x) {
                    const auto there = cells.find({x, y});
                    if (there == cells.end()) continue;
                    for (const auto& other : there->second) {
                        if (other.chain == c) continue;
                        const std::size_t other_last = chains_[other.chain].points.size() - 1;
                        const bool is_end = other.point == 0 || other.point == other_last;
                        const double gap = distance(from, chains_[other.chain].points[other.point].at);
                        if (gap > (is_end ? widest_gap : widest_side_gap)) continue;
                        const auto [known, is_new] = nearest.try_emplace(other.chain, gap, other.point);
                        if (!is_new && gap < known->second.first) known->second = {gap, other.point};
                    }
                }
            }
            const std::size_t here = node(c, end);
            for (const auto& [chain, found] : nearest) link(here, node(chain, found.second));
        }
        if (chains_[c].closed) link(node(c, 0), node(c, size - 1));
    }
}

std::variant<std::vector<std::size_t>, NoWay> Roads::travel() const {
    // A state is a node and the sense of travel in which it was reached: 2 i backwards, 2 i + 1 forwards.
    std::vector<double> begin(2 * nodes_.size(), HUGE_VAL);
    begin[2 * place_nodes_.front()] = begin[2 * place_nodes_.front() + 1] = 0.0;
    std::vector<std::vector<std::size_t>> came_from;  // of each leg
    std::vector<double> cost;
    for (std::size_t leg = 0; leg + 1 < place_nodes_.size(); ++leg) {
        cost = begin;
        std::vector<std::size_t> from(cost.size(), nobody);
        using Entry = std::pair<double, std::size_t>;
        std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
        for (std::size_t s = 0; s < cost.size(); ++s) {
            if (cost[s] < HUGE_VAL) open.emplace(cost[s], s);
        }
        const auto reach = [&](std::size_t s, std::size_t next, double at_cost) {
            if (at_cost >= cost[next]) return;
            cost[next] = at_cost;
            from[next] = s;
            open.emplace(at_cost, next);
        };
        while (!open.empty()) {
            const auto [least, s] = open.top();
            open.pop();
            if (least > cost[s]) continue;
            const std::size_t i = s / 2;
            const bool forwards = s % 2 == 1;
            const auto& road = along_[nodes_[i].chain];
            const std::size_t rank = rank_[i];
            if (forwards ? rank + 1 < road.size() : rank > 0) {
                const std::size_t next = road[forwards ? rank + 1 : rank - 1];
                const auto& costs = cost_to_[nodes_[i].chain];
                reach(s, 2 * next + (forwards ? 1 : 0),
                      least + std::abs(costs[nodes_[next].point] - costs[nodes_[i].point]));
            }
            for (const auto& link : links_[i]) {
                for (const bool on : {false, true}) {
                    // The light stays on the same side of an edge.
                    if (kind_ == LineKind::edge && on != forwards) continue;
                    const Point in = heading(i, forwards, true), out = heading(link.to, on, false);
                    if (norm(out) <= 0.0) continue;  // an end: there is nothing further that way
                    const double turn = norm(in) > 0.0 ? std::abs(std::atan2(cross(in, out), dot(in, out))) : 0.0;
                    if (turn > most_turn_rad) continue;
                    reach(s, 2 * link.to + (on ? 1 : 0), least + gap_weight * link.gap + turn_weight * turn * turn);
                }
            }
        }
        const std::size_t goal = place_nodes_[leg + 1];
        const double ends_here = std::min(cost[2 * goal], cost[2 * goal + 1]);
        if (ends_here == HUGE_VAL) {
            double nearest = HUGE_VAL;
            Point stopped;
            for (std::size_t s = 0; s < cost.size(); ++s) {
                const double off = cost[s] < HUGE_VAL ? distance(place(s / 2), place(goal)) : HUGE_VAL;
                if (off < nearest) {
                    nearest = off;
                    stopped = place(s / 2);
                }
            }
            return NoWay{leg, stopped};
        }
        came_from.push_back(std::move(from));
        std::fill(begin.begin(), begin.end(), HUGE_VAL);
        for (const std::size_t s : {2 * goal, 2 * goal + 1}) begin[s] = cost[s];
    }
    const std::size_t goal = place_nodes_.back();
    std::size_t s = cost[2 * goal] <= cost[2 * goal + 1] ? 2 * goal : 2 * goal + 1;
    std::vector<std::size_t> nodes = {s / 2};
    for (std::size_t leg = came_from.size(); leg-- > 0;) {
        while (came_from[leg][s] != nobody) {
            s = came_from[leg][s];
            nodes.push_back(s / 2);
        }
    }
    std::reverse(nodes.begin(), nodes.end());
    return nodes;
}

}  // namespace

std::optional<Chosen> nearest_line(const Level& level, const std::vector<Chain>& chains, Point px, double reach_px) {
    const Point at = px / level.scale();
    // Of two lines almost as near, the stronger one is meant: distances are divided by how much a line stands out.
    std::optional<Chosen> best;
    double least = HUGE_VAL;
    for (std::size_t c = 0; c < chains.size(); ++c) {
        const double stands_out = std::sqrt(chains[c].part * std::min(chains[c].length, 100.0));
        for (std::size_t i = 0; i < chains[c].points.size(); ++i) {
            const double off = distance(at, chains[c].points[i].at);
            if (off * level.scale() > reach_px) continue;
            const double cost = (off + 2.0) / std::max(stands_out, 1e-9);
            if (cost < least) {
                least = cost;
                best = Chosen{c, i, off * level.scale()};
            }
        }
    }
    return best;
}

std::variant<Stroke, NoWay> way_through(const Level& level, const std::vector<Chain>& chains,
                                        std::span<const Chosen> places, LineKind kind) {
    const Roads roads(chains, places, kind);
    auto travelled = roads.travel();
    if (auto* none = std::get_if<NoWay>(&travelled)) {
        none->stopped_px = level.scale() * none->stopped_px;
        return *none;
    }
    Stroke stroke;
    const auto& nodes = std::get<std::vector<std::size_t>>(travelled);
    for (std::size_t i = 0; i + 1 < nodes.size(); ++i) {
        const Node &a = roads.at(nodes[i]), &b = roads.at(nodes[i + 1]);
        if (a.chain != b.chain || (chains[a.chain].closed && a.point + b.point + 1 == chains[a.chain].points.size() &&
                                   std::min(a.point, b.point) == 0)) {
            continue;
        }
        auto& to = stroke.stretches;
        if (!to.empty() && to.back().chain == a.chain && to.back().to == a.point &&
            (to.back().from < to.back().to) == (a.point < b.point)) {
            to.back().to = b.point;
        } else {
            to.push_back({a.chain, a.point, b.point});
        }
    }
    if (stroke.stretches.empty()) return NoWay{0, level.scale() * chains[places[0].chain].points[places[0].point].at};
    measure(level, chains, stroke);
    return stroke;
}

}  // namespace seamwright::trace
