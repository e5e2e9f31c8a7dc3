// Pruning: what a traced edge costs, and how not to pay it.
//
// At a bumpy edge of thousands of short straight pieces, the untrimmed parallel is a braid: the round join about each
// vertex crosses those of all vertices within twice the radius. Nearly all of it lies behind something. So each round
// join is first shortened by the discs about its neighbours, and dropped when nothing is left.
//
// The reason is always one and the same, and exact: *the smaller arc of radius R between two points that both lie in a
// disc of radius R lies in that disc*. So an arc whose ends are both nearer than R to some vertex is hidden as a whole,
// and if only one end is, the arc is hidden from there to the one place where it leaves the disc. A straight front is
// hidden when both its ends lie in one disc, since a disc is convex.
//
// One pass along the path with a stack (as in the convex hull of a chain) does most of it: each vertex in turn shortens
// and pops the joins before it. A pass back over the survivors does the other ends. Edges that double back need nothing
// special, because nothing here assumes a direction; they only leave a few more survivors for the general step.

#include <algorithm>
#include <cmath>

#include "front.h"

namespace seamwright::geometry {

namespace {

/// Stretches with fewer straight pieces than this are left to the general step, which is as fast there.
constexpr std::size_t least_run = 8;

/// Passes over the survivors. Each pass makes the next one short; after three nothing more was found to go.
constexpr int most_passes = 4;

struct Join {
    Point vertex;
    Point from, to;       // clockwise about the vertex, less than a half turn (a spike: a half turn)
    std::size_t segment;  // the segment that ends at the vertex
    bool cut = false;
};

/// Where the clockwise arc from→to about `vertex` crosses the circle about `other`: of the two places, the one on it.
Point leaving_place(const Join& arc, Point other, double square_radius) {
    const Point between = other - arc.vertex;
    const double square = norm2(between);
    const double half = std::sqrt(std::max(square_radius - 0.25 * square, 0.0) / square);
    const Point middle = arc.vertex + 0.5 * between;
    const Point side = half * left_of(between);
    const Point first = middle + side;
    const Point second = middle - side;
    // How far a candidate overshoots the arc, on either side: the smaller overshoot is on it.
    const auto overshoot = [&](Point p) {
        const Point d = p - arc.vertex;
        return std::max(cross(arc.from - arc.vertex, d), cross(d, arc.to - arc.vertex));
    };
    return overshoot(first) <= overshoot(second) ? first : second;
}

struct Discs {
    double square_radius;
    double square_inside;  // a little less: inside by more than rounding

    bool holds(Point centre, Point p) const { return norm2(p - centre) < square_inside; }

    /// Shortens the end of `arc` by the disc about `by`; true when nothing is left.
    bool shorten_end(Join& arc, Point by) const {
        if (!holds(by, arc.to)) return false;
        if (holds(by, arc.from)) return true;
        arc.to = leaving_place(arc, by, square_radius);
        arc.cut = true;
        return false;
    }
    bool shorten_start(Join& arc, Point by) const {
        if (!holds(by, arc.from)) return false;
        if (holds(by, arc.to)) return true;
        arc.from = leaving_place(arc, by, square_radius);
        arc.cut = true;
        return false;
    }
};

class RunPruner {
  public:
    RunPruner(const Path& path, std::size_t first, std::size_t last, double radius_mm, double slack_mm, Pruned& out)
        : path_(path), first_(first), last_(last), radius_mm_(radius_mm), out_(out) {
        const double inside = radius_mm - slack_mm;
        discs_ = {radius_mm * radius_mm, inside * inside};
    }

    void run() {
        forward();
        for (int pass = 1; pass < most_passes; ++pass) {
            const std::size_t before = joins_.size();
            backward_over_survivors();
            forward_over_survivors();
            // A pass that finds less than one in thirty costs more than the general step would.
            if (joins_.size() + before / 30 >= before) break;
        }
        report_joins();
        report_lines();
    }

  private:
    Point vertex(std::size_t segment) const { return path_.segments[segment].end; }

    void pop_behind(Point by) {
        while (!joins_.empty() && discs_.shorten_end(joins_.back(), by)) joins_.pop_back();
    }

    void forward() {
        joins_.reserve((last_ - first_) / 8 + 16);
        normals_.reserve(last_ - first_ + 1);
        for (std::size_t i = first_; i <= last_; ++i) {
            const Point along = path_.segments[i].end - path_.segments[i].start;
            normals_.push_back((radius_mm_ / norm(along)) * left_of(along));
        }
        for (std::size_t i = first_; i < last_; ++i) {
            const Point v = vertex(i);
            pop_behind(v);
            const Point before = normals_[i - first_];
            const Point after = normals_[i + 1 - first_];
            const double turn = cross(before, after);
            const bool outward = turn < 0.0 || (turn == 0.0 && dot(before, after) < 0.0);
            if (!outward) continue;
            Join join{v, v + before, v + after, i};
            if (!joins_.empty() && discs_.shorten_start(join, joins_.back().vertex)) continue;
            if (i >= first_ + 1 && discs_.shorten_start(join, vertex(i - 1))) continue;
            if (i >= first_ + 2 && discs_.shorten_start(join, vertex(i - 2))) continue;
            joins_.push_back(join);
        }
        if (last_ > first_) pop_behind(vertex(last_));
    }

    void backward_over_survivors() {
        std::vector<Join> kept;
        kept.reserve(joins_.size());
        for (std::size_t k = joins_.size(); k > 0; --k) {
            Join join = joins_[k - 1];
            while (!kept.empty() && discs_.shorten_start(kept.back(), join.vertex)) kept.pop_back();
            if (!kept.empty() && discs_.shorten_end(join, kept.back().vertex)) continue;
            kept.push_back(join);
        }
        std::reverse(kept.begin(), kept.end());
        joins_ = std::move(kept);
    }

    void forward_over_survivors() {
        std::vector<Join> kept;
        kept.reserve(joins_.size());
        for (Join join : joins_) {
            while (!kept.empty() && discs_.shorten_end(kept.back(), join.vertex)) kept.pop_back();
            if (!kept.empty() && discs_.shorten_start(join, kept.back().vertex)) continue;
            kept.push_back(join);
        }
        joins_ = std::move(kept);
    }

    void report_joins() {
        for (std::size_t i = first_; i < last_; ++i) out_.corner_hidden[i] = 1;
        for (const Join& join : joins_) {
            out_.corner_hidden[join.segment] = 0;
            out_.corner_cut[join.segment] = join.cut ? 1 : 0;
            out_.corner_arc[join.segment] = {join.from, join.to};
        }
    }

    /// Part of the straight front a→b inside the disc about c, as fractions; empty when low > high.
    struct Covered {
        double low, high;
    };
    Covered covered(Point c, Point a, Point b) const {
        const Point along = b - a;
        const double square = norm2(along);
        const double foot = dot(c - a, along) / square;
        const double height2 = norm2(c - a) - foot * foot * square;
        const double room = discs_.square_inside - height2;
        if (room <= 0.0) return {1.0, 0.0};
        const double half = std::sqrt(room / square);
        return {foot - half, foot + half};
    }

    bool line_is_hidden(std::size_t i, std::size_t next_join) const {
        const Point n = normals_[i - first_];
        const Point a = path_.segments[i].start + n;
        const Point b = path_.segments[i].end + n;
        std::array<Point, 8> near{};
        std::size_t count = 0;
        if (next_join > 0) near[count++] = joins_[next_join - 1].vertex;
        if (next_join < joins_.size()) near[count++] = joins_[next_join].vertex;
        if (next_join > 1) near[count++] = joins_[next_join - 2].vertex;
        if (next_join + 1 < joins_.size()) near[count++] = joins_[next_join + 1].vertex;
        for (std::size_t k = 0; k < count; ++k) {
            if (discs_.holds(near[k], a) && discs_.holds(near[k], b)) return true;
        }
        // The line's own neighbours, for fronts that face backward where the edge doubles back.
        const std::size_t own = count;
        if (i >= first_ + 1) near[count++] = path_.segments[i - 1].start;
        if (i + 1 <= last_) near[count++] = path_.segments[i + 1].end;
        for (std::size_t k = own; k < count; ++k) {
            if (discs_.holds(near[k], a) && discs_.holds(near[k], b)) return true;
        }
        // Two discs together: from the one end up to where the other takes over.
        double reached = 0.0;
        for (int round = 0; round < 2; ++round) {
            double best = reached;
            for (std::size_t k = 0; k < count; ++k) {
                const Covered c = covered(near[k], a, b);
                if (c.low < reached || (reached == 0.0 && c.low < 0.0)) best = std::max(best, c.high);
            }
            if (best > 1.0) return true;
            if (best == reached) return false;
            reached = best;
        }
        return false;
    }

    void report_lines() {
        std::size_t next_join = 0;
        for (std::size_t i = first_; i <= last_; ++i) {
            while (next_join < joins_.size() && joins_[next_join].segment < i) ++next_join;
            if (line_is_hidden(i, next_join)) out_.line_hidden[i] = 1;
        }
    }

    const Path& path_;
    std::size_t first_, last_;
    double radius_mm_;
    Pruned& out_;
    Discs discs_{};
    std::vector<Join> joins_;
    std::vector<Point> normals_;
};

}  // namespace

Pruned prune_straight_stretches(const Path& path, double radius_mm, double slack_mm) {
    const std::size_t n = path.segments.size();
    Pruned out;
    out.line_hidden.assign(n, 0);
    out.corner_hidden.assign(n, 0);
    out.corner_cut.assign(n, 0);
    out.corner_arc.resize(n);
    for (std::size_t i = 0; i < n;) {
        if (path.segments[i].is_arc()) {
            ++i;
            continue;
        }
        std::size_t last = i;
        while (last + 1 < n && path.segments[last + 1].is_line()) ++last;
        if (last - i + 1 >= least_run) RunPruner(path, i, last, radius_mm, slack_mm, out).run();
        i = last + 1;
    }
    return out;
}

}  // namespace seamwright::geometry
