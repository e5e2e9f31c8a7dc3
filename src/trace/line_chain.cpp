#include "line_chain.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace seamwright::trace {
namespace {

constexpr std::int32_t nobody = -1;
/// Neighbours are looked for in squares of this reach: one pixel of a line may be missing.
constexpr int reach = 2;
/// Two points of one line this close are the same place seen twice.
constexpr double twin_ahead = 0.5, twin_aside = 1.1;
/// Turning by a radian weighs like this many pixels of distance.
constexpr double turn_weight = 1.5;
/// Neighbours whose directions differ by more are parts of different lines.
constexpr double most_turn = 0.9;
/// Directions at an end and at a corner are taken over this many points.
constexpr std::size_t end_points = 10, corner_points = 5;
/// A line that turns by more than this over twice `corner_points` has a corner (42 degrees): a bend of seven pixels'
/// radius has not.
constexpr double corner_rad = 42.0 / geometry::degrees_per_radian;

/// Points by the rows of pixels they lie in. They come in order of rows, and within a row from left to right.
class Rows {
  public:
    Rows(const Level& level, const std::vector<RidgePoint>& points) : points_(points) {
        begin_.assign(static_cast<std::size_t>(level.height) + 1, 0);
        for (const auto& p : points) ++begin_[static_cast<std::size_t>(p.y) + 1];
        for (std::size_t y = 0; y + 1 < begin_.size(); ++y) begin_[y + 1] += begin_[y];
    }
    /// Calls `look` with the index of each point in the square around p.
    template <typename Look>
    void around(const RidgePoint& p, int by, const Look& look) const {
        const int last_row = static_cast<int>(begin_.size()) - 2;
        for (int y = std::max(0, p.y - by); y <= std::min(last_row, p.y + by); ++y) {
            const auto begin = points_.begin() + begin_[static_cast<std::size_t>(y)];
            const auto end = points_.begin() + begin_[static_cast<std::size_t>(y) + 1];
            auto q = std::lower_bound(begin, end, p.x - by, [](const RidgePoint& r, int x) { return r.x < x; });
            for (; q != end && q->x <= p.x + by; ++q) look(static_cast<std::size_t>(q - points_.begin()));
        }
    }

  private:
    const std::vector<RidgePoint>& points_;
    std::vector<std::ptrdiff_t> begin_;
};

/// A line that runs along the border of two rows of pixels is seen in both. One of each two such points is left out,
/// the weaker one, or else which one follows another is a matter of chance.
std::vector<RidgePoint> without_twins(const Level& level, const std::vector<RidgePoint>& points) {
    const Rows rows(level, points);
    std::vector<std::uint8_t> dropped(points.size(), 0);
    for (std::size_t i = 0; i < points.size(); ++i) {
        const RidgePoint& p = points[i];
        rows.around(p, 1, [&](std::size_t j) {
            if (j <= i || dropped[i] != 0 || dropped[j] != 0) return;
            const Point to = points[j].at - p.at;
            if (std::abs(dot(to, p.along)) >= twin_ahead || std::abs(cross(to, p.along)) > twin_aside) return;
            dropped[points[j].depth > p.depth ? i : j] = 1;
        });
    }
    std::vector<RidgePoint> kept;
    kept.reserve(points.size());
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (dropped[i] == 0) kept.push_back(points[i]);
    }
    return kept;
}

/// Each point's best neighbour ahead (1) and behind (0).
using Best = std::array<std::int32_t, 2>;

class Linker {
  public:
    Linker(const Level& level, const std::vector<RidgePoint>& points, LineKind kind)
        : points_(points), oriented_(kind == LineKind::edge), rows_(level, points) {
        best_.assign(points.size(), {nobody, nobody});
        for (std::size_t i = 0; i < points.size(); ++i) best_[i] = best_of(i);
    }

    /// The neighbour of i on that side, if both agree.
    std::int32_t linked(std::int32_t i, int side) const {
        const std::int32_t j = best_[static_cast<std::size_t>(i)][static_cast<std::size_t>(side)];
        if (j == nobody) return nobody;
        const auto& back = best_[static_cast<std::size_t>(j)];
        return back[static_cast<std::size_t>(side_towards(j, i))] == i ? j : nobody;
    }
    /// The side of j on which i lies.
    int side_towards(std::int32_t j, std::int32_t i) const {
        const auto& p = points_[static_cast<std::size_t>(j)];
        return dot(points_[static_cast<std::size_t>(i)].at - p.at, p.along) > 0 ? 1 : 0;
    }

  private:
    Best best_of(std::size_t i) const {
        const RidgePoint& p = points_[i];
        Best best = {nobody, nobody};
        std::array<double, 2> least = {HUGE_VAL, HUGE_VAL};
        rows_.around(p, reach, [&](std::size_t j) {
            const RidgePoint& q = points_[j];
            const Point to = q.at - p.at;
            const double ahead = dot(to, p.along), aside = std::abs(cross(to, p.along));
            if (std::abs(ahead) < 0.3 || aside > 0.5 + 0.5 * std::abs(ahead)) return;
            const double same = dot(q.along, p.along);
            const double turn = std::acos(std::clamp(oriented_ ? same : std::abs(same), -1.0, 1.0));
            if (turn > most_turn) return;
            const double cost = norm(to) + turn_weight * turn;
            const std::size_t side = ahead > 0 ? 1 : 0;
            if (cost >= least[side]) return;
            least[side] = cost;
            best[side] = static_cast<std::int32_t>(j);
        });
        return best;
    }

    const std::vector<RidgePoint>& points_;
    bool oriented_;
    Rows rows_;
    std::vector<Best> best_;
};

double turn_at(const std::vector<RidgePoint>& points, std::size_t i) {
    const std::size_t k = corner_points;
    const Point in = points[i].at - points[i - k].at, out = points[i + k].at - points[i].at;
    return std::abs(std::atan2(cross(in, out), dot(in, out)));
}

/// A line that runs round is taken up at its sharpest corner, if it has one: then it is open.
bool taken_up_at_corner(std::vector<RidgePoint>& points) {
    const std::size_t n = points.size(), k = corner_points;
    if (n < 4 * k) return false;
    std::size_t sharpest = 0;
    double most = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const Point in = points[i].at - points[(i + n - k) % n].at, out = points[(i + k) % n].at - points[i].at;
        const double turn = std::abs(std::atan2(cross(in, out), dot(in, out)));
        if (turn <= most) continue;
        most = turn;
        sharpest = i;
    }
    if (most < corner_rad) return false;
    std::rotate(points.begin(), points.begin() + static_cast<std::ptrdiff_t>(sharpest), points.end());
    points.push_back(points.front());
    return true;
}

/// Cuts where the line has a corner.
void cut_at_corners(std::vector<RidgePoint> points, bool closed, std::vector<Chain>& chains) {
    if (closed && taken_up_at_corner(points)) closed = false;
    std::size_t from = 0;
    std::vector<Chain> parts;
    for (std::size_t i = corner_points; i + corner_points < points.size(); ++i) {
        const double turn = turn_at(points, i);
        if (turn < corner_rad) continue;
        bool sharpest = true;
        for (std::size_t j = std::max(corner_points, i - corner_points);
             j <= std::min(points.size() - corner_points - 1, i + corner_points); ++j) {
            sharpest = sharpest && (turn_at(points, j) < turn || j >= i);
        }
        if (!sharpest) continue;
        parts.push_back({{points.begin() + static_cast<std::ptrdiff_t>(from),
                          points.begin() + static_cast<std::ptrdiff_t>(i) + 1}});
        from = i;
    }
    if (from == 0) {
        parts.push_back({std::move(points), closed});
    } else {
        parts.push_back({{points.begin() + static_cast<std::ptrdiff_t>(from), points.end()}});
    }
    for (auto& part : parts) {
        if (part.points.size() < least_chain_points) continue;
        for (std::size_t i = 0; i < part.points.size(); ++i) {
            if (i > 0) part.length += distance(part.points[i - 1].at, part.points[i].at);
            part.depth += part.points[i].depth;
            part.part += part.points[i].part;
        }
        if (part.closed) part.length += distance(part.points.back().at, part.points.front().at);
        part.depth /= static_cast<double>(part.points.size());
        part.part /= static_cast<double>(part.points.size());
        chains.push_back(std::move(part));
    }
}

}  // namespace

Point Chain::outward(bool last) const {
    // The very last points of a line bend where it meets another; two of them are left out where there are enough.
    const std::size_t n = points.size();
    const std::size_t skip = n > 2 * end_points ? 2 : 0;
    const std::size_t far = std::min(n - 1, skip + end_points);
    const Point near_end = last ? points[n - 1 - skip].at : points[skip].at;
    const Point inside = last ? points[n - 1 - far].at : points[far].at;
    const Point way = near_end - inside;
    const double size = norm(way);
    return size > 0 ? way / size : Point{1, 0};
}

std::vector<Chain> chains_of(const Level& level, const std::vector<RidgePoint>& seen, LineKind kind) {
    const std::vector<RidgePoint> points = without_twins(level, seen);
    const Linker linker(level, points, kind);
    std::vector<Chain> chains;
    std::vector<std::uint8_t> taken(points.size(), 0);
    const auto follow = [&](std::int32_t first, int side, bool& closed) {
        std::vector<RidgePoint> line;
        std::int32_t at = first;
        closed = false;
        while (true) {
            taken[static_cast<std::size_t>(at)] = 1;
            line.push_back(points[static_cast<std::size_t>(at)]);
            // The point's own direction may be that of either way; the way of travel is what counts from here on.
            if (side == 0) line.back().along = -line.back().along;
            const std::int32_t next = linker.linked(at, side);
            if (next == nobody) break;
            if (taken[static_cast<std::size_t>(next)] != 0) {
                closed = next == first;
                break;
            }
            side = 1 - linker.side_towards(next, at);
            at = next;
        }
        return line;
    };
    const auto count = static_cast<std::int32_t>(points.size());
    // Lines with ends first, from one end to the other, then those without.
    for (const bool with_ends : {true, false}) {
        for (std::int32_t i = 0; i < count; ++i) {
            if (taken[static_cast<std::size_t>(i)] != 0) continue;
            const bool behind = linker.linked(i, 0) != nobody, ahead = linker.linked(i, 1) != nobody;
            if (with_ends && behind && ahead) continue;
            // An edge is followed the way it runs; its last point waits for its first.
            if (with_ends && kind == LineKind::edge && behind) continue;
            bool closed = false;
            auto line = follow(i, ahead ? 1 : 0, closed);
            if (line.size() >= least_chain_points) cut_at_corners(std::move(line), closed, chains);
        }
    }
    return chains;
}

}  // namespace seamwright::trace
