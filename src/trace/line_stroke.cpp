#include "line_stroke.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <numeric>

namespace seamwright::trace {
namespace {

constexpr std::size_t nobody = std::numeric_limits<std::size_t>::max();
/// Ends this close are joined whatever lies between: no direction can be told over so little.
constexpr double touching = 2.5;
/// How far a line may bend off its own end to reach the next, and from end to end.
constexpr double most_aside_rad = 0.6, most_turn_rad = 0.8;
/// Bending by a radian, squared, weighs like this many pixels of gap.
constexpr double aside_weight = 12.0, turn_weight = 6.0;
/// A gap may not be longer than the shorter of the two lines it joins: crumbs do not make a line.
constexpr double gap_per_length = 1.0;
/// Contrast counts for less than length: a short bold stroke is not the line, a long faint streak of grain is not
/// either.
constexpr double contrast_power = 0.75;
/// A line that closes upon itself is at least this long, in pixels of the level.
constexpr double least_loop = 24.0;

struct End {
    std::size_t chain = 0;
    bool last = false;
    Point at, outward;
};

struct Pair {
    double cost = 0.0;
    std::size_t a = 0, b = 0;
};

double angle(Point a, Point b) {
    return std::abs(std::atan2(cross(a, b), dot(a, b)));
}

/// What joining two ends costs; infinite where they do not go on into each other.
double cost_of(const End& a, const End& b, const std::vector<Chain>& chains, LineKind kind) {
    if (kind == LineKind::edge && a.last == b.last) return HUGE_VAL;
    const Point gap = b.at - a.at;
    const double wide = norm(gap);
    const double shorter = std::min(chains[a.chain].length, chains[b.chain].length);
    if (wide > widest_gap || wide > std::max(touching, gap_per_length * shorter)) return HUGE_VAL;
    if (a.chain == b.chain && (a.last == b.last || chains[a.chain].length < least_loop)) return HUGE_VAL;
    const double turn = angle(a.outward, -b.outward);
    if (turn > most_turn_rad) return HUGE_VAL;
    double cost = wide + turn_weight * turn * turn;
    if (wide > touching) {
        const double aside_a = angle(a.outward, gap), aside_b = angle(b.outward, -gap);
        if (std::max(aside_a, aside_b) > most_aside_rad) return HUGE_VAL;
        cost += aside_weight * (aside_a * aside_a + aside_b * aside_b);
    }
    return cost;
}

/// Pairs of ends that could be joined, cheapest first.
std::vector<Pair> pairs_of(const std::vector<End>& ends, const std::vector<Chain>& chains, LineKind kind) {
    std::map<std::pair<int, int>, std::vector<std::size_t>> cells;
    const auto cell = [](Point p) {
        return std::pair{static_cast<int>(std::floor(p.x / widest_gap)),
                         static_cast<int>(std::floor(p.y / widest_gap))};
    };
    for (std::size_t i = 0; i < ends.size(); ++i) cells[cell(ends[i].at)].push_back(i);
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const auto [cx, cy] = cell(ends[i].at);
        for (int y = cy - 1; y <= cy + 1; ++y) {
            for (int x = cx - 1; x <= cx + 1; ++x) {
                const auto there = cells.find({x, y});
                if (there == cells.end()) continue;
                for (const std::size_t j : there->second) {
                    if (j <= i) continue;
                    const double cost = cost_of(ends[i], ends[j], chains, kind);
                    if (cost < HUGE_VAL) pairs.push_back({cost, i, j});
                }
            }
        }
    }
    std::sort(pairs.begin(), pairs.end(),
              [](const Pair& p, const Pair& q) { return std::tie(p.cost, p.a, p.b) < std::tie(q.cost, q.a, q.b); });
    return pairs;
}

}  // namespace

void measure(const Level& level, const std::vector<Chain>& chains, Stroke& stroke) {
    double length = 0.0, depth = 0.0, part = 0.0;
    std::size_t count = 0;
    Point before;
    bool any = false;
    const auto pass = [&](const RidgePoint& p) {
        if (any) length += distance(before, p.at);
        before = p.at;
        any = true;
        depth += p.depth;
        part += p.part;
        ++count;
    };
    for (const auto& s : stroke.stretches) {
        const auto& points = chains[s.chain].points;
        if (s.from <= s.to) {
            for (std::size_t i = s.from; i <= s.to; ++i) pass(points[i]);
        } else {
            for (std::size_t i = s.from + 1; i-- > s.to;) pass(points[i]);
        }
    }
    if (stroke.closed && any) {
        const auto& first = stroke.stretches.front();
        length += distance(before, chains[first.chain].points[first.from].at);
    }
    stroke.length = length * level.scale();
    stroke.depth = depth / static_cast<double>(std::max<std::size_t>(1, count));
    stroke.part = part / static_cast<double>(std::max<std::size_t>(1, count));
    stroke.standing = stroke.length * std::pow(stroke.part, contrast_power);
}

std::vector<Stroke> strokes_of(const Level& level, const std::vector<Chain>& chains, LineKind kind) {
    // Ends 2 i and 2 i + 1 are those of chain i.
    std::vector<End> ends;
    ends.reserve(2 * chains.size());
    for (std::size_t i = 0; i < chains.size(); ++i) {
        for (const bool last : {false, true}) ends.push_back({i, last, chains[i].end(last), chains[i].outward(last)});
    }
    std::vector<std::size_t> joined(ends.size(), nobody);
    for (std::size_t i = 0; i < chains.size(); ++i) {
        if (!chains[i].closed) continue;
        joined[2 * i] = 2 * i + 1;
        joined[2 * i + 1] = 2 * i;
    }
    for (const auto& pair : pairs_of(ends, chains, kind)) {
        if (joined[pair.a] != nobody || joined[pair.b] != nobody) continue;
        joined[pair.a] = pair.b;
        joined[pair.b] = pair.a;
    }
    std::vector<Stroke> strokes;
    std::vector<std::uint8_t> taken(chains.size(), 0);
    const auto follow = [&](std::size_t entered_by) {
        Stroke stroke;
        std::size_t end = entered_by;
        while (true) {
            const std::size_t chain = end / 2, last = chains[chain].points.size() - 1;
            taken[chain] = 1;
            const bool forwards = end % 2 == 0;
            stroke.stretches.push_back({chain, forwards ? 0 : last, forwards ? last : 0});
            const std::size_t next = joined[end ^ 1U];
            if (next == nobody) break;
            if (taken[next / 2] != 0) {
                stroke.closed = next == entered_by;
                break;
            }
            end = next;
        }
        measure(level, chains, stroke);
        strokes.push_back(std::move(stroke));
    };
    for (std::size_t e = 0; e < ends.size(); ++e) {
        const bool free = joined[e] == nobody;
        // An edge is followed the way it runs, from the end nothing leads into.
        if (free && taken[e / 2] == 0 && (kind == LineKind::drawn_line || e % 2 == 0)) follow(e);
    }
    for (std::size_t e = 0; e < ends.size(); e += 2) {
        if (taken[e / 2] == 0) follow(e);
    }
    std::stable_sort(strokes.begin(), strokes.end(),
                     [](const Stroke& a, const Stroke& b) { return a.standing > b.standing; });
    return strokes;
}

std::vector<Point> points_of(const Level& level, const std::vector<Chain>& chains, const Stroke& stroke) {
    std::vector<Point> points;
    Point way;  // at the end of the stretch before
    bool joining = false;
    const auto add = [&](const RidgePoint& p) {
        const Point next = level.scale() * p.at;
        // A line that runs into the side of another may reach it a little ahead of where it goes on.
        if (joining && dot(next - points.back(), way) <= 0.0) return;
        joining = false;
        points.push_back(next);
    };
    for (const auto& s : stroke.stretches) {
        const auto& from = chains[s.chain].points;
        if (points.size() > 1) {
            way = points.back() - points[points.size() - std::min<std::size_t>(points.size(), 6)];
            joining = true;
        }
        if (s.from <= s.to) {
            for (std::size_t i = s.from; i <= s.to; ++i) add(from[i]);
        } else {
            for (std::size_t i = s.from + 1; i-- > s.to;) add(from[i]);
        }
    }
    return points;
}

}  // namespace seamwright::trace
